"""Stacked solids: flat regions with a height each, standing in the piece."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import manifold3d
import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Flats
from laminature.geometry.pose import Pose

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Slab:
    """Regions in the solid's own plane, from height ``lower`` to ``upper`` in its stack, mm."""

    flats: Flats
    lower: float
    upper: float


@dataclass(frozen=True, eq=False)
class Solid:
    """Slabs on each other, and where they stand. Slabs without a region are left out by :func:`stacked`."""

    slabs: tuple[Slab, ...]
    pose: Pose

    @cached_property
    def bounds(self) -> Array:
        """Least and greatest own coordinates, shape (2, 3), mm."""
        flat = np.array([f.bounds for s in self.slabs for f in s.flats])
        low, high = flat[:, :2].min(axis=0), flat[:, 2:].max(axis=0)
        return np.array([[*low, min(s.lower for s in self.slabs)], [*high, max(s.upper for s in self.slabs)]])

    @cached_property
    def corners(self) -> Array:
        """The eight corners of the box around it along its own axes, seen in the piece's frame, mm."""
        (x0, y0, z0), (x1, y1, z1) = self.bounds
        own = np.array([(x, y, z) for x in (x0, x1) for y in (y0, y1) for z in (z0, z1)])
        return self.pose.to_piece(own)

    @cached_property
    def points(self) -> Array:
        """Every corner of every slab in the piece's frame, shape (n, 3), mm."""
        found = []
        for slab in self.slabs:
            for shape in slab.flats:
                ring = np.asarray(shape.exterior.coords)[:-1]
                for height in (slab.lower, slab.upper):
                    found.append(np.column_stack([ring, np.full(len(ring), height)]))
        return self.pose.to_piece(np.concatenate(found))


def stacked(slabs: Sequence[Slab], pose: Pose) -> Solid:
    """A solid of ``slabs``, those with the same region on each other taken as one.

    Slabs without any region are left out; the solid may be left with no slab at all.
    """
    made: list[Slab] = []
    for slab in sorted((s for s in slabs if s.flats), key=lambda s: s.lower):
        if made and abs(made[-1].upper - slab.lower) < 1e-9 and _alike(made[-1].flats, slab.flats):
            made[-1] = Slab(slab.flats, made[-1].lower, slab.upper)
        else:
            made.append(slab)
    return Solid(tuple(made), pose)


def _alike(one: Flats, two: Flats) -> bool:
    return one is two or (
        len(one) == len(two)
        and all(shapely.equals_exact(a, b, tolerance=0.0) for a, b in zip(one, two, strict=True))
    )


