"""Lines that run a hair's breadth beside others, left out: seams of joints, steps of mouldings."""

from __future__ import annotations

from collections.abc import Sequence

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
    kept: list[tuple[Array, Array]] = []
    for number, (k, before) in enumerate(zip(sets, _beside(strung, max(gaps)), strict=True)):
        points = shapely.get_coordinates(strung[number])
        start, end = points[:-1], points[1:]
        if before:
            others = [np.concatenate(x) for x in zip(*(kept[n] for n in before), strict=True)]
            pairs = np.indices((len(start), len(others[0]))).reshape(2, -1)
            gap = gaps[k] if strung[number].length > short else max(gaps)
            of, low, high = _alongside((start, end), (others[0], others[1]), pairs, gap)
            of, low, high = remaining(of, low, high, len(start))
            way = (end - start)[of]
            start, end = start[of] + low[:, None] * way, start[of] + high[:, None] * way
        kept.append((start, end))
    found = []
    for k in range(len(lines)):
        mine = [np.stack(kept[n], axis=1) for n in range(len(kept)) if sets[n] == k]
        found.append(shapely.multilinestrings(shapely.linestrings(np.concatenate(mine))) if mine else _NONE)
    return tuple(found)


def _beside(lines: Sequence[Shape], gap: float) -> list[list[int]]:
    """For each line those before it that run beside it somewhere."""
    found: list[list[int]] = [[] for _ in lines]
    if not lines:
        return found
    points, of = shapely.get_coordinates(np.array(lines, dtype=object), return_index=True)
    inner = of[:-1] == of[1:]
    start, end, of = points[:-1][inner], points[1:][inner], of[:-1][inner]
    runs = shapely.linestrings(np.stack([start, end], axis=1))
    pairs = shapely.STRtree(runs).query(runs, predicate="dwithin", distance=gap)
    pairs = pairs[:, of[pairs[0]] > of[pairs[1]]]
    _, _, _, near = _all_alongside((start, end), (start, end), pairs, gap)
    for later, earlier in np.unique(of[pairs[:, near]], axis=1).T:
        found[int(later)].append(int(earlier))
    return found


def _alongside(
    runs: tuple[Array, Array], others: tuple[Array, Array], pairs: Indices, gap: float
) -> tuple[Indices, Array, Array]:
    """Which parts of ``runs`` lie within ``gap`` beside one of the ``others``, as shares of each."""
    of, low, high, near = _all_alongside(runs, others, pairs, gap)
    return of[near], low[near], high[near]


def _all_alongside(
    runs: tuple[Array, Array], others: tuple[Array, Array], pairs: Indices, gap: float
) -> tuple[Indices, Array, Array, NDArray[np.bool_]]:
    """The same for each of ``pairs`` (2, n) of a run and another, and whether there is any such part."""
    (start, end), (other_start, other_end) = runs, others
    i, j = pairs
    way, other = (end - start)[i], (other_end - other_start)[j]
    long, other_long = np.hypot(way[:, 0], way[:, 1]), np.hypot(other[:, 0], other[:, 1])
    along = np.abs((way * other).sum(axis=1)) > ALONG * long * other_long
    unit = way / long[:, None]
    a, b = other_start[j] - start[i], other_end[j] - start[i]
    at_a, at_b = (a * unit).sum(axis=1) / long, (b * unit).sum(axis=1) / long
    off_a, off_b = (unit[:, 0] * p[:, 1] - unit[:, 1] * p[:, 0] for p in (a, b))
    low, high = np.clip(np.minimum(at_a, at_b), 0.0, 1.0), np.clip(np.maximum(at_a, at_b), 0.0, 1.0)
    # How far off the other line is changes evenly along this one. Of lines at right angles none is asked.
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = np.where(along, (off_b - off_a) / (at_b - at_a), 0.0)
    base = off_a - slope * at_a
    low, high = bounded(low, high, gap - base, -slope)
    low, high = bounded(low, high, gap + base, slope)
    return i, low, high, along & (high > low)
