"""How much of two stacked solids lies in the same place.

Parallel stacks and stacks at right angles are worked out in closed form on their flat
regions; stacks at other angles are first told apart in the same flat way, and only what is
left is intersected as solids by manifold3d in 64 bits.

Two planes that are not parallel share the direction u of their line. Of solid A only a
strip of its plane can lie within the thickness of B, and the other way round; where the two
strips have no stretch of u in common, the solids share nothing. At right angles the shared
volume is the integral over u of the product of the two strips' lengths across u: both are
linear between the corners of the regions, so that Simpson's rule is exact there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Flats, pieces
from laminature.geometry.pose import Pose
from laminature.geometry.solid import Slab, Solid, slab_solid
from laminature.geometry.strips import THIN, Cut, Side, dot, strips_of

Array = NDArray[np.float64]
_Body = tuple[Slab, Pose]
#: Planes whose normals differ by less than this sine are parallel; cosines below it are right angles.
SQUARE = 1e-9
#: Room left around what a whole stack may meet, when slabs are cut for the first time, mm.
ROOM = 0.01
#: Stacks lying on each other share less height than this by rounding, mm: over a whole sheet, 1e-4 mm³.
FLAT = 1e-9


@dataclass(frozen=True)
class Overlap:
    """Solids ``first`` and ``second`` share ``volume`` mm³, about ``point`` in the piece's frame."""

    first: int
    second: int
    volume: float
    point: tuple[float, float, float]


def overlaps(solids: Sequence[Solid], pairs: Iterable[tuple[int, int]], over: float = 1e-3) -> list[Overlap]:
    """Those of ``pairs`` that share more than ``over`` mm³, in the order of the pairs."""
    found: dict[tuple[int, int], list[tuple[float, Array]]] = {}
    crossing: list[tuple[int, int]] = []
    wanted = list(pairs)
    for i, j in wanted:
        a, b = solids[i], solids[j]
        if float(np.linalg.norm(np.cross(a.pose.z, b.pose.z))) < SQUARE:
            found[i, j] = _parallel(a, b)
        else:
            crossing.append((i, j))
    for (i, j), shared in _crossing(solids, _within_each_other(solids, crossing)):
        found.setdefault((i, j), []).append(shared)
    result = []
    for i, j in wanted:
        shares = found.get((i, j), [])
        volume = sum(v for v, _ in shares)
        if volume > over:
            at = max(shares, key=lambda share: share[0])[1]
            result.append(Overlap(i, j, volume, (float(at[0]), float(at[1]), float(at[2]))))
    return result


def _parallel(a: Solid, b: Solid) -> list[tuple[float, Array]]:
    """Shared volumes and places of stacks whose planes are parallel."""
    turn = a.pose.matrix.T @ b.pose.matrix
    shift = a.pose.to_part(b.pose.shift)
    up = 1.0 if turn[2, 2] > 0 else -1.0
    found = []
    for theirs in b.slabs:
        ends = sorted((shift[2] + up * theirs.lower, shift[2] + up * theirs.upper))
        mine = [s for s in a.slabs if min(s.upper, ends[1]) - max(s.lower, ends[0]) > FLAT]
        if not mine:
            continue
        moved = shapely.transform(_one(theirs.flats), lambda p: p @ turn[:2, :2].T + shift[:2])
        for slab in mine:
            low, high = max(slab.lower, ends[0]), min(slab.upper, ends[1])
            shared = shapely.intersection(_one(slab.flats), moved)
            if shared.area > 0.0:
                at = shared.representative_point()
                place = a.pose.to_piece(np.array([at.x, at.y, (low + high) / 2]))
                found.append((float(shared.area) * (high - low), place))
    return found


def _one(flats: Flats) -> shapely.MultiPolygon:
    return shapely.MultiPolygon(list(flats))


