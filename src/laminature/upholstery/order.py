"""The order in which buttons are sewn: from the middle outwards, with the shortest way on the back.

Cloth is drawn in at each button, and a button sewn inside one that is fixed already makes the cloth
between them bunch. So a button may be sewn only after every one that lies two or more
rings further in; within that rule the way is the shortest. It is exact where
any two rings that follow each other have few buttons: a state is the set of buttons of the two outermost
rings begun that are done, with the last of them, and the best way to each state follows from smaller
ones (Held and Karp, *Journal of the Society for Industrial and Applied Mathematics* 10, 1962). Larger
layouts are searched by 2-opt and Or-opt.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Array, Point
from laminature.geometry.shortest import shortest_order

#: Two rings of up to this many buttons together are solved exactly.
EXACT = 12
#: From a middle ring of many buttons no more beginnings than this are tried.
BEGINNINGS = 4


def sewing_order(points: Sequence[Point], rings: Sequence[int]) -> tuple[int, ...]:
    """The numbers of the buttons in the order of sewing.

    Begins in the innermost ring; a button comes after all those at least two rings further in.
    """
    if not points:
        return ()
    at = np.array(points, dtype=float)
    # Numbered without gaps, so that the ring after one is the next that has buttons.
    known = {r: k for k, r in enumerate(sorted(set(rings)))}
    ring = np.array([known[r] for r in rings])
    groups = [np.flatnonzero(ring == k) for k in range(len(known))]
    real = sorted(known)
    pairs = [len(a) + len(b) for a, b in itertools.pairwise(groups)] or [len(groups[0])]
    if max(pairs) <= EXACT and all(b - a == 1 for a, b in itertools.pairwise(real)):
        return tuple(_exact(at, groups))
    return tuple(_searched(at, np.array(rings)))


def travel(points: Sequence[Point], order: Sequence[int]) -> float:
    """The way from button to button in that order, mm."""
    return sum(math.dist(points[a], points[b]) for a, b in itertools.pairwise(order))


_Windows = list[tuple[NDArray[np.intp], NDArray[np.intp]]]


def _exact(at: Array, groups: list[NDArray[np.intp]]) -> list[int]:
    """Over windows of two rings: the inner one may be unfinished until the window moves on."""
    empty = np.zeros(0, dtype=np.intp)
    windows = list(zip([empty, *groups[:-1]], groups, strict=True))
    tables: list[Array] = []
    for number, (inner, outer) in enumerate(windows):
        members = np.concatenate([inner, outer])
        best = np.full((1 << len(members), len(members)), np.inf)
        _enter(best, at, number, windows, tables)
        _grow(best, _apart(at, members, members))
        tables.append(best)
    return _walked_back(at, windows, tables)


def _before(number: int, mask: int, windows: _Windows) -> tuple[int, int]:
    """The window and its state from which window ``number`` is entered, ``mask`` of its inner ring done.

    Where none of that is done, the ring within it has just been finished: that is the window before.
    """
    if mask == 0:
        return number - 2, (1 << sum(map(len, windows[number - 2]))) - 1
    within = len(windows[number - 1][0])
    return number - 1, ((1 << within) - 1) | (mask << within)


def _enter(best: Array, at: Array, number: int, windows: _Windows, tables: list[Array]) -> None:
    """The states in which the first button of a window's outer ring has just been sewn."""
    inner, outer = windows[number]
    if number == 0:
        for k in range(len(outer)):
            best[1 << k, k] = 0.0
        return
    # Only from the third ring on can the inner ring of a window be left for later altogether.
    for mask in range(1 if number == 1 else 0, 1 << len(inner)):
        window, state = _before(number, mask, windows)
        way = _apart(at, np.concatenate(windows[window]), outer)
        reached = np.min(tables[window][state][:, None] + way, axis=0)
        for k in range(len(outer)):
            bit = len(inner) + k
            best[mask | (1 << bit), bit] = reached[k]


def _grow(best: Array, way: Array) -> None:
    """From each state to those with one button more, all sets of one size at once."""
    states, count = best.shape
    masks = np.arange(states)
    size = np.array([int(m).bit_count() for m in masks])
    for k in range(1, count):
        at = masks[size == k]
        reached = np.min(best[at][:, :, None] + way[None, :, :], axis=1)
        for j in range(count):
            free = (at >> j) & 1 == 0
            to = at[free] | (1 << j)
            best[to, j] = np.minimum(best[to, j], reached[free, j])


def _walked_back(at: Array, windows: _Windows, tables: list[Array]) -> list[int]:
    number = len(windows) - 1
    mask = tables[number].shape[0] - 1
    costs = tables[number][mask]
    order: list[int] = []
    while True:
        members = np.concatenate(windows[number])
        last = int(np.argmin(costs))
        order.append(int(members[last]))
        mask &= ~(1 << last)
        inner = len(windows[number][0])
        if mask >> inner == 0:
            if number == 0:
                return order[::-1]
            number, mask = _before(number, mask, windows)
            members = np.concatenate(windows[number])
        costs = tables[number][mask] + _apart(at, members, np.array([order[-1]]))[:, 0]


def _apart(at: Array, a: NDArray[np.intp], b: NDArray[np.intp]) -> Array:
    return np.asarray(np.hypot(*(at[a][:, None, :] - at[b][None, :, :]).transpose(2, 0, 1)))


def _searched(at: Array, rings: NDArray[np.intp]) -> list[int]:
    """The best that the search finds from a few beginnings in the innermost ring."""
    before = [(int(a), int(b)) for a, b in np.argwhere(rings[:, None] + 2 <= rings[None, :])]
    found = []
    given = sorted(range(len(at)), key=lambda k: (int(rings[k]), math.atan2(at[k, 1], at[k, 0])))
    for start in np.flatnonzero(rings == rings.min())[:BEGINNINGS].tolist():
        rest = np.array([k for k in range(len(at)) if k != start])
        place = {int(k): i for i, k in enumerate(rest)}
        pairs = [(place[a], place[b]) for a, b in before if a != start]
        spots = at[rest]
        first = [place[k] for k in given if k != start]
        here = (float(at[start, 0]), float(at[start, 1]))
        order = [start, *(int(rest[k]) for k in shortest_order(spots, spots, here, None, pairs, first))]
        found.append((round(travel([(float(x), float(y)) for x, y in at], order), 6), order))
    return min(found)[1]
