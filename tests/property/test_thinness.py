"""Webs are found by their width, wherever and however the region lies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.flat import mapped, rectangle
from laminature.geometry.thinness import SLACK, narrow_openings, thin_webs

turns = st.floats(0, 360)
shifts = st.tuples(st.floats(-200, 200), st.floats(-200, 200))
widths = st.floats(0.5, 3.0)


def placed(shape, turn, shift):
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    return mapped(shape, [(cosine, -sine), (sine, cosine)], shift)


@given(st.floats(0.2, 6.0), widths, turns, shifts)
def test_a_slot_beside_an_edge_is_found_exactly_where_too_little_is_left(left, width, turn, shift):
    plate = rectangle(0, 0, 60, 40).difference(rectangle(15, left, 45, left + 8))
    (found,) = thin_webs([placed(plate, turn, shift)], width)
    if left < width - 2 * SLACK:
        assert len(found) == 1
        assert found[0].width == pytest.approx(left, abs=0.02)
    elif left > width:
        assert found == ()


@given(st.integers(3, 12), st.floats(10, 60), widths, turns, shifts)
def test_regular_outlines_are_sound(sides, size, width, turn, shift):
    corners = [
        (size * math.cos(2 * math.pi * k / sides), size * math.sin(2 * math.pi * k / sides))
        for k in range(sides)
    ]
    shape = rectangle(-1, -1, 1, 1).union(type(rectangle(0, 0, 1, 1))(corners))
    assert thin_webs([placed(shape, turn, shift)], width) == [()]


@given(st.floats(0.2, 6.0), st.floats(1.0, 3.0), turns, shifts)
def test_an_opening_is_found_where_it_is_narrower_than_the_tool(clear, width, turn, shift):
    plate = rectangle(0, 0, 60, 40).difference(rectangle(15, 15, 35, 15 + clear))
    (found,) = narrow_openings([placed(plate, turn, shift)], width)
    if clear < width - 2 * SLACK:
        assert found[0].width == pytest.approx(clear, abs=0.02)
    elif clear > width:
        assert found == ()
