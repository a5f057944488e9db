"""The outer skin of a pile of slabs, as drawings need it: flat faces, and the edges between them.

Slabs on each other whose borders run alike are one wall there, without a line between them; where
borders differ, the step is a flat side with an edge. Curves are walked in chords, and the edges
where chords of one curve meet are ``BEND``: they are no edges, but the outline of a curved side
runs along one of them.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.path import Point
from laminature.geometry.solid import Slab

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

#: Chords of curves keep this near to the layer's border, mm.
CHORD = 0.012
#: Points of one slab this near to another's border lie on it, mm.
ON = 0.015
#: Where a border turns by more than this, it has a corner; less is a curve. Degrees.
CORNER = 27.0
#: What an edge is.
SHARP, BEND, SEAM = 0, 1, 2


@dataclass(frozen=True, eq=False)
class Outer:
    """Faces and edges in the pile's own frame, mm.

    ``start`` and ``end`` (n, 3) of each edge, and its ``kind`` (n,): ``SHARP``, ``BEND`` or ``SEAM``, the
    line between two slabs where the wall goes on. ``sides`` (n, 2, 3) are the outward normals of its
    two faces. Walls are rectangles from ``foot`` (m, 3) along ``along`` (m, 3), ``rise`` (m,) high, with outward
    normals ``normal`` (m, 3). ``caps`` are flat sides, at ``heights``, looking up where ``up``.
    """

    start: Array
    end: Array
    kind: Indices
    sides: Array
    foot: Array
    along: Array
    rise: Array
    normal: Array
    caps: tuple[Flat, ...]
    heights: Array
    up: NDArray[np.bool_]

    @property
    def points(self) -> Array:
        """All corners of the walls (2m, 3): whatever holds them holds the pile."""
        return np.concatenate([self.foot, self.foot + self.rise[:, None] * np.array([0.0, 0.0, 1.0])])


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


@dataclass(frozen=True, eq=False)
class _Rings:
    """The borders of one slab: closed rings (without the first point again), board to the left."""

    rings: tuple[Array, ...] = ()
    corners: tuple[NDArray[np.bool_], ...] = ()
    flats: tuple[Flat, ...] = ()

    def edges(self) -> dict[tuple[Point, Point], tuple[bool, bool]]:
        """Edges as pairs of points; the value says whether there is a corner at its start and its end."""
        found = {}
        for ring, corner in zip(self.rings, self.corners, strict=True):
            points = [(float(x), float(y)) for x, y in ring]
            for i, p in enumerate(points):
                j = (i + 1) % len(points)
                found[(p, points[j])] = (bool(corner[i]), bool(corner[j]))
        return found


_NOTHING = _Rings()


def _levels(slabs: Sequence[Slab]) -> list[tuple[Slab, _Rings]]:
    """The slabs with their borders, and empty ones where there is a gap between two."""
    shapes = _alike_in_chords([s.flats for s in slabs])
    found: list[tuple[Slab, _Rings]] = []
    for slab, rings in zip(slabs, shapes, strict=True):
        if found and slab.lower > found[-1][0].upper + 1e-6:
            found.append((Slab((), found[-1][0].upper, slab.lower), _NOTHING))
        found.append((slab, rings))
    return found


def _alike_in_chords(shapes: Sequence[tuple[Flat, ...]]) -> list[_Rings]:
    """The borders of every slab in chords that are the same wherever the slabs' borders are.

    A point that one border keeps or drops is kept or dropped by all that pass it.
    """
    told: dict[Point, bool] = {}
    sharp: set[Point] = set()
    kept: list[list[list[Array]]] = []
    known: dict[tuple[Flat, ...], list[list[Array]]] = {}
    for flats in shapes:
        if flats not in known:
            known[flats] = [[_chords(r, told, sharp) for r in _raw_rings(f)] for f in flats]
        kept.append(known[flats])
    points = np.unique(np.concatenate([r for s in kept for f in s for r in f] or [np.zeros((0, 2))]), axis=0)
    tree = shapely.STRtree(shapely.points(points)) if len(points) else None
    made: dict[int, _Rings] = {}
    found = []
    for shape in kept:
        if id(shape) not in made:
            flats = [[_with_points(r, points, tree) for r in f] for f in shape]
            flats = [[r for r in f if len(r) >= 3] for f in flats]
            rings = tuple(r for f in flats for r in f)
            corners = tuple(np.array([(float(x), float(y)) in sharp for x, y in r], dtype=bool) for r in rings)
            made[id(shape)] = _Rings(rings, corners, tuple(Flat(f[0], f[1:]) for f in flats if f))
        found.append(made[id(shape)])
    return found


def _raw_rings(shape: Flat) -> list[Array]:
    found = []
    for n, ring in enumerate((shape.exterior, *shape.interiors)):
        points = np.round(shapely.get_coordinates(ring)[:-1], 6)
        points = points[np.any(points != np.roll(points, 1, axis=0), axis=1)]
        x, y = points[:, 0], points[:, 1]
        left = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) > 0.0
        found.append(points if left == (n == 0) else points[::-1])
    return [r for r in found if len(r) >= 3]


def _chords(ring: Array, told: dict[Point, bool], sharp: set[Point]) -> Array:
    """The ring's points that are kept; ``told`` and ``sharp`` remember for other rings."""
    step = np.roll(ring, -1, axis=0) - ring
    before = np.roll(step, 1, axis=0)
    turn = np.degrees(
        np.abs(
            np.arctan2(
                before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], (before * step).sum(axis=1)
            )
        )
    )
    keys = [(float(x), float(y)) for x, y in ring]
    corner = turn > CORNER
    sharp.update(k for k, c in zip(keys, corner, strict=True) if c)
    state = [told.get(k) for k in keys]
    keep = np.array([s is True for s in state]) | corner
    if not keep.any():
        keep[0] = True
        keep[int(np.argmax(np.hypot(*(ring - ring[0]).T)))] = True
    fixed = np.flatnonzero(keep)
    for a, b in zip(fixed, [*fixed[1:], fixed[0] + len(ring)], strict=True):
        between = [i % len(ring) for i in range(int(a) + 1, int(b))]
        open_ = [i for i in between if state[i] is None]
        if open_:
            run = ring[[int(a), *open_, int(b) % len(ring)]]
            line = shapely.get_coordinates(shapely.simplify(shapely.LineString(run), CHORD))
            stay = {(float(x), float(y)) for x, y in line}
            for i in open_:
                keep[i] = keys[i] in stay
    told.update((k, bool(v)) for k, v in zip(keys, keep, strict=True) if v or k not in told)
    return ring[keep]


