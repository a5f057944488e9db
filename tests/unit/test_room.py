"""Room for labels and squares, and hatching."""

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.path import polyline
from laminature.geometry.room import free_of, hatched, room_for, without_boxes, without_lines


def test_the_middle_of_a_rectangle_is_taken():
    assert room_for(rectangle(0, 0, 30, 10), 5, 3) == pytest.approx((15, 5))


def test_a_box_keeps_clear_of_an_opening():
    ring = flat([(0, 0), (30, 0), (30, 20), (0, 20)], [[(4, 4), (26, 4), (26, 20 - 8), (4, 20 - 8)]])
    x, y = room_for(ring, 6.0, 3.0, 0.5)
    assert ring.buffer(-0.5 + 1e-9).covers(rectangle(x - 3, y - 1.5, x + 3, y + 1.5))
    assert y > 12


def test_none_where_nothing_fits():
    assert room_for(rectangle(0, 0, 30, 2), 5, 3) is None
    thin = flat([(0, 0), (20, 0), (20, 20), (0, 20)], [[(2, 2), (18, 2), (18, 18), (2, 18)]])
    assert room_for(thin, 3, 3) is None
    assert room_for(rectangle(0, 0, 1, 1).difference(rectangle(0, 0, 1, 1)), 1, 1) is None


def test_a_waist_that_the_raster_steps_over_is_found():
    # A long thin stair: only one of its treads is deep enough, and it lies between two places of the raster.
    shape = flat([(0, 0), (100, 0), (100, 1), (63.9, 1), (63.9, 4.1), (60.7, 4.1), (60.7, 1), (0, 1)])
    found = room_for(shape, 2.0, 2.0)
    assert found is not None
    assert 61.7 <= found[0] <= 62.9


def test_corner_places_lie_low_and_to_the_right():
    free = free_of(100, 80, [rectangle(60, 0, 100, 30)], 1.0)
    x, y = room_for(free, 20, 20, 1.0, prefer="corner")
    assert (x, y) == pytest.approx((48, 11), abs=4.5)
    assert y == pytest.approx(11)


def test_what_lies_in_an_opening_counts_as_taken():
    ring = flat([(0, 0), (50, 0), (50, 50), (0, 50)], [[(5, 5), (45, 5), (45, 45), (5, 45)]])
    assert room_for(free_of(50, 50, [ring], 0.0), 20, 20) is None


def test_lines_and_boxes_are_kept_free():
    shape = rectangle(0, 0, 20, 4)
    line = polyline([(10, 0), (10, 4)], closed=False)
    x, _ = room_for(without_lines(shape, [line], 0.5), 6, 2)
    assert abs(x - 10) >= 3.5
    assert without_boxes(shape, [(5, -1, 9, 5)]).area == pytest.approx(64)


def test_hatching_stays_inside_at_its_distance():
    shape = flat([(0, 0), (30, 0), (30, 20), (0, 20)], [[(10, 5), (20, 5), (20, 15), (10, 15)]])
    lines = hatched(shape, 2.0)
    length = 0.0
    for line in lines:
        (x0, y0), (x1, y1) = line.flattened
        assert y1 - y0 == pytest.approx(x1 - x0)
        length += ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    # Lines 2 mm apart over an area are as long as half of it.
    assert length == pytest.approx(shape.area / 2.0, rel=0.05)
    assert hatched(rectangle(0.1, 0.0, 0.2, 0.05), 2.0) == ()
