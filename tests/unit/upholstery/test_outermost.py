"""Which buttons are outermost, and where they look out."""

import numpy as np
import pytest

from laminature.upholstery.outermost import hull, way_to, ways_out

from ...buttonings import circle, diamonds, squares


def points(buttoning):
    return np.array(buttoning.points)


def test_buttons_on_straight_sides_are_outermost_too():
    assert len(hull(points(squares(4, 3, 10.0, 10.0)))) == 10
    assert sorted(hull(points(diamonds(3, 3, 10.0, 10.0))).tolist()) == [0, 1, 2, 5, 6, 7]


def test_the_border_is_walked_to_the_left():
    ring = points(squares(3, 3, 10.0, 10.0))[hull(points(squares(3, 3, 10.0, 10.0)))]
    x, y = ring.T
    assert (x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0.0


def test_a_grid_looks_out_at_right_angles_and_both_ways_at_corners():
    ways = ways_out(points(squares(3, 3, 10.0, 10.0)))
    assert len(ways) == 4 * 2 + 4
    assert all(abs(x) + abs(y) == pytest.approx(1.0) for _, (x, y), _ in ways)


def test_a_circle_looks_out_radially_with_two_neighbours_each():
    made = circle(6, 10.0)
    ways = ways_out(points(made))
    assert len(ways) == 6
    for k, (x, y), beside in ways:
        assert np.array(made.points[k]) / 10.0 == pytest.approx([x, y])
        assert len(beside) == 2


def test_a_row_looks_out_on_both_sides_and_at_its_ends():
    ways = ways_out(points(squares(3, 1, 10.0, 0.0)))
    assert sorted((k, round(x), round(y)) for k, (x, y), _ in ways) == [
        (0, -1, 0), (0, 0, -1), (0, 0, 1), (1, 0, -1), (1, 0, 1), (2, 0, -1), (2, 0, 1), (2, 1, 0),
    ]  # fmt: skip


def test_one_button_looks_out_four_ways_and_none_not_at_all():
    assert len(ways_out(np.array([(3.0, 1.0)]))) == 4
    assert ways_out(np.zeros((0, 2))) == []


def test_a_ray_meets_the_nearest_edge_or_none():
    ring = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
    assert way_to(np.array([4.0, 5.0]), (1.0, 0.0), ring) == pytest.approx([10.0, 5.0])
    assert way_to(np.array([4.0, 15.0]), (0.0, 1.0), ring) is None
