"""The drawing of a sheet: names, labels, marks and notes, each where it belongs."""

import dataclasses
import itertools
import math
import re

import numpy as np
import pytest
import shapely

from laminature.drawings.labels import spot_for
from laminature.drawings.sheets import map_drawing, sheet_drawing
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.path import polyline
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut, Remainder
from laminature.model.sheet import Placement, Sheet

from ...drawn_by_hand import BOARDS, LAYERS, SHEET, WORDS


def drawn(sheet=SHEET, layers=LAYERS, square=True):
    return sheet_drawing(sheet, layers, BOARDS, square, WORDS)


def named(drawing, name):
    return next(s for s in drawing.strokes if s.name == name)


def polygon(stroke):
    return shapely.Polygon(stroke.path.flattened)


def label_of(drawing, name):
    return [s for s in drawing.strokes if s.name.startswith(f"{name}-label-")]


def bounds(strokes):
    points = np.concatenate([s.path.flattened for s in strokes])
    return (*points.min(axis=0), *points.max(axis=0))


def one_layer(shape, *, face="upper", mirrored=False, marks=(), place=None):
    layer = Layer("lid", "C", 2, "card", 0.0, 0.5588, (shape,), (shape,), "alike", face, mirrored, marks)
    place = place or Placement("lid", 2, 60.0, 60.0, mirrored=mirrored)
    return drawn(Sheet("sheet-1", "card", 200.0, 140.0, (place,)), (layer,))


def test_every_stroke_has_a_name_of_its_own_also_where_parts_are_alike():
    names = [s.name for s in drawn().strokes]
    assert len(set(names)) == len(names)
    assert {"A1", "A1-1", "A1-2", "A3", "A4", "B1", "B1_2"} <= set(names)
    assert "A4-1" not in names
    other = named(drawn(), "B1_2")
    assert (other.part, other.layer, other.operation) == ("leg-2", 1, "outline")


def test_a_further_piece_of_a_layer_says_so_in_its_name():
    shapes = (rectangle(0, 0, 30, 20), rectangle(40, 0, 60, 20))
    layer = Layer("lid", "C", 2, "card", 0.0, 0.5588, shapes, shapes, label_face="upper")
    places = (Placement("lid", 2, 10, 10), Placement("lid", 2, 10, 50, piece=1))
    found = drawn(Sheet("s", "card", 200.0, 140.0, places), (layer,))
    assert {s.name for s in found.strokes if s.operation == "outline"} == {"C2", "C2-p1"}
    assert label_of(found, "C2-p1")


def test_openings_are_cut_before_their_outline():
    names = [s.name for s in drawn().strokes]
    assert max(names.index("A1-1"), names.index("A1-2")) < names.index("A1")


@pytest.mark.parametrize(
    ("turn", "mirrored"),
    [(0.0, False), (90.0, False), (33.0, False), (0.0, True), (90.0, True), (33.0, True)],
)
def test_shapes_are_mirrored_then_turned_then_shifted(turn, mirrored):
    corner = [(0, 0), (30, 0), (30, 5), (10, 15), (0, 15)]
    place = Placement("lid", 2, 60.0, 70.0, turn, mirrored)
    found = one_layer(shapely.Polygon(corner), mirrored=mirrored, place=place)
    wanted = shapely.Polygon(corner)
    if mirrored:
        wanted = shapely.affinity.scale(wanted, -1.0, 1.0, origin=(0, 0))
    wanted = shapely.affinity.translate(shapely.affinity.rotate(wanted, turn, origin=(0, 0)), 60.0, 70.0)
    assert polygon(named(found, "C2")).symmetric_difference(wanted).area < 1e-9