def _within_each_other(
    solids: Sequence[Solid], pairs: Sequence[tuple[int, int]]
) -> list[tuple[int, int, Cut, Cut]]:
    """Pairs of slabs, each cut to the thickness of the whole other solid: little is left of most."""
    if not pairs:
        return []
    ones, twos = (Side.whole([solids[pair[n]] for pair in pairs]) for n in (0, 1))
    strips = strips_of(ones, twos, ROOM)
    whole = {k: [_one(s.flats) for s in solids[k].slabs] for pair in pairs for k in pair}
    combos = []
    for k, one, two in zip(strips.index, strips.one, strips.two, strict=True):
        i, j = pairs[k]
        mine, theirs = (
            [
                Cut(slab, shapely.MultiPolygon(left))
                for slab, cut in zip(solids[n].slabs, shapely.intersection(whole[n], strip), strict=True)
                if (left := pieces(cut, crumb=THIN * THIN))
            ]
            for n, strip in ((i, one), (j, two))
        )
        combos += [(i, j, s, t) for s in mine for t in theirs]
    return combos


def _crossing(
    solids: Sequence[Solid], combos: Sequence[tuple[int, int, Cut, Cut]]
) -> Iterable[tuple[tuple[int, int], tuple[float, Array]]]:
    """Shared volumes of pairs of slabs whose planes cross."""
    if not combos:
        return
    a = Side.of([solids[c[0]] for c in combos], [c[2] for c in combos])
    b = Side.of([solids[c[1]] for c in combos], [c[3] for c in combos])
    strips = strips_of(a, b, -THIN)
    if not len(strips.index):
        return
    a, b = a.kept(strips.index), b.kept(strips.index)
    u = strips.along
    cut_a = shapely.intersection(a.shape, strips.one)
    cut_b = shapely.intersection(b.shape, strips.two)
    for k in _share_a_stretch(cut_a, a, cut_b, b, u):
        i, j, mine, theirs = combos[strips.index[k]]
        if abs(float(a.frame[k, :, 2] @ b.frame[k, :, 2])) < SQUARE:
            one, two = _lengths(cut_a[k], a, u, k), _lengths(cut_b[k], b, u, k)
            volume, s = _product(one, two)
            if volume <= 0.0:
                continue
            place = s * u[k] + one.middle(s) * one.across + two.middle(s) * two.across
        else:
            volume, place = _solid_share(
                cut_a[k], (mine.slab, solids[i].pose), cut_b[k], (theirs.slab, solids[j].pose)
            )
        if volume > 0.0:
            yield (i, j), (volume, place)


def _stretches(cut: NDArray[np.object_], side: Side, along: Array) -> tuple[NDArray[np.intp], Array, Array]:
    """The stretches along u of every polygon in ``cut``: which pair it belongs to, from, to."""
    parts, owner = shapely.get_parts(cut, return_index=True)
    solid = shapely.area(parts) > THIN * THIN
    parts, owner = parts[solid], owner[solid]
    if not len(parts):
        return owner, np.empty(0), np.empty(0)
    points, of = shapely.get_coordinates(parts, return_index=True)
    at = (points * side.own(along)[owner][of]).sum(axis=1) + dot(side.origin, along)[owner][of]
    first = np.searchsorted(of, np.arange(len(parts)))
    return owner, np.minimum.reduceat(at, first), np.maximum.reduceat(at, first)


def _share_a_stretch(
    cut_a: NDArray[np.object_], a: Side, cut_b: NDArray[np.object_], b: Side, along: Array
) -> list[int]:
    """Pairs of slabs whose strips have a stretch of u in common."""
    own_a, from_a, to_a = _stretches(cut_a, a, along)
    own_b, from_b, to_b = _stretches(cut_b, b, along)
    # Both lists are in order of the pairs: join them on the pair.
    first, last = np.searchsorted(own_b, own_a, "left"), np.searchsorted(own_b, own_a, "right")
    count = last - first
    left = np.repeat(np.arange(len(own_a)), count)
    right = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count) + np.repeat(first, count)
    shared = np.minimum(to_a[left], to_b[right]) - np.maximum(from_a[left], from_b[right])
    return sorted({int(k) for k in own_a[left][shared > THIN]})


