"""Lines that run a hair's breadth beside others, left out: seams of joints, steps of mouldings."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Shape
from laminature.geometry.stretches import bounded, remaining

Array = NDArray[np.float64]
Indices = NDArray[np.int64]

#: Lines that differ in direction by less than this run side by side, as a cosine: 15 degrees.
ALONG = 0.966
_NONE = shapely.MultiLineString()


def thinned(lines: Sequence[Shape], gaps: Sequence[float], short: float = 0.0) -> tuple[Shape, ...]:
    """The same sets of lines without what runs beside a line that is kept, closer than its set's gap, mm.

    Those of earlier sets are kept rather than later ones, and longer lines rather than shorter ones: the
    seams of joints, a hair's breadth wide, become one line, and a moulding's steps are not drawn black.
    For lines shorter than ``short`` mm the largest gap counts.
    """
    strung: list[Shape] = []
    sets: list[int] = []
    for k, one in enumerate(lines):
        parts = [p for p in shapely.get_parts(shapely.line_merge(one)) if shapely.get_type_id(p) == 1]
        strung += sorted(parts, key=lambda p: (-round(p.length, 6), p.bounds))
        sets += [k] * len(parts)
    if not strung:
        return tuple(_NONE for _ in lines)
    points, of = shapely.get_coordinates(np.array(strung, dtype=object), return_index=True)
    inner = of[:-1] == of[1:]
    start, end, of = points[:-1][inner], points[1:][inner], of[:-1][inner]
    run, other = _beside(start, end, of, max(gaps))
    bounds = np.searchsorted(of[run], np.arange(len(strung) + 1))
    edges = np.searchsorted(of, np.arange(len(strung) + 1))
    kept = _Kept(len(start))
    counts = np.zeros(len(lines) + 1, dtype=np.int64)
    for number, k in enumerate(sets):
        mine = slice(int(edges[number]), int(edges[number + 1]))
        near = slice(int(bounds[number]), int(bounds[number + 1]))
        piece, which = kept.of(other[near])
        gap = gaps[k] if strung[number].length > short else max(gaps)
        runs = run[near][which]
        covered = _alongside((start[runs], end[runs]), (kept.start[piece], kept.end[piece]), gap)
        kept.add(start[mine], end[mine], mine.start, runs[covered.found] - mine.start, covered)
        counts[k + 1] = kept.count
    # Sets without lines end where the one before them does.
    counts = np.maximum.accumulate(counts)
    found = []
    for low, high in itertools.pairwise(int(c) for c in counts):
        both = np.stack([kept.start[low:high], kept.end[low:high]], axis=1)
        found.append(shapely.multilinestrings(shapely.linestrings(both)) if low < high else _NONE)
    return tuple(found)


@dataclass(frozen=True, eq=False)
class _Covered:
    """Which pairs lie beside each other somewhere (``found``), and where on the first, from 0 to 1."""

    found: Indices
    low: Array
    high: Array


class _Kept:
    """What is kept of each stretch, in their order: several pieces, one or none."""

    def __init__(self, stretches: int) -> None:
        self.start, self.end = np.zeros((2 * stretches, 2)), np.zeros((2 * stretches, 2))
        self.first = np.zeros(stretches, dtype=np.int64)
        self.pieces = np.zeros(stretches, dtype=np.int64)
        self.count = 0

    def of(self, stretches: Indices) -> tuple[Indices, Indices]:
        """The numbers of the pieces of ``stretches``, and for each the index of its stretch in them."""
        count = self.pieces[stretches]
        which = np.repeat(np.arange(len(stretches)), count)
        ahead = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        return self.first[stretches][which] + ahead, which

    def add(self, start: Array, end: Array, number: int, of: Indices, covered: _Covered) -> None:
        """Keep what ``covered`` leaves of the stretches from ``number`` on."""
        if len(of):
            left, low, high = remaining(of, covered.low, covered.high, len(start))
        else:
            left, low, high = np.arange(len(start)), np.zeros(len(start)), np.ones(len(start))
        way = (end - start)[left]
        more = self.count + len(left)
        if more > len(self.start):
            room = np.zeros((more + len(self.start), 2))
            self.start = np.concatenate([self.start, room])
            self.end = np.concatenate([self.end, room])
        self.start[self.count : more] = start[left] + low[:, None] * way
        self.end[self.count : more] = start[left] + high[:, None] * way
        self.pieces[number : number + len(start)] = np.bincount(left, minlength=len(start))
        mine = self.pieces[number : number + len(start)]
        self.first[number : number + len(start)] = self.count + np.cumsum(mine) - mine
        self.count = more


def _beside(start: Array, end: Array, of: Indices, gap: float) -> tuple[Indices, Indices]:
    """Pairs of stretches that run beside each other, the second of an earlier line, in the first's order."""
    runs = shapely.linestrings(np.stack([start, end], axis=1))
    one, other = shapely.STRtree(runs).query(runs, predicate="dwithin", distance=gap)
    later = of[one] > of[other]
    one, other = one[later], other[later]
    near = _alongside((start[one], end[one]), (start[other], end[other]), gap).found
    one, other = one[near], other[near]
    order = np.lexsort((other, one))
    return one[order], other[order]


def _alongside(runs: tuple[Array, Array], others: tuple[Array, Array], gap: float) -> _Covered:
    """Which of the ``runs`` have a part within ``gap`` beside the other of the same index, and where."""
    (start, end), (other_start, other_end) = runs, others
    way, other = end - start, other_end - other_start
    long, other_long = np.hypot(way[:, 0], way[:, 1]), np.hypot(other[:, 0], other[:, 1])
    along = np.abs((way * other).sum(axis=1)) > ALONG * long * other_long
    unit = way / long[:, None]
    a, b = other_start - start, other_end - start
    at_a, at_b = (a * unit).sum(axis=1) / long, (b * unit).sum(axis=1) / long
    off_a, off_b = (unit[:, 0] * p[:, 1] - unit[:, 1] * p[:, 0] for p in (a, b))
    low, high = np.clip(np.minimum(at_a, at_b), 0.0, 1.0), np.clip(np.maximum(at_a, at_b), 0.0, 1.0)
    # How far off the other line is changes evenly along this one. Of lines at right angles none is asked.
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(along, (off_b - off_a) / (at_b - at_a), 0.0)
    base = off_a - slope * at_a
    low, high = bounded(low, high, gap - base, -slope)
    low, high = bounded(low, high, gap + base, slope)
    found = np.flatnonzero(along & (high > low))
    return _Covered(found, low[found], high[found])
