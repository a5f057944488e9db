"""A sanding gauge is what a finished edge leaves open: the two fill the plane between them."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.drawings.gauges import LIP, gauge, gauge_drawing, gauges
from laminature.forms.profiles import PROFILES, edge_profile
from laminature.geometry.flat import flat, minus, overlap_area, rectangle, union
from laminature.geometry.region import box
from laminature.model.part import Part
from laminature.model.stack import Stack
from laminature.pipeline.reading import guide_words

WORDS = guide_words("british")


def part(profile, *, count=4, caliper=0.5, face="upper", reach=None, name="top", letter="A"):
    stack = Stack(("card",) * count, (caliper,) * count, count * caliper)
    made = edge_profile(profile, stack, reach, face)
    return Part(name, name, box(0.0, 0.0, 60.0, 40.0), stack, profile=made, letter=letter)


def section(one):
    """The finished edge as a polygon, x outwards from its outline, y from its wider face."""
    curve = np.array(one.profile.curve)
    if curve[0, 1] > curve[-1, 1]:
        curve = np.column_stack([one.thickness - curve[::-1, 0], curve[::-1, 1]])
    return flat([(-30.0, 0.0), *[(-inset, z) for z, inset in curve.tolist()], (-30.0, one.thickness)])


@given(
    st.sampled_from(PROFILES),
    st.integers(2, 9),
    st.floats(0.2, 1.5),
    st.sampled_from(["upper", "lower"]),
    st.floats(0.4, 5.0),
)
def test_gauge_and_edge_meet_all_along_and_never_overlap(name, count, caliper, face, reach):
    one = part(name, count=count, caliper=caliper, face=face, reach=reach)
    shape, edge = gauge(one), section(one)
    assert shape.is_valid
    assert overlap_area(shape, edge) < 1e-6
    beside = rectangle(-reach, 0.0, 5.0, one.thickness)
    assert minus(beside, union([shape, edge])).area < 1e-6


@pytest.mark.parametrize("name", PROFILES)
def test_steps_stand_proud_of_the_curve_of_their_gauge(name):
    one = part(name)
    heights, insets = np.array(one.profile.curve).T
    for k, step in enumerate(one.profile.insets):
        low, high = one.stack.bounds[k], one.stack.bounds[k + 1]
        within = np.interp(np.linspace(low, high, 40), heights, insets)
        assert step <= within.min() + 0.02


def test_a_listed_profile_is_gauged_through_its_inner_corners():
    one = part([0.0, 0.3, 0.9, 1.0])
    assert one.profile.curve == ((0.0, 0.0), (0.5, 0.3), (1.0, 0.9), (1.5, 1.0), (2.0, 1.0))


def test_alike_edges_share_a_gauge_and_straight_ones_have_none():
    parts = [part("ogee"), part("ogee", name="base", letter="B"), part(None, name="leg", letter="C")]
    ((first, letters),) = gauges(parts)
    assert (first.name, letters) == ("top", ("A", "B"))
    assert gauge_drawing(parts[2:], WORDS) is None


def test_the_drawing_is_at_true_size():
    one = part("quarter-round")
    drawing = gauge_drawing([one], WORDS)
    (stroke,) = drawing.strokes
    points = stroke.path.flattened
    assert np.ptp(points[:, 1]) == pytest.approx(one.thickness + LIP + 5.0)
    assert points.min() >= 0.0
    assert points[:, 0].max() <= drawing.width
    assert "quarter round" in drawing.texts[1].text
