"""Borders of regions in chords, alike wherever the borders are alike: for skins of piles in drawings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, pieces
from laminature.geometry.path import Point

Array = NDArray[np.float64]

#: Chords of curves keep this near to the border, mm.
CHORD = 0.012
#: Points of one border this near to another lie on it, mm.
ON = 0.015
#: Where a border turns by more than this, it has a corner; less is a curve. Degrees.
CORNER = 27.0
#: A ring's points and those of them that are corners.
_Chords = tuple[Array, set[Point]]


@dataclass(frozen=True, eq=False)
class Rings:
    """The borders of one slab: closed rings (without the first point again), board to the left."""

    rings: tuple[Array, ...] = ()
    corners: tuple[NDArray[np.bool_], ...] = ()
    flats: tuple[Flat, ...] = ()

    @cached_property
    def edges(self) -> dict[tuple[Point, Point], None]:
        """Edges as pairs of points, each once, in order."""
        found = {}
        for ring in self.rings:
            points = [(float(x), float(y)) for x, y in ring]
            found.update(dict.fromkeys(zip(points, points[1:] + points[:1], strict=True)))
        return found


def alike_in_chords(shapes: Sequence[tuple[Flat, ...]]) -> list[Rings]:
    """The borders of every slab in chords that are the same wherever the slabs' borders are.

    A point that one border keeps or drops is kept or dropped by all that pass it.
    """
    told: dict[Point, bool] = {}
    known: dict[tuple[Flat, ...], list[list[_Chords]]] = {}
    for flats in shapes:
        if flats not in known:
            known[flats] = [[_chords(r, told) for r in _raw_rings(f)] for f in flats]
    every = [ring for shape in known.values() for rings in shape for ring, _ in rings]
    if not every:
        return [Rings() for _ in shapes]
    points = np.unique(np.concatenate(every), axis=0)
    tree = shapely.STRtree(shapely.points(points))
    made = {flats: _rings(shape, points, tree) for flats, shape in known.items()}
    return [made[flats] for flats in shapes]


def _rings(shape: Sequence[Sequence[_Chords]], points: Array, tree: shapely.STRtree) -> Rings:
    """One slab's borders with all ``points`` that lie on them."""
    rings: list[Array] = []
    corners: list[NDArray[np.bool_]] = []
    flats: list[Flat] = []
    for one in shape:
        whole = [(_with_points(ring, points, tree), sharp) for ring, sharp in one if len(ring) >= 3]
        for ring, sharp in whole:
            rings.append(ring)
            corners.append(np.array([(float(x), float(y)) in sharp for x, y in ring], dtype=bool))
        if whole:
            made = Flat(whole[0][0], [ring for ring, _ in whole[1:]])
            # Chords may touch where a border almost did.
            flats += [made] if made.is_valid else pieces(shapely.make_valid(made))
    return Rings(tuple(rings), tuple(corners), tuple(flats))


def _raw_rings(shape: Flat) -> list[Array]:
    found = []
    for n, ring in enumerate((shape.exterior, *shape.interiors)):
        points = np.round(shapely.get_coordinates(ring)[:-1], 6)
        points = points[np.any(points != np.roll(points, 1, axis=0), axis=1)]
        x, y = points[:, 0], points[:, 1]
        left = float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum()) > 0.0
        found.append(points if left == (n == 0) else points[::-1])
    return [r for r in found if len(r) >= 3]


def _chords(ring: Array, told: dict[Point, bool]) -> _Chords:
    """The ring's points that are kept, and its corners; ``told`` remembers for other rings."""
    step = np.roll(ring, -1, axis=0) - ring
    before = np.roll(step, 1, axis=0)
    turn = np.degrees(
        np.abs(np.arctan2(before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], (before * step).sum(axis=1)))
    )
    keys = [(float(x), float(y)) for x, y in ring]
    corner = turn > CORNER
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
    return ring[keep], {k for k, c in zip(keys, corner, strict=True) if c}


def _with_points(ring: Array, points: Array, tree: shapely.STRtree) -> Array:
    """The ring, and on its edges every one of ``points`` that lies on them."""
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