def test_labels_stand_inside_the_board_clear_of_openings():
    drawing = drawn()
    for name in ("A1", "A3", "A4", "B1", "B2", "B1_2"):
        board = polygon(named(drawing, name))
        for s in drawing.strokes:
            if s.operation == "opening" and s.name.startswith(name + "-"):
                board = board.difference(polygon(s))
        strokes = label_of(drawing, name)
        assert strokes, name
        assert board.buffer(-0.3).covers(shapely.box(*bounds(strokes))), name
        x0, y0, x1, y1 = bounds(strokes)
        assert min(y1 - y0, x1 - x0) >= 1.2
        assert max(y1 - y0, 0) <= 3.0 + 1e-6


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("turn", [0.0, 90.0, 180.0, 270.0])
def test_a_label_reads_the_same_however_its_layer_lies(mirrored, turn):
    shape = rectangle(0, 0, 40, 40)
    place = Placement("lid", 2, 90.0, 70.0, turn, mirrored)
    strokes = label_of(one_layer(shape, mirrored=mirrored, place=place), "C2")
    found = np.concatenate([s.path.flattened for s in strokes])
    plain = np.concatenate([s.path.flattened for s in label_of(one_layer(shape), "C2")])
    assert found - found.min(axis=0) == pytest.approx(plain - plain.min(axis=0), abs=1e-9)


def test_a_narrow_upright_part_gets_its_label_along_its_length():
    x0, y0, x1, y1 = bounds(label_of(one_layer(rectangle(0, 0, 4.5, 40)), "C2"))
    assert y1 - y0 > x1 - x0


def test_labels_shrink_before_they_are_left_out():
    sizes = [spot_for(rectangle(0, 0, side, side), "B3") for side in (10.0, 5.0, 3.6, 2.0)]
    heights = [s.size if s else None for s in sizes]
    assert heights[0] == 3.0
    assert 1.2 <= heights[2] < heights[1] < 3.0
    assert heights[3] is None


def test_a_layer_with_two_show_faces_gets_no_label():
    assert not label_of(one_layer(rectangle(0, 0, 40, 40), face=None), "C2")
    assert not label_of(drawn(), "B4")


def test_marks_lie_where_the_layer_lies_and_labels_keep_off_them():
    mark = polyline([(2, 10), (38, 10)], closed=False)
    found = one_layer(rectangle(0, 0, 40, 20), marks=(mark,), mirrored=True)
    stroke = named(found, "C2-mark-1")
    assert stroke.operation == "marking"
    assert stroke.path.flattened == pytest.approx(np.array([(58, 70), (22, 70)]))
    label = shapely.box(*bounds(label_of(found, "C2")))
    assert label.distance(shapely.LineString(stroke.path.flattened)) >= 0.5


def test_the_measuring_square_measures_20_mm_and_touches_no_part():
    drawing = drawn()
    square = polygon(named(drawing, "measuring-square"))
    x0, y0, x1, y1 = square.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx((20.0, 20.0))
    assert named(drawing, "measuring-square").operation == "notes"
    for s in drawing.strokes:
        if s.operation == "outline":
            assert square.distance(polygon(s)) >= 1.0
    for text in drawing.texts:
        inside = x0 <= text.x <= x1 and y0 <= text.y <= y1
        assert inside == (text.text == "20 mm")
    assert "measuring-square" not in [s.name for s in drawn(square=False).strokes]


def test_a_full_sheet_has_neither_square_nor_name():
    found = one_layer(rectangle(0, 0, 198, 138), place=Placement("lid", 2, 1.0, 1.0))
    assert not found.texts
    assert not [s for s in found.strokes if s.operation == "notes"]


def test_the_sheet_is_named():
    assert any("sheet-1" in t.text and "22-point card" in t.text for t in drawn().texts)


def test_a_board_with_an_endless_title_is_named_in_short():
    boards = {"card": dataclasses.replace(BOARDS["card"], title="card " * 500)}
    drawing = sheet_drawing(SHEET, LAYERS, boards, False, WORDS)
    assert all(len(t.text) < 200 for t in drawing.texts)


