"""A proved lower bound of a plan's length: no order of work ends earlier.

One pair of hands is one machine. For tasks that all come before a certain moment, with heads (the earliest
that each can begin) and tails (the least time from its end to that moment), work that could be put
aside at any time is best done longest tail first (J. R. Jackson's rule with preemption; J. Carlier, "The
one-machine sequencing problem", European Journal of Operational Research 11 (1982) 42–47, takes it as a
bound).
Here it is applied to the tasks before each task in turn: all of them have to be done by then, which gives
that task's own head, and at last to all tasks.
Times at which nobody is at the bench are left out: by the same exchange of minutes the rule stays best.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from laminature.planning.calendar import SAME, Calendar
from laminature.planning.network import Network

#: So many tasks are looked at for heads; later ones come from chains alone: a weaker bound, yet still one.
MOST = 500_000


def lower_bound(net: Network, calendar: Calendar) -> float:
    """Minutes by the clock before which no plan can end."""
    heads: list[float] = []
    ancestors: list[frozenset[int]] = []
    looked_at = 0
    for n in range(len(net)):
        mine: set[int] = set()
        ready = 0.0
        for m in net.before[n]:
            mine |= ancestors[m]
            mine.add(m)
            end = calendar.end(calendar.start(heads[m], net.hands[m]), net.hands[m])
            ready = max(ready, end + net.waits[m])
        ancestors.append(frozenset(mine))
        # Behind a single task there is nothing to add to what holds for that one.
        if len(net.before[n]) > 1 and looked_at < MOST:
            looked_at += len(mine)
            ready = max(ready, _preemptive(net, calendar, heads, sorted(mine), _distances(net, n, mine)))
        heads.append(calendar.start(ready, net.hands[n]))
    chains = max(
        (calendar.end(h, net.hands[n]) + net.tails[n] for n, h in enumerate(heads)),
        default=0.0,
    )
    everything = range(len(net))
    return max(chains, _preemptive(net, calendar, heads, everything, net.tails))


def _distances(net: Network, goal: int, mine: set[int]) -> Sequence[float]:
    """For each of ``mine``: the least time from the end of its hands-on time to the beginning of ``goal``."""
    far = [-1.0] * (goal + 1)
    for n in range(goal - 1, -1, -1):
        if n in mine:
            follow = max(
                (
                    (0.0 if m == goal else net.hands[m] + far[m])
                    for m in net.behind[n]
                    if m == goal or (m < goal and m in mine)
                ),
                default=0.0,
            )
            far[n] = net.waits[n] + follow
    return far


def _preemptive(
    net: Network,
    calendar: Calendar,
    heads: Sequence[float],
    those: Sequence[int],
    tails: Sequence[float],
) -> float:
    """The end of ``those`` tasks and their tails when work may be put aside, longest tail first."""
    coming = sorted(((heads[n], n) for n in those if net.hands[n] > 0.0), reverse=True)
    longest = max((heads[n] + tails[n] for n in those if net.hands[n] <= 0.0), default=0.0)
    ready: list[tuple[float, int]] = []
    left = {n: net.hands[n] for _, n in coming}
    now = 0.0
    while coming or ready:
        if not ready:
            now = max(now, coming[-1][0])
        now, until = calendar.next_hands(now)
        while coming and coming[-1][0] <= now + SAME:
            _, n = coming.pop()
            heapq.heappush(ready, (-tails[n], n))
        if not ready:
            continue
        n = ready[0][1]
        stop = min(until, coming[-1][0] if coming else until)
        step = min(left[n], stop - now)
        left[n] -= step
        now += step
        if left[n] <= SAME:
            heapq.heappop(ready)
            longest = max(longest, now + tails[n])
    return longest
