"""Which buttons are neighbours, and in which ring about the centre each lies."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence

import numpy as np

from laminature.geometry.path import Array, Point

#: Neighbours further apart than this many times the usual distance to the nearest have no fold between them.
FAR = 1.8


def neighbours(points: Array) -> tuple[tuple[int, int], ...]:
    """Pairs of points with no other in or on the circle that has them at its ends (their Gabriel graph).

    Gabriel and Sokal, *Systematic Zoology* 18 (1969). Pairs that lie much further apart than
    points usually do from their nearest are left out.
    """
    n = len(points)
    if n < 2:
        return ()
    squared = np.sum((points[:, None, :] - points[None, :, :]) ** 2, axis=2)
    usual = nearest_distance(points)
    found = []
    for a in range(n):
        for b in range(a + 1, n):
            within = squared[a] + squared[b] <= squared[a, b] + 1e-9
            within[[a, b]] = False
            if not within.any() and math.sqrt(squared[a, b]) <= FAR * usual:
                found.append((a, b))
    return tuple(found)


def nearest_distance(points: Array) -> float:
    """How far points usually lie from their nearest neighbour: the median, mm; 0 for fewer than two."""
    if len(points) < 2:
        return 0.0
    apart = np.hypot(*(points[:, None, :] - points[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    return float(np.median(apart.min(axis=1)))


def rings_about(points: Array, links: Sequence[tuple[int, int]], centre: Point) -> tuple[int, ...]:
    """For each point the least number of links that lead to it from those nearest to the centre.

    Where links do not reach all points, the two nearest points of different groups count as linked.
    """
    if len(points) == 0:
        return ()
    away = np.hypot(*(points - np.array(centre)).T)
    beside: list[list[int]] = [[] for _ in range(len(points))]
    for a, b in links:
        beside[a].append(b)
        beside[b].append(a)
    ring = [-1] * len(points)
    start = [int(k) for k in np.flatnonzero(away <= away.min() + 1e-6)]
    _spread(start, 0, ring, beside)
    while -1 in ring:
        reached = [k for k, r in enumerate(ring) if r >= 0]
        left = [k for k, r in enumerate(ring) if r < 0]
        apart = np.hypot(*(points[left][:, None, :] - points[reached][None, :, :]).transpose(2, 0, 1))
        one, other = np.nonzero(apart <= apart.min() + 1e-6)
        number = min(ring[reached[int(k)]] for k in other) + 1
        _spread([left[int(k)] for k in one], number, ring, beside)
    return tuple(ring)


def _spread(start: Sequence[int], number: int, ring: list[int], beside: Sequence[Sequence[int]]) -> None:
    queue = deque(dict.fromkeys(start))
    for k in queue:
        ring[k] = number
    while queue:
        here = queue.popleft()
        for k in beside[here]:
            if ring[k] < 0:
                ring[k] = ring[here] + 1
                queue.append(k)