def test_unknown_layers_are_refused():
    with pytest.raises(KeyError):
        drawn(Sheet("s", "card", 200, 140, (Placement("nobody", 1, 0, 0),)))


# --- the map ---------------------------------------------------------------------------


def test_the_map_names_every_layer_and_cuts_nothing():
    drawing = map_drawing(SHEET, LAYERS, BOARDS, WORDS)
    assert {s.operation for s in drawing.strokes} == {"marking", "notes"}
    names = [s.name for s in drawing.strokes]
    assert len(set(names)) == len(names)
    for name in ("A1", "A3", "A4", "B1", "B2", "B4", "B1_2"):
        assert label_of(drawing, name), name


def test_the_map_hatches_what_is_cut_mirrored_and_stars_what_has_no_label():
    drawing = map_drawing(SHEET, LAYERS, BOARDS, WORDS)
    hatched = {s.name.split("-hatch")[0] for s in drawing.strokes if "-hatch" in s.name}
    assert hatched == {"A4", "legend"}
    words = " ".join(t.text for t in drawing.texts)
    assert "Cut mirrored: A4" in words
    assert "slip of paper: B4" in words


def test_the_map_crosses_what_falls_out():
    crossed = {
        s.name.split("-falls")[0]
        for s in map_drawing(SHEET, LAYERS, BOARDS, WORDS).strokes
        if "-falls-" in s.name
    }
    assert crossed == {"A1", "A3"}


