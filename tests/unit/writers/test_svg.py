"""SVG: the surface that others rely on, and names that try to break it."""

import re
import xml.etree.ElementTree as ET

import pytest

from laminature.drawings.sheets import sheet_drawing
from laminature.errors import WriterError
from laminature.geometry.path import Line, Path, polyline
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.writers.svg import svg

from ...drawn_by_hand import ALL_KINDS, BOARDS, LAYERS, SHEET, WORDS

NS = "{http://www.w3.org/2000/svg}"
SQUARE = polyline([(1, 1), (9, 1), (9, 9), (1, 9)])

HOSTILE = [
    '"><script>alert(1)</script>',
    "a&b<c>'d\"e",
    "../../etc/passwd",
    "line\nbreak\ttab",
    "\x00\x01\x08\x1f\ufffe",
    "名前 éß",
    "",
    "x" * 10_000,
    "--><!-- ]]>",
]


def root_of(drawing):
    return ET.fromstring(svg(drawing))


def paths(root):
    return [e for e in root.iter(f"{NS}path") if "id" in e.attrib]


def test_size_is_in_millimetres_and_a_unit_of_the_viewbox_is_one():
    root = root_of(sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS))
    assert (root.get("width"), root.get("height")) == ("200mm", "140mm")
    assert root.get("viewBox") == "0 0 200 140"


def test_every_cut_curve_has_id_part_layer_and_operation():
    root = root_of(sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS))
    by_id = {e.get("id"): e for e in paths(root)}
    assert (
        by_id["A1-2"].attrib.items() >= {"data-part": "top", "data-layer": "1", "data-op": "opening"}.items()
    )
    assert (
        by_id["B1_2"].attrib.items()
        >= {"data-part": "leg-2", "data-layer": "1", "data-op": "outline"}.items()
    )
    assert "data-open" not in by_id["A1"].attrib
    assert by_id["measuring-square"].get("data-op") == "notes"


def test_operations_are_groups_in_our_own_colours_and_the_notes_can_be_dropped():
    root = root_of(ALL_KINDS)
    groups = {g.get("id"): g for g in root if g.tag == f"{NS}g"}
    assert list(groups) == ["marking", "score", "opening", "outline", "notes"]
    assert groups["outline"].get("stroke") == "#7a1f5c"
    assert groups["opening"].get("stroke") == "#006d77"
    assert (groups["score"].get("stroke"), groups["score"].get("stroke-dasharray")) == ("#9a6b00", "2 1")
    assert (groups["marking"].get("stroke"), groups["marking"].get("stroke-width")) == ("#4a4a4a", "0.15")
    assert groups["notes"].get("stroke") == "#8a8a8a"
    assert all(g.get("fill") == "none" for g in groups.values())
    for name, group in groups.items():
        assert {p.get("data-op") for p in group.iter(f"{NS}path")} == {name}


def test_open_paths_say_so_and_closed_ones_are_closed():
    by_id = {e.get("id"): e for e in paths(root_of(ALL_KINDS))}
    assert by_id["A1-3"].get("data-open") == "true"
    assert "Z" not in by_id["A1-3"].get("d")
    assert by_id["A1"].get("d").endswith("Z")


def test_no_font_no_transform_no_style_sheet():
    text = svg(ALL_KINDS).decode()
    assert not re.search(r"<text|font|transform|<style|class=|href", text)


def test_y_is_turned_over():
    drawing = Drawing("d", 10.0, 20.0, (Stroke("outline", SQUARE, "A1"),))
    assert paths(root_of(drawing))[0].get("d") == "M1 19L9 19L9 11L1 11Z"


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_text(name):
    drawing = Drawing(
        name, 50.0, 50.0, (Stroke("outline", SQUARE, name, name, 1),), (Text(name, 1, 1),), title=name
    )
    root = root_of(drawing)
    allowed = {f"{NS}{t}" for t in ("svg", "title", "g", "path")}
    assert {e.tag for e in root.iter()} <= allowed
    (path,) = paths(root)
    assert re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.\-]*", path.get("id"))
    assert len(path.get("id")) <= 210
    printable = "".join(c for c in name if c >= " " and c not in "\ufffe")[:200]
    shown = path.get("data-part", "").replace("\ufffd", "").replace("\n", "").replace("\t", "")
    assert shown == printable


def test_ids_differ_where_names_do_not():
    strokes = tuple(Stroke("outline", SQUARE, n) for n in ("A1", "A1", "A 1", "A/1", "outline"))
    ids = [e.get("id") for e in root_of(Drawing("d", 10, 10, strokes)).iter() if e.get("id")]
    assert len(ids) == len(set(ids)) == 6


@pytest.mark.parametrize("size", [0.0, -5.0, float("nan"), float("inf"), 1e9])
def test_pages_without_a_size_are_refused(size):
    with pytest.raises(WriterError, match="width"):
        svg(Drawing("d", size, 10.0))


def test_points_that_are_none_are_refused():
    bad = Path((Line((0.0, float("nan")), (1.0, 1.0)),), closed=False)
    with pytest.raises(WriterError, match="point"):
        svg(Drawing("d", 10.0, 10.0, (Stroke("outline", bad, "A1"),)))
    with pytest.raises(WriterError, match="empty"):
        svg(Drawing("d", 10.0, 10.0, (Stroke("outline", Path(()), "A1"),)))


def test_numbers_have_no_exponent_and_no_minus_zero():
    tiny = polyline([(1e-9, 10.0), (-1e-12, 10.0 - 1e-7), (123.4567891, 3.0)])
    data = paths(root_of(Drawing("d", 10.0, 10.0, (Stroke("outline", tiny, "A1"),))))[0].get("d")
    assert "e" not in data
    assert "-0" not in data
    assert "123.45679" in data
