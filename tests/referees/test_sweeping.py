"""What moves past what, compared with swept solids of manifold3d.

A convex block moved along a line sweeps the convex hull of its first and its last place; the sweep of a stack
is the union of its blocks'. That is exact, and shares nothing with facets and shadows.
"""

import manifold3d as m3
import numpy as np
from hypothesis import assume, event, given
from hypothesis import strategies as st

from laminature.geometry.flat import rectangle
from laminature.geometry.pose import Pose, turned
from laminature.geometry.solid import Slab, Solid
from laminature.geometry.sweeping import meets

#: Further than any two of these stacks can be apart, mm.
FAR = 200.0


@st.composite
def poses(draw):
    """Where a stack stands: often square to the axes, as furniture is."""
    shift = [draw(st.floats(-15.0, 15.0)) for _ in range(3)]
    axis = draw(st.sampled_from([(0, 0, 1), (1, 0, 0), (0, 1, 0), (1, 2, 3)]))
    return turned(axis, draw(st.sampled_from([0.0, 90.0, 30.0, 6.0, 45.0]))).moved(*shift)


@st.composite
def stacks(draw):
    """One to three rectangles on each other, not all of one size."""
    slabs, low = [], 0.0
    for _ in range(draw(st.integers(1, 3))):
        x, y = draw(st.floats(-10.0, 5.0)), draw(st.floats(-10.0, 5.0))
        wide, deep, thick = (draw(st.floats(0.5, 12.0)) for _ in range(3))
        slabs.append(Slab((rectangle(x, y, x + wide, y + deep),), low, low + thick))
        low += thick
    return Solid(tuple(slabs), draw(poses()))


ways = st.one_of(
    st.sampled_from([(1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0)]),
    st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1),
)


def corners(solid: Solid):
    """The corners of each slab, in the piece's frame."""
    for slab in solid.slabs:
        ring = np.asarray(slab.flats[0].exterior.coords)[:-1]
        ends = [np.column_stack([ring, np.full(len(ring), h)]) for h in (slab.lower, slab.upper)]
        yield solid.pose.to_piece(np.concatenate(ends))


def swept_volume(one: Solid, two: Solid, way) -> float:
    """How much of ``two`` lies in what ``one`` sweeps, mm³."""
    blocks = [m3.Manifold.hull_points(c) for c in corners(two)]
    shift = FAR * np.asarray(way)
    sweeps = [m3.Manifold.hull_points(np.concatenate([c, c + shift])) for c in corners(one)]
    return max((s ^ b).volume() for s in sweeps for b in blocks)


@given(stacks(), stacks(), ways)
def test_stacks_meet_exactly_where_swept_solids_do(one, two, way):
    size = float(np.linalg.norm(way))
    unit = tuple(float(v) / size for v in way)
    volume = swept_volume(one, two, unit)
    # Within rounding of single precision in hulls it could be either.
    assume(volume == 0.0 or volume > 0.05)
    found = meets([one, two], unit)
    event(f"meets: {bool(found[0, 1])}")
    assert found[0, 1] == (volume > 0.0)
    assert not found[0, 0]
    back = meets([one, two], tuple(-v for v in unit))
    assert back[1, 0] == found[0, 1]


def test_a_block_on_another_only_touches_it():
    low = Solid((Slab((rectangle(0, 0, 9, 9),), 0.0, 2.0),), Pose())
    high = Solid((Slab((rectangle(0, 0, 9, 9),), 2.0, 4.0),), Pose())
    assert meets([low, high], (0.0, 0.0, 1.0))[0, 1]
    assert not meets([low, high], (1.0, 0.0, 0.0)).any()
