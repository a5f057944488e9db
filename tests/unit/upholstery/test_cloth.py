"""Marks, folds, edge and cut line on the flat cloth, against values worked out by hand."""

import math

import numpy as np
import pytest

from laminature.errors import GeometryError
from laminature.geometry.region import box, disc, regular, shape
from laminature.model.cushion import Buttoning
from laminature.upholstery.cloth import solve_cloth
from laminature.upholstery.heights import arc_length
from laminature.upholstery.marks import neighbours, spans, spread
from laminature.upholstery.surface import solve_surface

from ...buttonings import PLAIN, channels, circle, diamonds, squares

SEAT = box(-45.0, -22.0, 45.0, 22.0)


def made(outline, buttoning, manner="deep", crown=4.0, dip=0.6, wrap=1.1, turn_under=8.0, use="seat"):
    surface = solve_surface(outline, buttoning, crown, dip, 1.6, 2.5, manner)
    return surface, solve_cloth(outline, buttoning, surface, manner, wrap, turn_under, use)


# --- marks -----------------------------------------------------------------------------


def test_marks_meet_lengths_that_agree():
    points = np.array([(0.0, 0.0), (10.0, 0.0), (0.0, 8.0), (10.0, 8.0)])
    pairs = np.array([(0, 1), (2, 3), (0, 2), (1, 3)])
    marks = spread(points - [5.0, 4.0], pairs, np.array([13.0, 13.0, 9.0, 9.0]), True)
    assert marks == pytest.approx(np.array([(-6.5, -4.5), (6.5, -4.5), (-6.5, 4.5), (6.5, 4.5)]), abs=1e-4)


def test_lengths_that_disagree_are_shared_out_evenly():
    points = np.array([(-5.0, 0.0), (5.0, 0.0), (-5.0, 8.0), (5.0, 8.0)])
    pairs = np.array([(0, 1), (2, 3), (0, 2), (1, 3)])
    marks = spread(points, pairs, np.array([12.0, 14.0, 9.0, 9.0]), True)
    # In a grid whose columns stay straight both rows are the mean, 13, long.
    assert marks[1] - marks[0] == pytest.approx([13.0, 0.0], abs=1e-3)
    assert marks[3] - marks[2] == pytest.approx([13.0, 0.0], abs=1e-3)


def test_marks_are_never_nearer_than_their_buttons():
    points = np.array([(-5.0, 0.0), (5.0, 0.0), (0.0, 9.0)])
    pairs = np.array([(0, 1), (1, 2), (2, 0)])
    wide = spread(points, pairs, np.array([10.0, 10.4, 14.0]), False)
    for i, j in pairs:
        assert math.dist(wide[i], wide[j]) >= math.dist(points[i], points[j]) - 1e-9


def test_spans_run_along_rows_and_columns_of_diamonds():
    # 2, 1 and 2 buttons: two rows of two and two columns of two; the middle one is alone in both.
    found = {tuple(sorted(p)) for p in spans(diamonds(2, 3, 10.0, 12.0)).tolist()}
    assert found == {(0, 1), (3, 4), (0, 3), (1, 4)}


def test_buttons_by_hand_find_their_neighbours():
    points = np.array([(0.0, 0.0), (10.0, 0.0), (20.0, 0.5), (11.0, 6.0)])
    assert {tuple(p) for p in neighbours(points).tolist()} == {(0, 1), (1, 2), (1, 3), (2, 3)}


def test_where_nothing_is_drawn_down_and_nothing_rises_marks_are_the_guide():
    _, cloth = made(SEAT, diamonds(6, 3, 13.0, 12.0), crown=0.0)
    assert np.array(cloth.marks) == pytest.approx(np.array(diamonds(6, 3, 13.0, 12.0).points), abs=1e-6)


def test_marks_of_a_diamond_are_wider_each_way_and_stay_in_line():
    buttoning = diamonds(6, 3, 13.0, 12.0)
    surface, cloth = made(SEAT, buttoning)
    marks = np.array(cloth.marks)
    assert np.ptp(marks[:6, 1]) == 0.0
    assert marks[1, 0] - marks[0, 0] > 14.0
    assert marks[11, 1] - marks[0, 1] > 12.9
    assert cloth.lengths == pytest.approx(
        [arc_length(surface, buttoning.points[i], buttoning.points[j]) for i, j in buttoning.links]
    )


