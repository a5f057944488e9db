"""The shortest way through a number of stops: nearest neighbour, then 2-opt and Or-opt.

A stop is entered at one point and left at another, which may be the same; a reversed run of stops
is walked stop by stop in the new order, each still from its entry to its exit. So distances are not
alike both ways, and every move is weighed with sums over both directions. Both searches are the
textbook ones (Croes 1958; Or 1976), weighed over all pairs at once with numpy.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Point

Array = NDArray[np.float64]
#: First and second of the pairs of which one comes before the other.
Pairs = tuple[NDArray[np.intp], ...]
#: A move has to save more than this, mm, so that rounding cannot make the search run in circles.
GAIN = 1e-7
#: The longest run of stops that Or-opt moves elsewhere.
LONGEST_RUN = 3
#: From this many stops on, the better of two beginnings is no longer worth its time.
MANY = 400


def shortest_order(
    entries: Array,
    exits: Array,
    start: Point,
    end: Point | None = None,
    before: Iterable[tuple[int, int]] = (),
    given: Sequence[int] | None = None,
) -> list[int]:
    """An order of the stops with short ways from ``start`` through all of them, and on to ``end`` if given.

    ``entries`` and ``exits`` are (n, 2), mm. A pair (a, b) in ``before`` says that a comes before b; the
    pairs must not go in a circle. ``given`` is an order that the search may also begin from.
    """
    n = len(entries)
    cost = _costs(entries, exits, start, end)
    need = np.zeros((n, n), dtype=bool)
    for a, b in before:
        need[a, b] = True
    beginnings = [_nearest(cost, need)]
    if given is not None:
        beginnings.append(list(given))
    if n < MANY:
        beginnings.append(_cheapest_insertion(cost, need))
    found = [_improved(order, cost, need) for order in beginnings]
    return min(found, key=lambda order: (round(_length(order, cost), 6), order))


def _costs(entries: Array, exits: Array, start: Point, end: Point | None) -> Array:
    """Distances (n + 2, n + 2) from the exit of one stop to the entry of another.

    Row n is the way from the start, column n + 1 that to the end: nothing where no end is given.
    """
    n = len(entries)
    cost = np.zeros((n + 2, n + 2))
    if n:
        cost[:n, :n] = np.hypot(*(exits[:, None, :] - entries[None, :, :]).transpose(2, 0, 1))
        cost[n, :n] = np.hypot(*(entries - np.asarray(start)).T)
        if end is not None:
            cost[:n, n + 1] = np.hypot(*(exits - np.asarray(end)).T)
    return cost


def _length(order: Sequence[int], cost: Array) -> float:
    n = len(cost) - 2
    walk = [n, *order, n + 1]
    return float(cost[walk[:-1], walk[1:]].sum())


def _nearest(cost: Array, need: NDArray[np.bool_]) -> list[int]:
    n = len(cost) - 2
    waits = need.sum(axis=0)
    left = np.ones(n, dtype=bool)
    order: list[int] = []
    here = n
    for _ in range(n):
        ways = np.where(left & (waits == 0), cost[here, :n], np.inf)
        here = int(np.argmin(ways))
        order.append(here)
        left[here] = False
        waits = waits - need[here]
    return order


def _cheapest_insertion(cost: Array, need: NDArray[np.bool_]) -> list[int]:
    """Stop after stop put in where it lengthens the way least; those that others wait for come first."""
    n = len(cost) - 2
    walk = [n, n + 1]
    for stop in _nearest(cost, need):
        w = np.array(walk)
        more = cost[w[:-1], stop] + cost[stop, w[1:]] - cost[w[:-1], w[1:]]
        first = max((walk.index(a) for a in np.flatnonzero(need[:, stop]).tolist() if a in walk), default=0)
        at = first + int(np.argmin(more[first:]))
        walk.insert(at + 1, stop)
    return walk[1:-1]


def _improved(order: list[int], cost: Array, need: NDArray[np.bool_]) -> list[int]:
    """The order after the best move, and the next, until no move of either kind helps."""
    if len(order) < 2:
        return order
    # Told once: asking the whole table again at every move takes most of the time.
    pairs = np.nonzero(need) if need.any() else None
    while True:
        for move in (_two_opt, _or_opt):
            better = move(order, cost, pairs)
            if better is not None:
                order = better
                break
        else:
            return order


def _two_opt(order: list[int], cost: Array, pairs: Pairs | None) -> list[int] | None:
    """The order with its best run i…j reversed; None where that helps nowhere."""
    n = len(order)
    walk = np.array([n, *order, n + 1])
    ahead = np.concatenate([[0.0], np.cumsum(cost[walk[:-1], walk[1:]])])
    back = np.concatenate([[0.0], np.cumsum(cost[walk[1:], walk[:-1]])])
    i, j = np.triu_indices(n, 1)
    i, j = i + 1, j + 1
    now = ahead[j + 1] - ahead[i - 1]
    then = cost[walk[i - 1], walk[j]] + (back[j] - back[i]) + cost[walk[i], walk[j + 1]]
    gain = now - then
    for best in _promising(gain):
        a, b = int(i[best]) - 1, int(j[best]) - 1
        made = [*order[:a], *reversed(order[a : b + 1]), *order[b + 1 :]]
        if pairs is None or _keeps(made, pairs):
            return made
    return None


def _or_opt(order: list[int], cost: Array, pairs: Pairs | None) -> list[int] | None:
    """The order with its best run of one to three stops moved elsewhere; None where that helps nowhere."""
    n = len(order)
    walk = np.array([n, *order, n + 1])
    moves = []
    for size in range(1, min(LONGEST_RUN, n - 1) + 1):
        first = np.arange(1, n - size + 2)
        last = first + size - 1
        freed = (
            cost[walk[first - 1], walk[first]]
            + cost[walk[last], walk[last + 1]]
            - cost[walk[first - 1], walk[last + 1]]
        )
        after = np.arange(n + 1)
        spent = (
            cost[walk[after][None, :], walk[first][:, None]]
            + cost[walk[last][:, None], walk[after + 1][None, :]]
            - cost[walk[after], walk[after + 1]][None, :]
        )
        inside = (after[None, :] >= first[:, None] - 1) & (after[None, :] <= last[:, None])
        gain = np.where(inside, -np.inf, freed[:, None] - spent)
        for best in _promising(gain.ravel()):
            k, at = divmod(int(best), n + 1)
            moves.append((float(gain[k, at]), k, size, at))
    for _, k, size, at in sorted(moves, reverse=True):
        run, rest = order[k : k + size], order[:k] + order[k + size :]
        to = at if at <= k else at - size
        made = [*rest[:to], *run, *rest[to:]]
        if pairs is None or _keeps(made, pairs):
            return made
    return None


def _promising(gain: Array, most: int = 60) -> list[int]:
    """The moves that save something, the best first; no more than ``most`` are looked at."""
    if not len(gain):
        return []
    if gain.max() <= GAIN:
        return []
    some = np.flatnonzero(gain > GAIN)
    if len(some) > most:
        some = some[np.argpartition(-gain[some], most)[:most]]
    return [int(k) for k in some[np.lexsort((some, -gain[some]))]]


def _keeps(order: Sequence[int], pairs: Pairs) -> bool:
    at = np.empty(len(order), dtype=int)
    at[list(order)] = np.arange(len(order))
    a, b = pairs
    return bool((at[a] < at[b]).all())