def test_small_layers_are_named_beside_the_map_with_leaders_that_do_not_cover_each_other():
    strip = rectangle(0, 0, 12, 2.0)
    layers = tuple(
        Layer(f"p{n}", f"P{n}", 1, "card", 0, 0.5588, (strip,), (strip,), label_face="upper")
        for n in range(60)
    )
    places = tuple(Placement(f"p{n}", 1, 5 + 15.0 * (n % 12), 5 + 4.0 * (n // 12)) for n in range(60))
    drawing = map_drawing(Sheet("sheet-2", "card", 200.0, 140.0, places), layers, BOARDS, WORDS)
    beside = [t for t in drawing.texts if re.fullmatch(r"P\d+\*?", t.text)]
    leaders = [s for s in drawing.strokes if s.name.startswith("leader-") and not s.path.closed]
    assert len(beside) == 60 == len(leaders)
    for anchor in ("start", "end"):
        rows = sorted((t.y, t.size) for t in beside if t.anchor == anchor)
        assert all(b[0] - a[0] >= 1.3 * a[1] for a, b in itertools.pairwise(rows))
        assert rows[0][0] > 0
    assert all(0 < t.x < drawing.width and 0 < t.y < drawing.height for t in drawing.texts)


def test_maps_of_large_and_lying_sheets_stay_on_their_page():
    for width, height in ((900.0, 600.0), (300.0, 1200.0), (50.0, 50.0)):
        sheet = Sheet("s", "card", width, height, (Placement("leg-1", 1, 5, 5),))
        drawing = map_drawing(sheet, LAYERS, BOARDS, WORDS)
        assert {drawing.width, drawing.height} == {210.0, 297.0}
        x0, y0, x1, y1 = bounds(drawing.strokes)
        assert min(x0, y0) > 0
        assert x1 < drawing.width
        assert y1 < drawing.height


def test_leaders_do_not_cross():
    strip = rectangle(0, 0, 12, 2.0)
    layers = tuple(
        Layer(f"p{n}", f"P{n}", 1, "card", 0, 0.5588, (strip,), (strip,), label_face="upper")
        for n in range(40)
    )
    places = tuple(Placement(f"p{n}", 1, 5 + 15.0 * (n % 8), 5 + 14.0 * (n // 8)) for n in range(40))
    drawing = map_drawing(Sheet("sheet-2", "card", 200.0, 140.0, places), layers, BOARDS, WORDS)
    leaders = [
        shapely.LineString(s.path.flattened)
        for s in drawing.strokes
        if s.name.startswith("leader-") and not s.path.closed
    ]
    assert len(leaders) == 40
    assert not [(a, b) for a, b in itertools.combinations(leaders, 2) if a.crosses(b)]


def test_a_label_that_finds_no_room_in_its_layer_stands_in_free_space_beside_it():
    ring = rectangle(0, 0, 60, 40).difference(rectangle(2, 2, 58, 38))
    layer = Layer("rim", "R", 4, "card", 0, 0.5588, (ring,), (ring,), label_face="upper")
    places = (Placement("rim", 4, 20.0, 20.0), Placement("leg-1", 1, 90.0, 20.0))
    drawing = map_drawing(Sheet("s", "card", 200.0, 140.0, places), (*LAYERS, layer), BOARDS, WORDS)
    (text,) = [t for t in drawing.texts if t.text == "R4*"]
    (leader,) = [s for s in drawing.strokes if s.name == "leader-1"]
    outlines = {s.name: polygon(s) for s in drawing.strokes if s.name.endswith("-outline")}
    assert all(not o.contains(shapely.Point(text.x, text.y)) for o in outlines.values())
    end = shapely.Point(leader.path.flattened[-1])
    assert outlines["R4-outline"].exterior.distance(end) < 1e-6
    assert leader.path.segments[0].start == pytest.approx((text.x, text.y), abs=8.0)


def test_the_map_shows_offcuts_dashed_with_name_and_size():
    left = Remainder(Offcut("K7", "card", rectangle(0, 0, 60, 30)), "sheet-1", (130.0, 5.0))
    fallen = Remainder(Offcut("K8", "card", rectangle(0, 0, 60, 30)), "sheet-1", (130.0, 45.0), "A1")
    page = map_drawing(SHEET, LAYERS, BOARDS, WORDS, (), (left, fallen))
    dashes = [s for s in page.strokes if s.name.startswith("K7-keep") and len(s.path.segments) == 1]
    factor = min(1.0, (297.0 - 68.0) / 200.0)
    lengths = [math.dist(s.path.start, s.path.segments[-1].end) for s in dashes]
    # Dashes take two thirds of a line, more or less: dash 2.4 and gap 1.2 mm.
    assert 0.6 * 180 * factor < sum(n for n in lengths if n > 1.5) < 0.8 * 180 * factor
    assert all(s.operation == "marking" and s.open for s in dashes)
    falls = [s for s in page.strokes if s.name.startswith("K8-keep")]
    assert 0 < len(falls) < 15, "what falls out gets its name, no dashes"
    assert any("an offcut" in t.text for t in page.texts)


def test_a_map_without_offcuts_is_as_it_was():
    page = map_drawing(SHEET, LAYERS, BOARDS, WORDS)
    assert page == map_drawing(SHEET, LAYERS, BOARDS, WORDS, (), ())
    assert not any("offcut" in t.text for t in page.texts)


def test_a_sheet_that_is_an_offcut_shows_its_outline_as_a_note_and_says_its_name():
    outline = flat([(0, 0), (200, 0), (200, 100), (160, 140), (0, 140)])
    sheet = dataclasses.replace(SHEET, offcut="K3", outline=outline, grain="y")
    page = sheet_drawing(sheet, LAYERS, BOARDS, True, WORDS)
    (border,) = [s for s in page.strokes if s.name == "sheet"]
    assert border.operation == "notes"
    assert polygon(border).equals(outline)
    assert page.title.endswith("offcut K3")
    notes = [s for s in page.strokes if s.name == "measuring-square"]
    assert all(outline.covers(polygon(s)) for s in notes)
    shown = map_drawing(sheet, LAYERS, BOARDS, WORDS)
    assert any(t.text == "Map of sheet-1, your offcut K3" for t in shown.texts)
    assert any("grain from bottom to top" in t.text for t in shown.texts)
