"""Stretches along a line: sorted, separate pairs of start and end."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Interval = tuple[float, float]
Intervals = tuple[Interval, ...]
Array = NDArray[np.float64]


def meet(a: Intervals, b: Intervals, least: float = 0.0) -> Intervals:
    """Where both lie, stretches no longer than ``least`` left out."""
    out = []
    i = j = 0
    while i < len(a) and j < len(b):
        lo, hi = max(a[i][0], b[j][0]), min(a[i][1], b[j][1])
        if hi - lo > least:
            out.append((lo, hi))
        if a[i][1] < b[j][1]:
            i += 1
        else:
            j += 1
    return tuple(out)


def minus(a: Intervals, b: Intervals, least: float = 0.0) -> Intervals:
    """Where the first lies without the second, stretches no longer than ``least`` left out."""
    out = []
    for lo, hi in a:
        at = lo
        for blo, bhi in b:
            if bhi <= at or blo >= hi:
                continue
            if blo - at > least:
                out.append((at, blo))
            at = max(at, bhi)
        if hi - at > least:
            out.append((at, hi))
    return tuple(out)


def holding(a: Intervals, at: float, slack: float = 0.0) -> Interval | None:
    """The stretch that holds the value ``at``, within ``slack``."""
    for lo, hi in a:
        if lo - slack <= at <= hi + slack:
            return (lo, hi)
    return None


def cross_sections(starts: Array, ends: Array, levels: Sequence[float]) -> list[Intervals]:
    """Where lines of constant second coordinate run inside a polygon.

    ``starts`` and ``ends`` are the polygon's edges, shape (m, 2), all rings together;
    one set of stretches of the first coordinate comes back for each level. A level through a
    corner counts it once (edges own their lower end).
    """
    lv = np.asarray(levels)[:, None]
    above0, above1 = starts[None, :, 1] > lv, ends[None, :, 1] > lv
    which, edge = np.nonzero(above0 != above1)
    if not len(which):
        return [()] * len(levels)
    p, q = starts[edge], ends[edge]
    at = p[:, 0] + (lv[which, 0] - p[:, 1]) / (q[:, 1] - p[:, 1]) * (q[:, 0] - p[:, 0])
    out: list[list[float]] = [[] for _ in levels]
    for w, value in zip(which.tolist(), at.tolist(), strict=True):
        out[w].append(value)
    found: list[Intervals] = []
    for values in out:
        values.sort()
        found.append(tuple(zip(values[0::2], values[1::2], strict=True)))
    return found