def _with_points(ring: Array, points: Array, tree: shapely.STRtree | None) -> Array:
    """The ring, and on its edges every one of ``points`` that lies on them."""
    if tree is None or len(ring) < 3:
        return ring
    ends = np.roll(ring, -1, axis=0)
    lines = shapely.linestrings(np.stack([ring, ends], axis=1))
    edge, point = tree.query(lines, predicate="dwithin", distance=ON)
    way = ends - ring
    length = np.hypot(way[:, 0], way[:, 1])
    at = ((points[point] - ring[edge]) * way[edge]).sum(axis=1) / length[edge]
    inner = (at > ON) & (at < length[edge] - ON)
    edge, point, at = edge[inner], point[inner], at[inner]
    if not len(edge):
        return ring
    order = np.lexsort((at, edge))
    return np.insert(ring, edge[order] + 1, points[point[order]], axis=0)


@dataclass
class _Maker:
    """Collects faces and edges."""

    start: list[tuple[float, float, float]] = field(default_factory=list)
    end: list[tuple[float, float, float]] = field(default_factory=list)
    kind: list[int] = field(default_factory=list)
    sides: list[tuple[tuple[float, float, float], tuple[float, float, float]]] = field(default_factory=list)
    boxes: list[tuple[Point, Point, float, float]] = field(default_factory=list)
    caps: list[tuple[Flat, float, bool]] = field(default_factory=list)

    def side(self, height: float, below: _Rings, above: _Rings) -> None:
        """What is to be seen at the height where one slab ends and the next begins."""
        if below is above:
            for p, q in below.edges():
                out = _outwards(p, q)
                self._edge((*p, height), (*q, height), SEAM, out, out)
            return
        low, high = below.edges(), above.edges()
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

    def walls(self, levels: Sequence[tuple[Slab, _Rings]]) -> None:
        """The walls, and their upright edges, each as high as it goes on."""
        walls: dict[tuple[Point, Point], float] = {}
        posts: dict[tuple[Point, Point, Point, bool], float] = {}
        last = 0.0
        for slab, rings in levels:
            edges, uprights = rings.edges(), {}
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
        edges: dict[tuple[Point, Point], tuple[bool, bool]],
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
        foot = np.array([(*p, low) for p, _, low, _ in self.boxes], dtype=float).reshape(-1, 3)
        tips = np.array([(*q, low) for _, q, low, _ in self.boxes], dtype=float).reshape(-1, 3)
        normal = np.array([_outwards(p, q) for p, q, _, _ in self.boxes], dtype=float).reshape(-1, 3)
        return Outer(
            np.array(self.start, dtype=float).reshape(-1, 3),
            np.array(self.end, dtype=float).reshape(-1, 3),
            np.array(self.kind, dtype=np.int64),
            np.array(self.sides, dtype=float).reshape(-1, 2, 3),
            foot,
            tips - foot,
            np.array([high - low for _, _, low, high in self.boxes], dtype=float),
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