def test_pulled_in_wants_less_cloth_than_deep():
    buttoning = diamonds(6, 3, 13.0, 12.0)
    widths = [np.ptp(np.array(made(SEAT, buttoning, m)[1].marks)[:, 0]) for m in ("pulled-in", "deep")]
    assert 65.0 < widths[0] < widths[1]


def test_a_single_button_is_marked_in_the_middle():
    _, cloth = made(disc(20.0), squares(1, 1, 0.0, 0.0))
    assert np.array(cloth.marks) == pytest.approx(np.zeros((1, 2)), abs=1e-2)


# --- edge, cut, size -------------------------------------------------------------------


def test_plain_cloth_is_as_long_as_the_way_over_the_crown():
    surface, cloth = made(SEAT, PLAIN, "pulled-in")
    x, y = np.ptp(cloth.edge.flattened, axis=0)
    # Half a millimetre of room: sides are straight, and the longest way to each counts.
    for got, way in ((x, ((-45.0, 0.0), (45.0, 0.0))), (y, ((0.0, -22.0), (0.0, 22.0)))):
        wanted = arc_length(surface, *way, (True, True))
        assert wanted - 1e-3 <= got <= wanted + 0.8


def test_the_cut_line_of_a_rectangle_is_one_and_goes_round_the_panel_and_under():
    _, cloth = made(SEAT, diamonds(6, 3, 13.0, 12.0), wrap=1.5, turn_under=9.0)
    assert len(cloth.edge.segments) == len(cloth.cut.segments) == 4
    edge, cut = np.ptp(cloth.edge.flattened, axis=0), np.ptp(cloth.cut.flattened, axis=0)
    assert cut - edge == pytest.approx([2 * 10.6, 2 * 10.6], abs=1e-6)


def test_a_round_cushion_has_a_round_cloth():
    _, cloth = made(disc(20.0), circle(6, 10.0))
    assert len(cloth.edge.segments) == 2
    r = np.hypot(*cloth.cut.flattened.T)
    assert np.ptp(r) < 0.15


def test_a_frustum_keeps_its_directions():
    outline = shape([(-30.0, -20.0), (30.0, -20.0), (24.0, 20.0), (-24.0, 20.0)])
    _, cloth = made(outline, squares(3, 2, 14.0, 14.0))
    cut = cloth.cut.flattened
    assert len(cut) == 4
    sides = np.roll(cut, -1, axis=0) - cut
    slopes = sorted(abs(y / x) if abs(x) > 1e-9 else math.inf for x, y in sides)
    assert slopes == pytest.approx([0.0, 0.0, 40.0 / 6.0, 40.0 / 6.0], abs=1e-4)


def test_an_outline_with_a_bay_keeps_its_bay():
    outline = shape([(-30.0, -20.0), (30.0, -20.0), (30.0, 0.0), (0.0, 0.0), (0.0, 20.0), (-30.0, 20.0)])
    hand = Buttoning("points", ((-15.0, -10.0), (15.0, -10.0), (-15.0, 10.0)), ((0, 1), (0, 2)), (0, 1, 1))
    _, cloth = made(outline, hand)
    edge = cloth.edge.flattened
    assert len(edge) == 6
    assert 60.5 < np.ptp(edge, axis=0)[0] < 66.0
    for (x, y), (u, v) in zip(edge, np.roll(edge, -1, axis=0), strict=True):
        assert x == pytest.approx(u, abs=1e-6) or y == pytest.approx(v, abs=1e-6)
    # The corner of the bay is snipped.
    assert len(cloth.darts) == 1
    assert len(cloth.corners) == 5


def test_the_size_to_buy_covers_the_cut_with_5_mm_to_spare_in_steps_of_5():
    _, cloth = made(SEAT, PLAIN, "pulled-in")
    cut = np.ptp(cloth.cut.flattened, axis=0)
    for bought, size in zip(cloth.buy, cut, strict=True):
        assert bought % 5.0 == 0.0
        assert 10.0 <= bought - size < 15.0


def test_a_negative_turn_under_is_refused():
    surface = solve_surface(SEAT, PLAIN, 4.0, 0.6, 1.6, 2.5, "pulled-in")
    with pytest.raises(GeometryError, match="turn-under"):
        solve_cloth(SEAT, PLAIN, surface, "pulled-in", 1.0, -1.0)


# --- channels --------------------------------------------------------------------------


