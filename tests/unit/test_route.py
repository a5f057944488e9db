"""The order of cutting: marks first, openings before outlines, inner parts first, short ways."""

import dataclasses
import math

import numpy as np
import pytest

from laminature.drawings.sheets import sheet_drawing
from laminature.geometry.path import Arc, Path, circle, polyline
from laminature.geometry.walk import continued, path_length, started
from laminature.model.cutting import KNIFE
from laminature.model.drawing import Drawing, Stroke
from laminature.sheets.entries import CLEAR, places
from laminature.sheets.route import route, routed, travel
from laminature.writers.svg import svg

from ..drawn_by_hand import BOARDS, LAYERS, SHEET, WORDS


def box(x0, y0, x1, y1):
    return polyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def cut(operation, path, name, part="lid"):
    return Stroke(operation, path, name, part, 1, not path.closed)


def names(strokes):
    return [s.name for s in route(strokes).strokes]


def test_marks_and_scores_come_first_then_openings_then_their_outline():
    found = names(
        [
            cut("outline", box(0, 0, 40, 40), "A1"),
            cut("opening", box(10, 10, 14, 14), "A1-1"),
            cut("score", polyline([(1, 20), (39, 20)], closed=False), "A1-s"),
            cut("marking", polyline([(30, 30), (32, 32)], closed=False), "A1-m"),
        ]
    )
    assert found == ["A1-m", "A1-s", "A1-1", "A1"]


def test_each_part_is_finished_before_the_next_is_begun():
    drawing, _ = routed(sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS))
    cuts = [s for s in drawing.strokes if s.operation in ("opening", "outline")]
    seen = [(s.part, s.layer) for s in cuts]
    assert len(list(dict.fromkeys(seen))) == sum(a != b for a, b in zip(seen, [None, *seen], strict=False))
    for piece in dict.fromkeys(seen):
        assert [s.operation for s in cuts if (s.part, s.layer) == piece][-1] == "outline"


def test_nothing_is_lost_or_bent_on_the_way():
    drawing = sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS)
    made, found = routed(drawing)
    assert sorted(s.name for s in made.strokes) == sorted(s.name for s in drawing.strokes)
    before = {s.name: s.path for s in drawing.strokes}
    for stroke in made.strokes:
        assert path_length(stroke.path) == pytest.approx(path_length(before[stroke.name]), abs=1e-9)
        assert stroke.path.closed == before[stroke.name].closed
    assert made.strokes[-1].operation == "notes"
    assert found.travel == pytest.approx(travel(made.strokes))
    assert found.travel < 0.85 * travel(drawing.strokes)
    assert routed(drawing)[1] == found


def test_a_part_in_anothers_opening_is_cut_first_and_the_file_says_so_too():
    strokes = [
        cut("outline", box(0, 0, 60, 60), "A1", "frame"),
        cut("opening", box(5, 5, 55, 55), "A1-1", "frame"),
        cut("outline", box(10, 10, 40, 40), "B1", "ring"),
        cut("opening", box(15, 15, 35, 35), "B1-1", "ring"),
        cut("outline", box(20, 20, 30, 30), "C1", "disc"),
        cut("outline", box(70, 0, 80, 10), "D1", "foot"),
    ]
    found = route(strokes)
    order = [s.name for s in found.strokes if s.name != "D1"]
    assert order == ["C1", "B1-1", "B1", "A1-1", "A1"]
    assert {s.name: s.wave for s in found.strokes} == {
        "A1": 2, "A1-1": 2, "B1": 1, "B1-1": 1, "C1": 0, "D1": 0,
    }  # fmt: skip
    text = svg(Drawing("sheet-1", 90.0, 70.0, found.strokes)).decode()
    at = [text.index(f'id="{name}"') for name in order]
    assert at == sorted(at)
    assert text.count('<g id="') == 5


def test_two_pieces_of_one_layer_keep_their_own_openings():
    strokes = [
        cut("opening", box(2, 2, 6, 6), "A1-1"),
        cut("opening", box(42, 2, 46, 6), "A1-p1-1"),
        cut("outline", box(0, 0, 20, 20), "A1"),
        cut("outline", box(40, 0, 60, 20), "A1-p1"),
    ]
    assert names(strokes) == ["A1-1", "A1", "A1-p1-1", "A1-p1"]


def test_cuts_begin_on_straight_runs_away_from_corners():
    path = polyline([(0, 0), (20, 0), (20, 3), (0, 3)])
    ways = [round(p.point[0], 6) for p in places(path) if p.point[1] == 0.0]
    assert ways == [1.5, 10.0, 18.5]
    corners = [(0, 0), (20, 0), (20, 3), (0, 3)]
    assert all(min(math.dist(p.point, c) for c in corners) >= CLEAR for p in places(path))


def test_a_straight_run_in_several_lines_is_one_run():
    path = polyline([(0, 0), (0.5, 0), (1, 0), (1.5, 0), (2.4, 0), (2.4, 1), (0, 1)])
    assert [p.point for p in places(path) if p.point[1] == 0] == [pytest.approx((1.2, 0.0))]


def test_a_round_cut_begins_anywhere_and_a_half_round_one_on_its_straight_side():
    assert len(places(circle(5.0))) == 4
    half = Path((*polyline([(-5, 0), (5, 0)], closed=False).segments, Arc((5, 0), (-5, 0), (0, 0))))
    assert all(p.index == 0 for p in places(half))


def test_a_cut_smaller_than_the_clearance_begins_in_the_middle_of_its_longest_side():
    assert [p.point for p in places(box(0, 0, 1.5, 1.0))] == [(0.75, 0.0)]


def test_a_rotated_start_and_an_overlap_stay_on_the_path():
    path = box(0, 0, 10, 5)
    place = places(path)[0]
    turned = started(path, place)
    assert turned.start == place.point
    longer = continued(turned, 0.5)
    assert not longer.closed
    assert path_length(longer) == pytest.approx(30.5)
    assert longer.segments[-1].end == pytest.approx((place.point[0] + 0.5, 0.0))
    round_the_corner = continued(path, 12.0)
    assert round_the_corner.segments[-1].end == pytest.approx((10.0, 2.0))


def test_time_follows_from_lengths_and_speeds():
    found = route([cut("outline", box(0, 0, 20, 30), "A1")])
    setting = dataclasses.replace(KNIFE, speed=10.0, travel_speed=50.0, lift=0.5)
    assert found.cutting == pytest.approx(100.0)
    assert found.seconds(setting, 3) == pytest.approx(30.0 + found.travel / 50.0 + 1.5)


def test_an_empty_sheet_has_an_empty_route():
    found = route([Stroke("notes", box(0, 0, 20, 20), "measuring-square")])
    assert (found.travel, found.cutting, found.pieces, len(found.strokes)) == (0.0, 0.0, (), 1)


def test_open_strokes_are_walked_from_their_nearer_end():
    stroke = cut("marking", polyline([(50, 50), (1, 1)], closed=False), "m")
    found = route([stroke]).strokes[0]
    assert found.path.start == (1.0, 1.0)
    assert np.allclose(found.path.segments[-1].end, (50, 50))
