"""Where two slabs whose planes cross can lie within each other's thickness: strips of their planes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.solid import Slab, Solid

Array = NDArray[np.float64]
#: Strips and stretches thinner than this only touch, mm.
THIN = 1e-7
#: Strips run so far beyond both regions along u, mm.
BEYOND = 1.0


@dataclass(frozen=True)
class Cut:
    """What is left of one slab after it was cut to the thickness of the other solid."""

    slab: Slab
    shape: shapely.MultiPolygon


@dataclass(frozen=True)
class Side:
    """One solid's slab in many pairs of slabs, all as arrays over the pairs."""

    frame: Array  # rotations (n, 3, 3), columns are own axes
    origin: Array
    lower: Array
    upper: Array
    box: Array  # bounds of the slab's regions (n, 4)
    shape: NDArray[np.object_]

    @classmethod
    def of(cls, solids: Sequence[Solid], cuts: Sequence[Cut]) -> Side:
        """The cut slabs, each with the solid that it is of."""
        shape = np.array([c.shape for c in cuts], dtype=object)
        return cls(
            np.array([s.pose.matrix for s in solids]),
            np.array([s.pose.origin for s in solids]),
            np.array([c.slab.lower for c in cuts]),
            np.array([c.slab.upper for c in cuts]),
            shapely.bounds(shape),
            shape,
        )

    @classmethod
    def whole(cls, solids: Sequence[Solid]) -> Side:
        """All slabs of each solid as one, its region that of its box."""
        bounds = np.array([s.bounds for s in solids])
        box = bounds[:, :, :2].reshape(-1, 4)
        return cls(
            np.array([s.pose.matrix for s in solids]),
            np.array([s.pose.origin for s in solids]),
            bounds[:, 0, 2],
            bounds[:, 1, 2],
            box,
            shapely.box(*box.T),
        )

    def kept(self, keep: NDArray[np.intp]) -> Side:
        """Some of the pairs."""
        return Side(
            self.frame[keep],
            self.origin[keep],
            self.lower[keep],
            self.upper[keep],
            self.box[keep],
            self.shape[keep],
        )

    def own(self, way: Array) -> Array:
        """A direction in the plane of each slab, in its own two axes (n, 2)."""
        turned: Array = np.einsum("nij,ni->nj", self.frame[:, :, :2], way)
        return turned

    def reach(self, way: Array) -> tuple[Array, Array]:
        """Least and greatest coordinate of each slab's box along ``way``, in the piece's frame."""
        own = self.own(way)
        x, y = self.box[:, [0, 2, 2, 0]], self.box[:, [1, 1, 3, 3]]
        at = x * own[:, :1] + y * own[:, 1:] + dot(self.origin, way)[:, None]
        return at.min(axis=1), at.max(axis=1)


def dot(a: Array, b: Array) -> Array:
    """Dot products of vectors, row by row."""
    products: Array = np.einsum("ni,ni->n", a, b)
    return products


@dataclass(frozen=True)
class Strips:
    """Where the two slabs of each pair can lie within each other's thickness.

    ``index`` counts the pairs that are left; ``along`` is the direction u of each, ``one`` and
    ``two`` are rectangles in the planes of the two slabs.
    """

    index: NDArray[np.intp]
    along: Array
    one: NDArray[np.object_]
    two: NDArray[np.object_]


def strips_of(a: Side, b: Side, wider: float) -> Strips:
    """The strips of all pairs, ``wider`` mm on each side than the other slab asks for.

    No edge of a strip may fall on an edge of the region that it cuts: where the two differ by
    rounding alone, a cut can go wrong. So the strips run out beyond both regions along u, and across
    it they are always a little wider or narrower than the board.
    """
    za, zb = a.frame[:, :, 2], b.frame[:, :, 2]
    along = np.cross(za, zb)
    along /= np.linalg.norm(along, axis=1)[:, None]
    across_a, across_b = np.cross(za, along), np.cross(zb, along)
    cosine = dot(za, zb)
    heights_a = np.stack([a.lower, a.upper], axis=1) + dot(a.origin, za)[:, None]
    heights_b = np.stack([b.lower, b.upper], axis=1) + dot(b.origin, zb)[:, None]
    # Coordinates across u, in either plane, of the four corners where the two slabs' faces meet.
    corner_a = (heights_b[:, None, :] - cosine[:, None, None] * heights_a[:, :, None]).reshape(-1, 4)
    corner_b = (heights_a[:, :, None] - cosine[:, None, None] * heights_b[:, None, :]).reshape(-1, 4)
    corner_a /= dot(across_a, zb)[:, None]
    corner_b /= dot(across_b, za)[:, None]

    start, end = np.full(len(za), -np.inf), np.full(len(za), np.inf)
    widths, keep = [], np.ones(len(za), dtype=bool)
    for side, across, corner in ((a, across_a, corner_a), (b, across_b, corner_b)):
        from_, to = side.reach(along)
        start, end = np.maximum(start, from_), np.minimum(end, to)
        near, far = side.reach(across)
        low, high = corner.min(axis=1), corner.max(axis=1)
        widths.append((low - wider, high + wider))
        keep &= np.minimum(high, far) - np.maximum(low, near) > THIN
    keep &= end - start > THIN
    start, end = start - BEYOND, end + BEYOND
    one, two = (
        _rectangles(side, along, across, (start, end), width)[keep]
        for side, across, width in ((a, across_a, widths[0]), (b, across_b, widths[1]))
    )
    return Strips(np.nonzero(keep)[0], along[keep], one, two)


def _rectangles(
    side: Side, along: Array, across: Array, span: tuple[Array, Array], width: tuple[Array, Array]
) -> NDArray[np.object_]:
    """Rectangles in the planes of the slabs, between these coordinates along and across u."""
    u, e = side.own(along), side.own(across)
    s0, s1 = (v - dot(side.origin, along) for v in span)
    p0, p1 = (v - dot(side.origin, across) for v in width)
    corners = [s[:, None] * u + p[:, None] * e for s, p in ((s0, p0), (s1, p0), (s1, p1), (s0, p1))]
    made: NDArray[np.object_] = shapely.polygons(np.stack(corners, axis=1))
    return made