@dataclass(frozen=True)
class _Lengths:
    """Edges of a region as (s, p) from and to, walked so that the sum of p over them is a length across u.

    ``across`` is the direction of p in the piece's frame.
    """

    start: Array
    end: Array
    across: Array

    def at(self, s: Array) -> Array:
        """Length of the region across u at each s; s must not be at a corner."""
        p, inside = self._crossings(s)
        signed = np.where(inside, p, 0.0) * np.sign(self.end[:, 0] - self.start[:, 0])
        length: Array = np.abs(signed.sum(axis=1))
        return length

    def middle(self, s: float) -> float:
        """The p half-way through the first stretch of the region at ``s``."""
        p, inside = self._crossings(np.array([s]))
        return float(np.sort(p[inside])[:2].mean())

    def _crossings(self, s: Array) -> tuple[Array, NDArray[np.bool_]]:
        """Where every edge, drawn out to a line, passes each s, and whether it really reaches there."""
        (s0, p0), (s1, p1) = self.start.T, self.end.T
        with np.errstate(divide="ignore", invalid="ignore"):
            p: Array = p0 + (s[:, None] - s0) / (s1 - s0) * (p1 - p0)
        return p, (s[:, None] > np.minimum(s0, s1)) & (s[:, None] < np.maximum(s0, s1))


def _lengths(cut: Flat, side: Side, along: Array, k: int) -> _Lengths:
    u = side.frame[k, :, :2].T @ along[k]
    e = np.array([-u[1], u[0]])
    across = side.frame[k, :, :2] @ e
    starts, ends = [], []
    for polygon in pieces(cut, crumb=0.0):
        whole = shapely.orient_polygons(polygon)
        for ring in (whole.exterior, *whole.interiors):
            points = np.asarray(ring.coords)
            sp = np.column_stack(
                [points @ u + side.origin[k] @ along[k], points @ e + side.origin[k] @ across]
            )
            starts.append(sp[:-1])
            ends.append(sp[1:])
    return _Lengths(np.concatenate(starts), np.concatenate(ends), across)


def _product(one: _Lengths, two: _Lengths) -> tuple[float, float]:
    """The integral of the product of two lengths over s, and the s where most of it lies."""
    stops = np.unique(np.concatenate([one.start[:, 0], two.start[:, 0]]))
    low = max(one.start[:, 0].min(), two.start[:, 0].min())
    high = min(one.start[:, 0].max(), two.start[:, 0].max())
    stops = stops[(stops >= low) & (stops <= high)]
    wide = np.diff(stops) > 1e-12
    a, step = stops[:-1][wide], np.diff(stops)[wide]
    if not len(a):
        return 0.0, low
    # Both lengths jump at corners: two points inside each interval give the lines there.
    quarter = [(f.at(a + step / 4), f.at(a + 3 * step / 4)) for f in (one, two)]
    ends = [(1.5 * q - 0.5 * t, 1.5 * t - 0.5 * q) for q, t in quarter]
    middle = [(q + t) / 2 for q, t in quarter]
    share = step / 6 * (ends[0][0] * ends[1][0] + 4 * middle[0] * middle[1] + ends[0][1] * ends[1][1])
    most = int(np.argmax(share))
    return float(share.sum()), float(a[most] + step[most] / 2)


def _solid_share(cut_a: Flat, a: _Body, cut_b: Flat, b: _Body) -> tuple[float, Array]:
    """Shared volume and its place, of what is left of two slabs, as solids."""
    volume, most, place = 0.0, 0.0, np.zeros(3)
    for one in pieces(cut_a, crumb=0.0):
        mine = slab_solid(one, a[0].lower, a[0].upper, a[1])
        for two in pieces(cut_b, crumb=0.0):
            shared = mine ^ slab_solid(two, b[0].lower, b[0].upper, b[1])
            share = float(shared.volume())
            volume += share
            if share > most:
                most, box = share, np.array(shared.bounding_box())
                place = (box[:3] + box[3:]) / 2
    return volume, place
