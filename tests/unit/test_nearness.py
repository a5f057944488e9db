"""Gaps between shapes, and which way a shape is long."""

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.nearness import clear_of, long_axis, ready, too_close
from laminature.geometry.region import disc, regular

HERE = rectangle(0, 0, 10, 10)


@pytest.mark.parametrize(("gap", "clear"), [(1.9, True), (2.0, True), (2.001, False)])
def test_a_gap_counts_to_the_last_thousandth(gap, clear):
    assert clear_of(HERE, [rectangle(12, 0, 20, 10)], gap) is clear
    assert clear_of(HERE, [ready(rectangle(12, 0, 20, 10))], gap) is clear


def test_nothing_around_is_clear():
    assert clear_of(HERE, [], 5.0)


def test_no_gap_allows_touching_but_not_overlapping():
    assert clear_of(HERE, [rectangle(10, 0, 20, 10)], 0.0)
    assert not clear_of(HERE, [rectangle(9.99, 0, 20, 10)], 0.0)


def test_a_shape_inside_an_opening_is_measured_against_its_border():
    frame = flat([(0, 0), (40, 0), (40, 40), (0, 40)], [[(5, 5), (35, 5), (35, 35), (5, 35)]])
    assert clear_of(rectangle(7, 7, 20, 20), [frame], 2.0)
    assert not clear_of(rectangle(7, 7, 20, 20), [frame], 2.1)


def test_pairs_that_come_too_close_are_named_in_order_with_their_distance():
    shapes = [HERE, rectangle(50, 0, 60, 10), rectangle(11, 0, 20, 10), rectangle(60.5, 0, 70, 10)]
    assert too_close(shapes, 1.5) == ((0, 2, pytest.approx(1.0)), (1, 3, pytest.approx(0.5)))
    assert too_close(shapes, 0.5) == ()


def test_without_a_gap_only_overlaps_are_too_close():
    shapes = [HERE, rectangle(10, 0, 20, 10), rectangle(19, 0, 30, 10)]
    assert too_close(shapes, 0.0) == ((1, 2, 0.0),)


@pytest.mark.parametrize(
    ("shape", "axis"),
    [
        (rectangle(0, 0, 30, 10), 0.0),
        (rectangle(0, 0, 10, 30), 90.0),
        (flat([(0, 0), (30, 30), (25, 35), (-5, 5)]), 45.0),
        (flat([(0, 0), (100, 0.5), (100, 10.5), (0, 10)]), 0.0),
    ],
)
def test_the_long_axis_is_that_of_the_smallest_rectangle_around(shape, axis):
    assert long_axis(shape) == pytest.approx(axis, abs=1e-6)


def test_squares_discs_and_hexagons_have_a_long_axis_only_where_it_is_clear():
    assert long_axis(rectangle(0, 0, 20, 20)) is None
    assert long_axis(disc(10.0).flat) is None
    assert long_axis(regular(6, 20.0).flat) == 0.0
