"""Where pins go, so that no layer can be laid on them the wrong way round.

A wrong pose of a layer is a turn or a mirroring that brings its outline onto itself, or nearly. Three
places whose distances differ clearly allow none at all, whatever the outline: a pose that brings each
of them to within e of another would need two distances that differ by 2e at most, and one that flips
the triangle over and leaves each place where it was moves one of them by the triangle's least height.
Two places do where the outline itself has no such symmetry: then only the half turn about their middle
and the mirrorings along and across their line can bring them onto each other.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, permutations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, Flats, mapped
from laminature.geometry.path import Point
from laminature.geometry.pose import cos_sin

Array = NDArray[np.float64]
Triples = tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.intp]]
Sides = tuple[Array, Array, Array]
#: A layer that lies wrong misses a pin, or shows at its outline, by this at least, mm (common practice, no
#: source): far more than the play of a pin in its opening.
WRONG = 0.6
#: Differences beyond this make nothing any clearer, mm.
CLEAR = 3.0
#: Pairs of places that are looked at.
PAIRS = 300
#: So many pairs, the farthest apart, are the first to be tried as the longest side of a triangle.
LONGEST = 60


def pin_places(candidates: Array, apart: float, outlines: Flats) -> tuple[Point, ...]:
    """Three of the ``candidates`` (n, 2), or two, or none where they leave a wrong pose possible.

    They are at least ``apart`` mm from each other. ``outlines`` are the layers' borders, which matter only
    where two places have to do.
    """
    return _three(candidates, apart) or _two(candidates, apart, outlines)


def turnable(places: Sequence[Point], outlines: Flats) -> bool:
    """Whether a layer with one of these outlines can be laid on the pins in a wrong pose."""
    points = np.array(places).reshape(-1, 2)
    if len(points) < 2:
        return bool(outlines)
    held = [pose for pose in _poses(points) if _misses(pose, points) <= WRONG]
    return any(_plain(pose, points, outline) <= WRONG for pose in held for outline in outlines)


def _three(candidates: Array, apart: float) -> tuple[Point, ...]:
    """Of all triangles the clearest; of those as clear the longest, then the one of most sides; the first."""
    n = len(candidates)
    if n < 3:
        return ()
    away = np.hypot(*(candidates[:, None, :] - candidates[None, :, :]).T)
    # There are some 100,000. None is clearer than one of CLEAR, so if there is one among the longest, it is
    # one of those; they are looked at alone first.
    long = np.round(away, 6)
    some = long >= np.sort(long, axis=None)[-min(2 * LONGEST, n * n)]
    best, clear = _best(candidates, away, _triples_with(some), apart)
    if clear < np.round(CLEAR, 1):
        best, _ = _best(candidates, away, _triples(n), apart)
    return tuple(_point(candidates[corner]) for corner in best)


def _best(points: Array, away: Array, triples: Triples, apart: float) -> tuple[tuple[int, ...], float]:
    """The corners of the best of some triangles, none where none will do, and how clear it is, rounded."""
    sides = _sides(away, triples)
    fits = sides[0] >= apart
    triples, sides = _where(fits, triples), _where(fits, sides)
    clear = np.minimum(_clearness(points, triples, sides), CLEAR)
    if not (clear > WRONG).any():
        return (), 0.0
    rounded = np.round(clear, 1)
    most = rounded[clear > WRONG].max()
    fits = (clear > WRONG) & (rounded == most)
    triples, sides = _where(fits, triples), _where(fits, sides)
    longest = np.round(sides[2], 6)
    fits = longest == longest.max()
    triples, sides = _where(fits, triples), _where(fits, sides)
    one = np.argmax(np.round(sides[0] + sides[1] + sides[2], 6))
    return tuple(int(corners[one]) for corners in triples), float(most)


def _two(candidates: Array, apart: float, outlines: Flats) -> tuple[Point, ...]:
    """Of the pairs farthest apart the one whose least wrong pose is plainest, if it is plain enough."""
    pairs = np.array(list(combinations(range(len(candidates)), 2))).reshape(-1, 2)
    far = np.hypot(*(candidates[pairs[:, 0]] - candidates[pairs[:, 1]]).T)
    best, found = WRONG, np.zeros((0, 2))
    for k in np.lexsort((np.arange(len(pairs)), -np.round(far, 6)))[:PAIRS]:
        if far[k] < apart or best >= CLEAR:
            break
        points = candidates[pairs[k]]
        plain = min(_plain(pose, points, outline) for pose in _poses(points) for outline in outlines)
        if plain > best + 1e-6:
            best, found = plain, points
    return tuple(_point(p) for p in found)


def _triples(n: int) -> Triples:
    """All i < j < k below n, in the order of ``itertools.combinations``."""
    i, j = np.triu_indices(n, 1)
    more = n - 1 - j
    first, second = np.repeat(i, more), np.repeat(j, more)
    ahead = np.arange(len(first)) - np.repeat(np.cumsum(more) - more, more)
    return first, second, second + 1 + ahead


def _triples_with(pairs: NDArray[np.bool_]) -> Triples:
    """Those of :func:`_triples` that hold one of the pairs that a matrix marks, in the same order."""
    n = len(pairs)
    i, j = np.nonzero(np.triu(pairs, 1))
    k = np.arange(n)[:, None]
    first, last = np.minimum(i, k), np.maximum(j, k)
    middle = i + j + k - first - last
    real = (first < middle) & (middle < last)
    codes = np.unique(((first * n + middle) * n + last)[real])
    return codes // (n * n), codes // n % n, codes % n


def _where(kept: NDArray[np.bool_], three: tuple[NDArray[Any], NDArray[Any], NDArray[Any]]) -> Any:
    return tuple(each[kept] for each in three)


def _sides(away: Array, triples: Triples) -> Sides:
    """The sides of triangles, shortest first, from how far all points are away from each other."""
    i, j, k = triples
    p, q, r = away[i, j], away[j, k], away[k, i]
    low, high = np.minimum(p, q), np.maximum(p, q)
    return np.minimum(low, r), np.maximum(low, np.minimum(high, r)), np.maximum(high, r)


def _clearness(points: Array, triples: Triples, sides: Sides) -> Array:
    """By how much a layer misses the pins in the least wrong pose of all, for each triangle, mm."""
    x, y = points[:, 0], points[:, 1]
    i, j, k = triples
    twice = np.abs((x[j] - x[i]) * (y[k] - y[i]) - (y[j] - y[i]) * (x[k] - x[i]))
    height = twice / np.maximum(sides[2], 1e-9)
    clear: Array = np.minimum(height, np.minimum(sides[1] - sides[0], sides[2] - sides[1]) / 2.0)
    return clear


def _poses(points: Array) -> Iterator[tuple[Array, Array]]:
    """Matrix and shift of every wrong pose that brings two of the places onto two, nearly."""
    for i, j in permutations(range(len(points)), 2):
        for k, m in combinations(range(len(points)), 2):
            way, to = points[j] - points[i], points[m] - points[k]
            if abs(np.hypot(*way) - np.hypot(*to)) > 2.0 * WRONG:
                continue
            before = (points[i] + points[j]) / 2.0
            after = (points[k] + points[m]) / 2.0
            turn = math.degrees(math.atan2(to[1], to[0]) - math.atan2(way[1], way[0]))
            both = math.degrees(math.atan2(to[1], to[0]) + math.atan2(way[1], way[0]))
            (c, s), (cb, sb) = cos_sin(turn), cos_sin(both)
            if (i, j) != (k, m):
                matrix = np.array([[c, -s], [s, c]])
                yield matrix, after - matrix @ before
            mirrored = np.array([[cb, sb], [sb, -cb]])
            yield mirrored, after - mirrored @ before


def _misses(pose: tuple[Array, Array], points: Array) -> float:
    """How far the worst of the openings comes to lie from the nearest pin, mm."""
    matrix, shift = pose
    moved = points @ matrix.T + shift
    return float(np.hypot(*(moved[:, None, :] - points[None, :, :]).T).min(axis=0).max())


def _plain(pose: tuple[Array, Array], points: Array, outline: Flat) -> float:
    """By how much a layer misses a pin or stands out, at least, in this wrong pose or any one near it, mm.

    Moved so that openings miss the two pins farthest apart by e at most, it moves by e where these are and by
    e · (1 + 2 r / d) at most at r from their middle, d being how far they are apart. An outline that stands
    out by s where openings lie on pins thus stands out by s − e · (1 + 2 r / d), which is e or more up to
    e = s / (2 + 2 r / d).
    """
    ends = max(combinations(points, 2), key=lambda pair: float(np.hypot(*(pair[0] - pair[1]))))
    apart = float(np.hypot(*(ends[0] - ends[1])))
    ring = np.asarray(outline.exterior.coords)[:, :2]
    reach = float(np.hypot(*(ring - (ends[0] + ends[1]) / 2.0).T).max())
    return _shows(pose, outline) / (2.0 + 2.0 * reach / apart)


def _shows(pose: tuple[Array, Array], outline: Flat) -> float:
    """By how much an outline that lies wrong stands out, mm."""
    matrix, shift = pose
    moved = mapped(Flat(outline.exterior), matrix.tolist(), _point(shift))
    return float(moved.exterior.hausdorff_distance(outline.exterior))


def _point(p: Array) -> Point:
    return float(p[0]), float(p[1])
