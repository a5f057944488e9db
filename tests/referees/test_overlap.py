"""Overlaps in closed form against manifold3d, which intersects the solids themselves."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.overlap import overlaps
from laminature.geometry.pose import Pose, facing, turned
from laminature.geometry.solid import Slab, meeting, slab_solid, stacked

COMB = rectangle(-8, -5, 8, 6).difference(rectangle(-3, -1, 3, 1)).difference(rectangle(4, 2, 9, 3.5))
KITE = flat([(-6, -6), (7, -3), (0, 8), (-1, 3)])
ways = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: math.hypot(*v) > 0.1)
spots = st.tuples(*[st.floats(-5, 5)] * 3)
angles = st.floats(0, 360)


def shared(first, pose_a, second, pose_b):
    """What whole slabs share, pair by pair.

    Not of the stacks as one solid: joining turned slabs face on face loses some volume.
    """
    pairs = [(s, t) for s in first for t in second]
    return sum(
        (slab_solid(f, s.lower, s.upper, pose_a) ^ slab_solid(g, t.lower, t.upper, pose_b)).volume()
        for s, t in pairs
        for f in s.flats
        for g in t.flats
    )


def agree(pose_a, pose_b):
    first = [Slab((COMB,), 0.0, 0.5), Slab((KITE,), 0.5, 1.2)]
    second = [Slab((KITE,), 0.0, 0.6), Slab((COMB,), 0.6, 1.8)]
    solids = [stacked(first, pose_a), stacked(second, pose_b)]
    expected = shared(first, pose_a, second, pose_b)
    found = overlaps(solids, meeting(solids), over=0.0)
    volume = found[0].volume if found else 0.0
    # What only touches is left out: a film of 1e-7 mm, far below the 1e-3 mm³ that count.
    assert volume == pytest.approx(expected, abs=2e-5)
    return found


@given(ways, angles, spots, spots)
def test_at_any_angle(axis, angle, here, there):
    agree(Pose(here), turned(axis, angle).moved(*there))


@given(ways, angles, angles, spots, st.booleans())
def test_at_right_angles(axis, angle, spin, shift, over):
    a = turned(axis, angle)
    z, x, y = (np.array(v) for v in (a.z, a.x, a.y))
    along = math.cos(math.radians(spin)) * x + math.sin(math.radians(spin)) * y
    found = agree(a, facing(shift, along, z if over else -z))
    if found and found[0].volume > 0.5:
        inside = a.to_part(np.array(found[0].point))
        assert -1e-6 <= inside[2] <= 1.2 + 1e-6


@given(ways, angles, angles, spots, st.booleans())
def test_parallel_and_upside_down(axis, angle, spin, shift, over):
    a = turned(axis, angle)
    turn = turned(a.z, spin).matrix
    flipped = -1.0 if over else 1.0
    agree(a, facing(shift, turn @ a.x, flipped * (turn @ a.y)))
