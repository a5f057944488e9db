"""DXF: layers, bulges, units, and the same bytes each time."""

import io
import math

import ezdxf
import pytest
from ezdxf import options

from laminature.errors import WriterError
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.writers.dxf import dxf

from ...drawn_by_hand import ALL_KINDS
from .test_svg import HOSTILE, SQUARE


def read(drawing):
    return ezdxf.read(io.StringIO(dxf(drawing).decode()))


def test_a_layer_per_operation_with_its_colour_and_dashes():
    document = read(ALL_KINDS)
    colours = {n: document.layers.get(n).rgb for n in ("OUTLINE", "OPENING", "SCORE", "MARKING", "NOTES")}
    assert colours["OUTLINE"] == (0x7A, 0x1F, 0x5C)
    assert colours["OPENING"] == (0x00, 0x6D, 0x77)
    assert document.layers.get("OUTLINE").dxf.linetype.upper() == "CONTINUOUS"
    pattern = document.linetypes.get(document.layers.get("SCORE").dxf.linetype)
    assert [t.value for t in pattern.pattern_tags.tags if t.code in (40, 49)] == [3.0, 2.0, -1.0]
    assert {e.dxf.layer for e in document.modelspace()} == set(colours)


def test_arcs_are_bulges_and_cubics_fine_lines():
    by_layer = {}
    for e in read(ALL_KINDS).modelspace():
        assert e.dxftype() == "LWPOLYLINE"
        by_layer.setdefault(e.dxf.layer, []).append(e)
    (circle,) = by_layer["OUTLINE"]
    assert circle.closed
    assert [p[4] for p in circle.get_points()] == pytest.approx([1.0, 1.0])
    whole, half_moon = by_layer["OPENING"]
    assert [p[4] for p in whole.get_points()] == pytest.approx([1.0, 1.0])
    assert [p[4] for p in half_moon.get_points()] == pytest.approx([0.0, 1.0])
    (score,) = by_layer["SCORE"]
    assert not score.closed
    assert len(score) > 50


def test_a_bulge_is_the_tangent_of_a_quarter_of_the_angle():
    from laminature.geometry.path import Arc, Path

    end = (10 * math.cos(math.radians(72)), 10 * math.sin(math.radians(72)))
    arc = Path((Arc((10.0, 0.0), end, (0.0, 0.0)),), closed=False)
    drawing = Drawing("d", 20, 20, (Stroke("score", arc, "a"), Stroke("score", arc.reversed(), "b")))
    one, two = read(drawing).modelspace()
    assert one[0][4] == pytest.approx(math.tan(math.radians(72) / 4))
    assert two[0][4] == pytest.approx(-math.tan(math.radians(72) / 4))


def test_texts_are_solid_lines_among_the_notes():
    drawing = Drawing("d", 50, 50, texts=(Text("B3", 5, 5),))
    found = list(read(drawing).modelspace())
    assert found
    assert {(e.dxf.layer, e.dxf.linetype.upper()) for e in found} == {("NOTES", "CONTINUOUS")}


def test_the_same_drawing_gives_the_same_bytes_and_no_setting_is_left_changed():
    assert options.write_fixed_meta_data_for_testing is False
    assert dxf(ALL_KINDS) == dxf(ALL_KINDS)
    assert options.write_fixed_meta_data_for_testing is False


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_do_no_harm(name):
    drawing = Drawing(name, 50, 50, (Stroke("outline", SQUARE, name, name, 1),), (Text(name, 1, 1),), name)
    assert not read(drawing).audit().errors


def test_pages_without_a_size_are_refused():
    with pytest.raises(WriterError):
        dxf(Drawing("d", 0.0, 10.0))
