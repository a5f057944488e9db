"""manifold3d as referee of the closed-form shadows.

A slab grown by the fit's clearance is cut with the slab of one layer as solids (64-bit), and
the bounds of what is left are compared with the strip that the closed form gives. The
library knows nothing of joints; both must agree to 1e-6 mm.
"""

import manifold3d as m3
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.pose import facing, turned
from laminature.geometry.region import box
from laminature.joinery.frame import INSET, frame
from laminature.model.part import Part
from laminature.model.stack import Stack

LONG = 200.0


def stack_of(count: int, thickness: float) -> Stack:
    return Stack(("b",) * count, (thickness / count,) * count, thickness)


@st.composite
def meetings(draw):
    """A receiver lying flat in z = 0…T and a part that meets it at an angle, turned freely together."""
    layers = draw(st.integers(1, 6)), draw(st.integers(1, 6))
    thick = draw(st.floats(0.4, 5.0)), draw(st.floats(0.4, 5.0))
    angle = draw(st.floats(20.0, 160.0))
    way = 1.0 if draw(st.booleans()) else -1.0
    a, b = np.radians(angle), draw(st.floats(0.0, 360.0))
    whole = turned(draw(st.sampled_from([(1, 2, 3), (0, 1, 0), (3, -1, 0.5)])), b)
    receiver = Part(
        "r", "", box(-50, -50, 50, 50), stack_of(layers[0], thick[0]), facing((0, 0, 0), (1, 0, 0), (0, 1, 0))
    )
    # The entering part's own y runs into the receiver, its x along the line.
    into = np.array([0.0, np.cos(a), np.sin(a)]) * way
    pose = facing((0.0, 0.0, thick[0] / 2.0), (1, 0, 0), tuple(into))
    pose = pose.moved(*(-np.asarray(pose.z) * thick[1] / 2.0))
    entering = Part("e", "", box(-50, -50, 50, 50), stack_of(layers[1], thick[1]), pose)
    origin = whole.to_piece(np.array([0.0, 0.0, thick[0] / 2.0]))
    along, inwards = whole.matrix @ np.array([1.0, 0.0, 0.0]), whole.matrix @ into
    parts = [p.placed(p.pose.then(whole)) for p in (receiver, entering)]
    return frame(*parts, tuple(origin), tuple(along), tuple(inwards))


def slab(low: float, high: float) -> m3.Manifold:
    """All board between two heights of a part's own frame."""
    return m3.Manifold.cube((LONG, LONG, high - low), False).translate((-LONG / 2, -LONG / 2, low))


def in_piece(solid: m3.Manifold, part: Part) -> m3.Manifold:
    return solid.transform(np.column_stack([part.pose.matrix, part.pose.shift]))


def bounds_along(solid: m3.Manifold, origin: np.ndarray, direction: np.ndarray) -> tuple[float, float]:
    """Least and greatest coordinate of a solid's corners along a direction."""
    points = np.asarray(solid.to_mesh64().vert_properties)[:, :3]
    at = (points - origin) @ direction
    return float(at.min()), float(at.max())


def directions(f):
    """The line's own origin, the receiver's r and the entering part's s, in the piece."""
    r, e = f.receiver, f.entering
    m, n = r.pose.matrix, e.pose.matrix
    across = m[:, 0] * f.receiver_plane.across[0] + m[:, 1] * f.receiver_plane.across[1]
    way = n[:, 0] * f.entering_plane.across[0] + n[:, 1] * f.entering_plane.across[1]
    x, y = f.receiver_plane.origin
    return r.pose.to_piece(np.array([x, y, r.thickness / 2.0])), across, way


@given(meetings(), st.floats(0.02, 0.3))
def test_the_strip_swept_in_each_layer_is_the_solids_shadow(f, clearance):
    origin, across, _ = directions(f)
    grown = in_piece(slab(-clearance, f.entering.thickness + clearance), f.entering)
    bounds = f.receiver.stack.bounds
    for layer in range(1, f.receiver.stack.count + 1):
        # The same inset as in the closed form: faces that only touch cast no shadow.
        level = in_piece(slab(bounds[layer - 1] + INSET, bounds[layer] - INSET), f.receiver)
        seen = bounds_along(grown ^ level, origin, across)
        assert f.sweep(layer, clearance) == pytest.approx(seen, abs=1e-6)


@given(meetings(), st.floats(0.0, 1.0))
def test_no_layer_of_a_tab_goes_deeper_than_it_may(f, share):
    origin, _, way = directions(f)
    depth = share * f.receiver.thickness
    # Everything beyond the depth allowed, as a solid: the layer must end where that begins.
    if f.near == "lower":
        beyond = in_piece(slab(depth, LONG / 2), f.receiver)
    else:
        beyond = in_piece(slab(-LONG / 2, f.receiver.thickness - depth), f.receiver)
    bounds = f.entering.stack.bounds
    for layer in range(1, f.entering.stack.count + 1):
        board = in_piece(slab(bounds[layer - 1], bounds[layer]), f.entering)
        assert f.reach(layer, depth) == pytest.approx(bounds_along(board ^ beyond, origin, way)[0], abs=1e-6)
