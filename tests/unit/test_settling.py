"""Sliding to the left: what fits exactly does, and nothing comes too close."""

import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.nearness import too_close
from laminature.sheets.settling import slid_left
from laminature.sheets.shapes import shifted


def after(flats, width, gap):
    slides = slid_left(flats, width, gap)
    return [shifted(f, dx, 0.0) for f, dx in zip(flats, slides, strict=True)]


@pytest.mark.parametrize("gap", [0.0, 1.5])
def test_a_row_that_fits_exactly_is_brought_into_the_room(gap):
    widths = [30.0, 50.0, 20.0, 40.0]
    room = sum(widths) + 3 * gap
    # As the squeezer leaves it: a little air between, sticking out on the left.
    lying, x = [], -0.02
    for w in widths:
        lying.append(rectangle(x, 0.0, x + w, 25.0))
        x += w + gap + 0.006
    made = after(lying, room, gap)
    assert min(f.bounds[0] for f in made) >= -1e-9
    assert max(f.bounds[2] for f in made) <= room + 1e-7
    assert not too_close(made, gap)


def test_what_is_too_wide_still_sticks_out_and_keeps_its_distance():
    lying = [rectangle(0.0, 0.0, 30.0, 9.0), rectangle(30.01, 0.0, 60.05, 9.0)]
    made = after(lying, 60.0, 0.0)
    assert max(f.bounds[2] for f in made) > 60.0 + 1e-3
    assert not too_close(made, 0.0)


def test_slanted_neighbours_close_up_one_after_the_other():
    wedge = flat([(0, 0), (20, 0), (0, 20)])
    other = flat([(20.006, 0), (20.006, 20), (0.006, 20)])
    made = after([other, wedge, rectangle(20.012, 0.0, 40.012, 20.0)], 40.0, 0.0)
    assert max(f.bounds[2] for f in made) <= 40.0 + 1e-7
    assert not too_close(made, 0.0)


def test_what_lies_inside_stays_where_it_is():
    lying = [rectangle(1.0, 0.0, 5.0, 5.0), rectangle(7.0, 0.0, 9.0, 5.0)]
    assert slid_left(lying, 10.0, 0.5) == [0.0, 0.0]
