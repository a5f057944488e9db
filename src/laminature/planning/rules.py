"""Rules that make a first order: of the tasks that can begin, which comes next."""

from __future__ import annotations

from collections.abc import Callable

from laminature.planning.calendar import SAME, Calendar
from laminature.planning.network import Network

#: Says which of the tasks that can begin comes next: these, the time, and the kind that was worked on last.
Choose = Callable[[list[int], float, str], int]
#: So much slack lets a maker get out the tools for the kind of which most can be done, minutes.
AT_EASE = 60.0


def longest_tail(net: Network, calendar: Calendar) -> list[int]:
    """Of all tasks that can begin, the one with the longest tail comes first (Jackson; Schrage; Carlier)."""
    return _listed(net, calendar, lambda ready, *_: min(ready, key=lambda n: (-net.tails[n], n)))


def latest_starts(net: Network, calendar: Calendar, target: float) -> list[float]:
    """When each task has to begin, at the latest, for all that follows from it to be over at ``target``."""
    latest = [0.0] * len(net)
    for n in reversed(range(len(net))):
        end = min((latest[m] for m in net.behind[n]), default=target) - net.waits[n]
        latest[n] = calendar.latest(end, net.hands[n])
    return latest


def most_urgent(net: Network, calendar: Calendar, target: float) -> list[int]:
    """Of all tasks that can begin, the one that has to begin first for a plan of ``target`` minutes."""
    latest = latest_starts(net, calendar, target)
    return _listed(net, calendar, lambda ready, *_: min(ready, key=lambda n: (latest[n], n)))


def staying(net: Network, calendar: Calendar, target: float) -> list[int]:
    """The same, but it stays with a kind of task as long as a plan of ``target`` minutes allows that."""
    latest = latest_starts(net, calendar, target)
    kinds = [task.kind for task in net.tasks]

    def choose(ready: list[int], now: float, last: str) -> int:
        urgent = min(ready, key=lambda n: (latest[n], n))
        same = [n for n in ready if kinds[n] == last]
        if same:
            stay = min(same, key=lambda n: (latest[n], n))
            return stay if now + net.hands[stay] <= latest[urgent] + SAME else urgent
        if latest[urgent] <= now + AT_EASE:
            return urgent
        work: dict[str, float] = {}
        for n in ready:
            work[kinds[n]] = work.get(kinds[n], 0.0) + net.hands[n]
        most = max(work, key=lambda kind: (work[kind], kind))
        return min((n for n in ready if kinds[n] == most), key=lambda n: (latest[n], n))

    return _listed(net, calendar, choose)


def _listed(net: Network, calendar: Calendar, choose: Choose) -> list[int]:
    missing = [len(b) for b in net.before]
    can = [0.0] * len(net)
    open_ = [n for n in range(len(net)) if missing[n] == 0]
    order: list[int] = []
    now, last = 0.0, ""
    while open_:
        waiting = [n for n in open_ if net.hands[n] <= 0.0]
        if waiting:
            n, end = waiting[0], can[waiting[0]]
        else:
            starts = {n: calendar.start(max(now, can[n]), net.hands[n]) for n in open_}
            first = min(starts.values())
            n = choose([n for n in open_ if starts[n] <= first + SAME], first, last)
            now = end = calendar.end(starts[n], net.hands[n])
            last = net.tasks[n].kind
        open_.remove(n)
        order.append(n)
        for m in net.behind[n]:
            can[m] = max(can[m], end + net.waits[n])
            missing[m] -= 1
            if missing[m] == 0:
                open_.append(m)
    return order
