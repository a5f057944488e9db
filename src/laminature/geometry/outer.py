"""The outer skin of a pile of slabs, as drawings need it: flat faces, and the edges between them.

Slabs on each other whose borders run alike are one wall there, without a line between them; where
borders differ, the step is a flat side with an edge. Curves are walked in chords, and the edges
where chords of one curve meet are ``BEND``: they are no edges, but the outline of a curved side
runs along one of them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.chords import Rings, alike_in_chords
from laminature.geometry.flat import Flat
from laminature.geometry.path import Point
from laminature.geometry.solid import Slab

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

#: What an edge is.
SHARP, BEND, SEAM = 0, 1, 2


@dataclass(frozen=True, eq=False)
class Outer:
    """Faces and edges in the pile's own frame, mm.

    ``start`` and ``end`` (n, 3) of each edge, and its ``kind`` (n,): ``SHARP``, ``BEND`` or ``SEAM``, the
    line between two slabs where the wall goes on. ``sides`` (n, 2, 3) are the outward normals of its
    two faces. Walls are flat and convex, with corners ``walls`` (m, 4, 3), walked to the left as seen from
    outside, and outward normals ``normal`` (m, 3). ``caps`` are flat sides, at ``heights``, looking up
    where ``up``.
    """

    start: Array
    end: Array
    kind: Indices
    sides: Array
    walls: Array
    normal: Array
    caps: tuple[Flat, ...]
    heights: Array
    up: NDArray[np.bool_]

    @property
    def points(self) -> Array:
        """All corners of the walls (4m, 3): whatever holds them holds the pile."""
        return self.walls.reshape(-1, 3)


def outer(slabs: Sequence[Slab]) -> Outer:
    """The skin of ``slabs``, which lie on each other from the lowest up, with gaps where they do not touch.

    Slabs without regions are left out.
    """
    levels = _levels(sorted((s for s in slabs if s.flats), key=lambda s: s.lower))
    make = _Maker()
    ends = [(0.0, _NOTHING), *((s.upper, rings) for s, rings in levels)]
    starts = [*((s.lower, rings) for s, rings in levels), (0.0, _NOTHING)]
    for (top, below), (foot, above) in zip(ends, starts, strict=True):
        make.side(top if below.rings else foot, below, above)
    make.walls(levels)
    return make.done()


_NOTHING = Rings()


def _levels(slabs: Sequence[Slab]) -> list[tuple[Slab, Rings]]:
    """The slabs with their borders, and empty ones where there is a gap between two."""
    shapes = alike_in_chords([s.flats for s in slabs])
    found: list[tuple[Slab, Rings]] = []
    for slab, rings in zip(slabs, shapes, strict=True):
        if found and slab.lower > found[-1][0].upper + 1e-6:
            found.append((Slab((), found[-1][0].upper, slab.lower), _NOTHING))
        found.append((slab, rings))
    return found


@dataclass
class _Maker:
    """Collects faces and edges."""

    start: list[tuple[float, float, float]] = field(default_factory=list)
    end: list[tuple[float, float, float]] = field(default_factory=list)
    kind: list[int] = field(default_factory=list)
    sides: list[tuple[tuple[float, float, float], tuple[float, float, float]]] = field(default_factory=list)
    boxes: list[tuple[Point, Point, float, float]] = field(default_factory=list)
    caps: list[tuple[Flat, float, bool]] = field(default_factory=list)

    def side(self, height: float, below: Rings, above: Rings) -> None:
        """What is to be seen at the height where one slab ends and the next begins."""
        if below is above:
            for p, q in below.edges:
                out = _outwards(p, q)
                self._edge((*p, height), (*q, height), SEAM, out, out)
            return
        low, high = below.edges, above.edges
        for mine, other, flats, up in ((low, high, above.flats, 1.0), (high, low, below.flats, -1.0)):
            rest = [e for e in mine if e not in other]
            inside = _inside(rest, flats)
            for (p, q), covered in zip(rest, inside, strict=True):
                # Under or over board of the other slab, the flat side beside the edge is the other's.
                cap = (0.0, 0.0, -up if covered else up)
                self._edge((*p, height), (*q, height), SHARP, _outwards(p, q), cap)
        for p, q in low:
            if (p, q) in high:
                out = _outwards(p, q)
                self._edge((*p, height), (*q, height), SEAM, out, out)
        # A side that is covered in part is kept whole: what lies within the board is never seen.
        self.caps += [(f, height, True) for f in _bare(below.flats, above.flats)]
        self.caps += [(f, height, False) for f in _bare(above.flats, below.flats)]

    def walls(self, levels: Sequence[tuple[Slab, Rings]]) -> None:
        """The walls, and their upright edges, each as high as it goes on."""
        walls: dict[tuple[Point, Point], float] = {}
        posts: dict[tuple[Point, Point, Point, bool], float] = {}
        last = 0.0
        for slab, rings in levels:
            edges, uprights = rings.edges, dict[tuple[Point, Point, Point, bool], None]()
            for ring, corner in zip(rings.rings, rings.corners, strict=True):
                points = [(float(x), float(y)) for x, y in ring]
                for i, p in enumerate(points):
                    uprights[(points[i - 1], p, points[(i + 1) % len(points)], bool(corner[i]))] = None
            self._close(walls, posts, edges, uprights, slab.lower)
            for e in edges:
                walls.setdefault(e, slab.lower)
            for u in uprights:
                posts.setdefault(u, slab.lower)
            last = slab.upper
        self._close(walls, posts, {}, {}, last)

    def _close(
        self,
        walls: dict[tuple[Point, Point], float],
        posts: dict[tuple[Point, Point, Point, bool], float],
        edges: dict[tuple[Point, Point], None],
        uprights: dict[tuple[Point, Point, Point, bool], None],
        height: float,
    ) -> None:
        """Walls and upright edges that do not go on above ``height`` are done."""
        for e in [e for e in walls if e not in edges]:
            self.boxes.append((*e, walls.pop(e), height))
        for post in [p for p in posts if p not in uprights]:
            before, p, after, corner = post
            sides = _outwards(before, p), _outwards(p, after)
            self._edge((*p, posts.pop(post)), (*p, height), SHARP if corner else BEND, *sides)

    def _edge(
        self,
        start: tuple[float, float, float],
        end: tuple[float, float, float],
        kind: int,
        one: tuple[float, float, float],
        two: tuple[float, float, float],
    ) -> None:
        self.start.append(start)
        self.end.append(end)
        self.kind.append(kind)
        self.sides.append((one, two))

    def done(self) -> Outer:
        """All of it as arrays."""
        walls = [((*p, low), (*q, low), (*q, high), (*p, high)) for p, q, low, high in self.boxes]
        normal = np.array([_outwards(p, q) for p, q, _, _ in self.boxes], dtype=float).reshape(-1, 3)
        return Outer(
            np.array(self.start, dtype=float).reshape(-1, 3),
            np.array(self.end, dtype=float).reshape(-1, 3),
            np.array(self.kind, dtype=np.int64),
            np.array(self.sides, dtype=float).reshape(-1, 2, 3),
            np.array(walls, dtype=float).reshape(-1, 4, 3),
            normal,
            tuple(f for f, _, _ in self.caps),
            np.array([h for _, h, _ in self.caps], dtype=float),
            np.array([u for _, _, u in self.caps], dtype=bool),
        )


def _outwards(p: Point, q: Point) -> tuple[float, float, float]:
    dx, dy = q[0] - p[0], q[1] - p[1]
    length = math.hypot(dx, dy)
    return (dy / length, -dx / length, 0.0)


def _inside(edges: Sequence[tuple[Point, Point]], flats: Sequence[Flat]) -> NDArray[np.bool_]:
    """For each edge whether its middle lies within one of ``flats``."""
    middle = np.array([((p[0] + q[0]) / 2, (p[1] + q[1]) / 2) for p, q in edges]).reshape(-1, 2)
    found = np.zeros(len(middle), dtype=bool)
    for flat in flats:
        shapely.prepare(flat)
        found |= shapely.contains_xy(flat, middle[:, 0], middle[:, 1])
    return found


def _bare(mine: Sequence[Flat], others: Sequence[Flat]) -> list[Flat]:
    """Those of ``mine`` that are not covered by ``others``."""
    cover = shapely.union_all(list(others))
    return [f for f in mine if shapely.difference(f, cover).area > 1e-4]