def test_seams_of_channels_lie_as_far_apart_as_the_cloth_over_each():
    outline = box(-25.0, -20.0, 25.0, 20.0)
    seams = channels((-15.0, -5.0, 5.0, 15.0), 20.0)
    surface, cloth = made(outline, seams, "pulled-in")
    x = sorted(a[0] for a, _ in cloth.seams)
    wanted = [arc_length(surface, (at, 0.0), (at + 10.0, 0.0)) for at in (-15.0, -5.0, 5.0)]
    assert np.diff(x) == pytest.approx(wanted, abs=0.02)
    assert wanted[1] > 11.0
    assert cloth.marks == ()


# --- folds -----------------------------------------------------------------------------


def test_pulled_in_buttons_make_no_folds():
    assert made(SEAT, diamonds(6, 3, 13.0, 12.0), "pulled-in")[1].folds == ()


def test_deep_diamonds_have_a_pleat_on_each_side_and_straight_ones_to_the_edge():
    buttoning = diamonds(6, 3, 13.0, 12.0)
    _, cloth = made(SEAT, buttoning)
    between = cloth.folds[: len(buttoning.links)]
    straight = cloth.folds[len(buttoning.links) :]
    assert [(cloth.marks[i], cloth.marks[j]) for i, j in buttoning.links] == [
        (f.start, f.end) for f in between
    ]
    # Six each to front and back; two each to the sides.
    assert len(straight) == 16
    assert all(f.start[0] == f.end[0] or f.start[1] == f.end[1] for f in straight)
    assert all(f.width > 0.3 for f in cloth.folds)


def test_pleats_open_to_the_front_and_straight_ones_away_from_the_middle():
    for fold in made(SEAT, diamonds(6, 3, 13.0, 12.0))[1].folds:
        x, y = fold.towards
        assert math.hypot(x, y) == pytest.approx(1.0)
        assert y < 0.0 or (y == pytest.approx(0.0, abs=1e-9) and x * fold.start[0] >= 0.0)


def test_cloth_in_a_pleat_is_what_the_flat_cloth_has_over_the_way_across():
    # A square grid: the pleat along a row takes up the marks' spacing up less the cloth's way up across it.
    buttoning = squares(4, 3, 12.0, 12.0)
    surface, cloth = made(box(-35.0, -27.0, 35.0, 27.0), buttoning)
    marks = np.array(cloth.marks)
    pleat = cloth.folds[[tuple(p) for p in buttoning.links].index((5, 6))]
    over = arc_length(surface, (0.0, -6.0), (0.0, 6.0))
    spare = (marks[9, 1] - marks[1, 1]) / 2.0 - over
    assert pleat.width == pytest.approx(spare, abs=1e-6)


def test_corners_of_a_seat_fold_along_the_front_and_of_a_back_so_that_they_open_downwards():
    seat, back = (made(SEAT, PLAIN, "pulled-in", use=use)[1].corners for use in ("seat", "back"))
    assert len(seat) == len(back) == 4
    for (x0, y0), (x1, y1) in seat:
        assert x1 == pytest.approx(x0)
        assert (y1 - y0) * y0 > 0.0
    for (x0, y0), (x1, y1) in back:
        # Upper corners: the upper flap lies outside. Lower ones: the side's.
        assert (x1 == pytest.approx(x0)) == (y0 > 0.0)
        assert y1 >= y0 - 1e-9


def test_round_edges_have_darts_and_no_corner_folds():
    _, cloth = made(disc(20.0), PLAIN, "pulled-in")
    assert cloth.corners == ()
    # 2π · (8 + 1.1) mm too much cloth, 3 mm to a dart: 19.06, so 20.
    assert len(cloth.darts) == 20
    for (ax, ay), (bx, by) in cloth.darts:
        edge = np.hypot(*cloth.edge.flattened.T).max()
        assert math.hypot(bx, by) - edge == pytest.approx(1.1 + 1.5, abs=0.1)
        assert math.hypot(ax, ay) > math.hypot(bx, by) + 6.0


def test_a_hexagon_has_six_corner_folds_and_no_dart():
    _, cloth = made(regular(6, 50.0), circle(6, 11.0))
    assert len(cloth.corners) == 6
    assert cloth.darts == ()


def test_a_row_of_deep_buttons_has_straight_pleats_to_front_and_back():
    _, cloth = made(box(-40.0, -15.0, 40.0, 15.0), squares(4, 1, 14.0, 0.0))
    straight = cloth.folds[3:]
    assert len(straight) == 8
    assert all(f.start[0] == pytest.approx(f.end[0]) for f in straight)
