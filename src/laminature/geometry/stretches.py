"""Stretches of many lines at once: the number ``of`` each one's line, and where it runs, from 0 to 1."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


def bounded(low: Array, high: Array, at: Array, slope: Array) -> tuple[Array, Array]:
    """Where ``at`` + t · ``slope`` >= 0, for t from ``low`` to ``high``; nowhere gives low >= high."""
    with np.errstate(divide="ignore", invalid="ignore"):
        root = -at / slope
    never = (slope == 0.0) & (at < 0.0)
    low = np.where(slope > 0.0, np.maximum(low, root), low)
    high = np.where(slope < 0.0, np.minimum(high, root), high)
    return low, np.where(never, low - 1.0, high)


def merged(of: Indices, low: Array, high: Array) -> tuple[Indices, Array, Array]:
    """Stretches that overlap or touch, joined, line by line."""
    order = np.lexsort((low, of))
    of, low, high = of[order], low[order], high[order]
    # Lines follow each other three units apart, so that one running maximum serves all.
    reach = np.maximum.accumulate(high + 3.0 * of) if len(of) else high
    first = np.ones(len(of), dtype=bool)
    first[1:] = low[1:] + 3.0 * of[1:] > reach[:-1] + 1e-9
    last = np.flatnonzero(np.append(first[1:], True)) if len(of) else np.zeros(0, dtype=np.int64)
    return of[first], low[first], reach[last] - 3.0 * of[last]


def remaining(of: Indices, low: Array, high: Array, count: int) -> tuple[Indices, Array, Array]:
    """What the stretches leave of ``count`` lines."""
    of, low, high = merged(of, low, high)
    every = np.arange(count)
    line = np.concatenate([of, every])
    begin = np.concatenate([high, np.zeros(count)])
    order = np.lexsort((begin, line))
    line, begin = line[order], begin[order]
    ends = np.concatenate([low, np.ones(count)])
    finish = ends[np.lexsort((ends, np.concatenate([of, every])))]
    keep = finish > begin
    return line[keep], begin[keep], finish[keep]
