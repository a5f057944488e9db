"""Outlines with gaps for bridges: nothing else is lost, in the drawing or the order of cutting."""

import math
from dataclasses import replace

import pytest

from laminature.drawings.checklist import cutting_list, stack_list
from laminature.drawings.sheet_map import map_drawing
from laminature.drawings.sheets import sheet_drawing
from laminature.geometry.path import Arc, Cubic, Line, Path, circle, polyline
from laminature.geometry.walk import nearest_along, path_length, stretch
from laminature.model.cutting import KNIFE, LASER
from laminature.model.drawing import Drawing, Stroke
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.bridges import with_gaps
from laminature.sheets.closing import closed_over
from laminature.sheets.cutting import prepared
from laminature.sheets.route import route
from laminature.writers.svg import svg

from ..drawn_by_hand import BOARDS, LAYERS, PARTS, SHEET, WORDS

SQUARE = polyline([(0, 0), (6, 0), (6, 6), (0, 6)])
CURVED = Path(
    (
        Line((0, 0), (6, 0)),
        Arc((6, 0), (6, 6), (6, 3)),
        Cubic((6, 6), (4, 8), (2, 4), (0, 6)),
        Line((0, 6), (0, 0)),
    )
)


def outline(path, *bridges, name="B3"):
    return Stroke("outline", path, name, "leg-1", 3, bridges=tuple(bridges))


@pytest.mark.parametrize("path", [SQUARE, CURVED, circle(3.0)])
@pytest.mark.parametrize("share", [0.0, 0.1, 0.37, 0.99])
def test_a_stretch_of_a_path_is_as_long_as_asked_and_lies_on_it(path, share):
    whole = path_length(path)
    for part in (0.02, 0.4, 0.98):
        found = stretch(path, share * whole, (share + part) * whole)
        assert path_length(found) == pytest.approx(part * whole, abs=1e-3)
        assert not found.closed
        for p in found.flattened:
            at = nearest_along(path, (float(p[0]), float(p[1])))
            again = stretch(path, at, at + 0.01).start
            assert math.dist(again, p) < 0.01


def test_two_bridges_leave_two_runs_and_two_gaps():
    one, two = with_gaps([outline(SQUARE, (3.0, 0.0), (3.0, 6.0))], 0.6)
    assert (one.name, two.name, one.whole, two.whole) == ("B3", "B3-span-2", "B3", "B3")
    assert one.open
    assert two.open
    assert not one.path.closed
    assert path_length(one.path) + path_length(two.path) == pytest.approx(24.0 - 1.2)
    ends = sorted([one.path.start, one.path.segments[-1].end, two.path.start, two.path.segments[-1].end])
    assert ends == [pytest.approx(p) for p in ((2.7, 0.0), (2.7, 6.0), (3.3, 0.0), (3.3, 6.0))]


def test_one_bridge_leaves_one_run():
    (one,) = with_gaps([outline(SQUARE, (0.0, 3.0))], 0.6)
    assert (one.name, one.open) == ("B3", True)
    assert path_length(one.path) == pytest.approx(23.4)


def test_a_beam_leaves_as_much_board_as_a_blade():
    (one,) = with_gaps([outline(SQUARE, (0.0, 3.0))], 0.4, kerf=0.2)
    start, end = one.path.start, one.path.segments[-1].end
    assert math.dist(start, end) - 0.2 == pytest.approx(0.4)


def test_a_bridge_beside_the_path_after_the_kerf_is_found_on_it():
    (one,) = with_gaps([outline(SQUARE, (-0.1, 3.0))], 0.6)
    assert path_length(one.path) == pytest.approx(23.4)


def test_without_bridges_and_where_too_little_would_be_cut_nothing_changes():
    plain = outline(SQUARE)
    assert with_gaps([plain], 0.6) == (plain,)
    tiny = polyline([(0, 0), (0.5, 0), (0.5, 0.5), (0, 0.5)])
    (kept,) = with_gaps([outline(tiny, (0.25, 0.0), (0.25, 0.5))], 0.6)
    assert kept.path is tiny


def test_a_piece_in_anothers_opening_still_comes_before_it():
    host = Stroke("outline", polyline([(-20, -20), (30, -20), (30, 30), (-20, 30)]), "A1", "top", 1)
    hole = Stroke("opening", polyline([(-5, -5), (12, -5), (12, 12), (-5, 12)]), "A1-1", "top", 1)
    strokes = [host, hole, *with_gaps([outline(SQUARE, (3.0, 0.0), (3.0, 6.0))], 0.6)]
    found = route(strokes)
    assert found.pieces == ("B3", "A1")
    assert [s.name for s in found.strokes][:2] in (["B3", "B3-span-2"], ["B3-span-2", "B3"])
    assert [s.wave for s in found.strokes] == [0, 0, 1, 1]


def test_a_blade_neither_closes_a_gap_nor_gives_two_runs_one_name():
    strokes = with_gaps([outline(SQUARE, (3.0, 0.0), (3.0, 6.0))], 0.6)
    closed = closed_over(strokes, replace(KNIFE, overcut=0.2))
    assert len({s.name for s in closed}) == len(closed)
    assert closed_over(strokes, KNIFE) == strokes


# --- on the sheet ---------------------------------------------------------------------


def held(layer):
    (cut,) = layer.cut
    x0, y0, x1, y1 = cut.bounds
    return replace(layer, bridges=((0, (x0, (y0 + y1) / 2)), (0, (x1, (y0 + y1) / 2))))


def test_svg_says_which_outlines_are_open():
    layers = [held(x) if x.label == "A1" else x for x in LAYERS]
    drawn = sheet_drawing(SHEET, layers, BOARDS, False, WORDS)
    made, found = prepared(drawn, LASER, 1.5, 0.5)
    lines = [
        line
        for line in svg(made).decode().splitlines()
        if line.startswith(('<path id="A1" ', '<path id="A1-span-2" '))
    ]
    assert len(lines) == 2
    assert all('data-open="true"' in line and not line.endswith('Z"/>') for line in lines)
    assert "A1" in found.pieces
    assert "A1-span-2" not in found.pieces


def test_a_spare_is_named_on_map_and_list_and_counted_in_no_stack():
    spare = replace(LAYERS[0], part="top/spare", role="spare")
    layers = (*LAYERS, spare)
    placed = (*SHEET.placements, Placement("top/spare", 1, 150.0, 100.0))
    sheet = Sheet(SHEET.name, SHEET.board, 260.0, 180.0, placed)
    drawing = sheet_drawing(sheet, layers, BOARDS, False, WORDS)
    assert "A1-spare" in {s.name for s in drawing.strokes}
    page = map_drawing(sheet, layers, BOARDS, WORDS)
    assert any("Spare (+), counted in no stack: A1" in t.text for t in page.texts)
    rows = [t.text for p in cutting_list(sheet, ["A1", "A1-spare"], layers, PARTS, WORDS) for t in p.texts]
    assert any("A1  Spare: Top, layer 1 of 4" in row for row in rows)
    assert stack_list(layers, PARTS, BOARDS, WORDS) == stack_list(LAYERS, PARTS, BOARDS, WORDS)


def test_drawings_without_bridges_are_as_before():
    drawn = Drawing("d", 10.0, 10.0, (outline(SQUARE),))
    assert prepared(drawn, KNIFE, 1.5, 0.6)[0] == prepared(drawn, KNIFE, 1.5)[0]
