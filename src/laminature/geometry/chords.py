"""Borders of regions in chords, alike wherever the borders are alike: for skins of piles in drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.path import Point

Array = NDArray[np.float64]

#: Chords of curves keep this near to the border, mm.
CHORD = 0.012
#: Points of one border this near to another lie on it, mm.
ON = 0.015
#: Where a border turns by more than this, it has a corner; less is a curve. Degrees.
CORNER = 27.0


@dataclass(frozen=True, eq=False)
class Rings:
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


def alike_in_chords(shapes: Sequence[tuple[Flat, ...]]) -> list[Rings]:
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
    made: dict[int, Rings] = {}
    found = []
    for shape in kept:
        if id(shape) not in made:
            placed = [[_with_points(r, points, tree) for r in f] for f in shape]
            whole = [[r for r in f if len(r) >= 3] for f in placed]
            rings = tuple(r for f in whole for r in f)
            corners = tuple(
                np.array([(float(x), float(y)) in sharp for x, y in r], dtype=bool) for r in rings
            )
            made[id(shape)] = Rings(rings, corners, tuple(Flat(f[0], f[1:]) for f in whole if f))
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
        np.abs(np.arctan2(before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], (before * step).sum(axis=1)))
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
    return np.asarray(ring[keep])


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
    return np.asarray(np.insert(ring, edge[order] + 1, points[point[order]], axis=0))