def meeting(solids: Sequence[Solid], within: float = 0.0) -> list[tuple[int, int]]:
    """Pairs (i < j) whose boxes come within ``within`` mm of each other, tried along the axes of both.

    Boxes are compared in the piece's frame first, for all pairs at once, then along the
    own axes of the two: a pair that is left out is certainly apart.
    """
    if len(solids) < 2:
        return []
    corners = np.array([s.corners for s in solids])
    axes = np.array([s.pose.matrix.T for s in solids])
    low, high = corners.min(axis=1) - within / 2, corners.max(axis=1) + within / 2
    near = ((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2)
    one, two = np.nonzero(np.triu(near, 1))
    apart = np.zeros(len(one), dtype=bool)
    for first, second in ((one, two), (two, one)):
        mine = np.einsum("nkc,nac->nka", corners[first], axes[first])
        other = np.einsum("nkc,nac->nka", corners[second], axes[first])
        apart |= (
            (mine.min(axis=1) > other.max(axis=1) + within) | (other.min(axis=1) > mine.max(axis=1) + within)
        ).any(axis=1)
    return [(int(i), int(j)) for i, j in zip(one[~apart], two[~apart], strict=True)]


def slab_solid(shape: Flat, lower: float, upper: float, pose: Pose) -> Any:
    """One region of one slab as a manifold3d solid in the piece's frame, points in 64 bits."""
    rings = [np.asarray(r.coords)[:-1] for r in (shape.exterior, *shape.interiors)]
    wanted = [True] + [False] * len(shape.interiors)
    rings = [r if _turns_left(r) == left else r[::-1] for r, left in zip(rings, wanted, strict=True)]
    flat_points = np.concatenate(rings)
    count = len(flat_points)
    top = np.asarray(manifold3d.triangulate([np.ascontiguousarray(r) for r in rings]), dtype=np.uint64)
    sides, start = [], 0
    for ring in rings:
        here = np.arange(start, start + len(ring), dtype=np.uint64)
        after = np.roll(here, -1)
        sides += [
            np.column_stack([here, after, after + count]),
            np.column_stack([here, after + count, here + count]),
        ]
        start += len(ring)
    points = np.concatenate(
        [np.column_stack([flat_points, np.full(count, height)]) for height in (lower, upper)]
    )
    triangles = np.concatenate([top[:, ::-1], top + np.uint64(count), *sides])
    return manifold3d.Manifold(
        manifold3d.Mesh64(
            vert_properties=np.ascontiguousarray(pose.to_piece(points)),
            tri_verts=np.ascontiguousarray(triangles, dtype=np.uint64),
        )
    )


def _turns_left(ring: Array) -> bool:
    x, y = ring[:, 0], ring[:, 1]
    return bool((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0.0)


#: Levels at which two loose parts are compared, at most.
MOST_LEVELS = 24


def sideways_gaps(solids: Sequence[Solid], pairs: Iterable[tuple[int, int]]) -> list[float]:
    """How near the two of each pair come to each other sideways, mm: what moves upwards must not rub.

    Measured between their level sections at the same height, inside each stretch between
    neighbouring heights at which either has a corner (evenly chosen ones where there are very many,
    as in slanting curves), so that a lid which rests on a rim is not taken for one that jams in it.
    Infinite where no level meets both.
    """
    bodies: dict[int, _Body] = {}
    gaps = []
    for pair in pairs:
        one, two = (bodies.setdefault(k, _Body(solids[k])) for k in pair)
        nearest = float("inf")
        for level in _levels(one, two):
            rings = one.rings(level), two.rings(level)
            if all(len(r.geoms) for r in rings):
                nearest = min(nearest, float(shapely.distance(*rings)))
        gaps.append(nearest)
    return gaps


class _Body:
    """The slabs of a solid, ready to be cut at any height; each is made when first cut."""

    def __init__(self, solid: Solid) -> None:
        self.heights = np.unique(np.round(solid.points[:, 2], 6))
        self._slabs = [
            stacked([Slab((f,), s.lower, s.upper)], solid.pose) for s in solid.slabs for f in s.flats
        ]
        self._spans = [(float(p[:, 2].min()), float(p[:, 2].max())) for p in (s.points for s in self._slabs)]
        self._made: dict[int, Any] = {}

    def rings(self, level: float) -> shapely.MultiLineString:
        """The outlines of the level section, holes among them."""
        found = []
        for k, (low, high) in enumerate(self._spans):
            if low < level < high:
                if k not in self._made:
                    slab = self._slabs[k].slabs[0]
                    self._made[k] = slab_solid(slab.flats[0], slab.lower, slab.upper, self._slabs[k].pose)
                for ring in self._made[k].slice(level).to_polygons():
                    found.append(shapely.linearrings(np.asarray(ring, dtype=float)))
        return shapely.MultiLineString(found)


def _levels(one: _Body, two: _Body) -> list[float]:
    stops = np.union1d(one.heights, two.heights)
    low, high = max(one.heights[0], two.heights[0]), min(one.heights[-1], two.heights[-1])
    stops = stops[(stops >= low - 1e-6) & (stops <= high + 1e-6)]
    spans = [(a, b) for a, b in itertools.pairwise(stops) if b - a > 1e-3]
    if len(spans) > MOST_LEVELS // 3:
        chosen = np.linspace(0, len(spans) - 1, MOST_LEVELS).round().astype(int)
        return [float(sum(spans[k]) / 2) for k in np.unique(chosen)]
    return [float(h) for a, b in spans for h in (a + 1e-4, (a + b) / 2, b - 1e-4)]
