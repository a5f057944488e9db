"""From an order of tasks to their times: each begins when its turn has come and what it waits for is over."""

from __future__ import annotations

import math
from collections.abc import Sequence

from laminature.model.task import Slot
from laminature.planning.calendar import DAY, SAME, Calendar
from laminature.planning.network import Network

#: Length in minutes, evenings on which there is something to do, changes from one kind to another.
Score = tuple[float, int, int]
#: Of a plan that is longer than asked for.
WORSE: Score = (math.inf, 0, 0)


class Order:
    """An order with its times, from which orders that differ from some place on are scored quickly."""

    def __init__(self, net: Network, calendar: Calendar, sequence: Sequence[int]) -> None:
        self.net, self.calendar = net, calendar
        self.sequence = list(sequence)
        self.over = [0.0] * len(net)
        self._states: list[tuple[float, int, str, int, int, float]] = [(0.0, -1, "", 0, 0, 0.0)]
        self.score = self._place(0, self.sequence, self.over, math.inf, self._states)

    def scored(self, first: int, sequence: Sequence[int], longest: float) -> Score:
        """The score of ``sequence``, alike before place ``first``; WORSE where it is longer than that."""
        return self._place(first, sequence, self.over[:], longest, None)

    def _place(
        self,
        first: int,
        sequence: Sequence[int],
        over: list[float],
        longest: float,
        states: list[tuple[float, int, str, int, int, float]] | None,
    ) -> Score:
        net, evening = self.net, self.calendar.evening
        tasks, before, hands, waits, tails = net.tasks, net.before, net.hands, net.waits, net.tails
        free, day, kind, evenings, changes, length = self._states[first]
        for k in range(first, len(sequence)):
            n = sequence[k]
            ready = 0.0
            for m in before[n]:
                ready = max(ready, over[m])
            work = hands[n]
            if work > 0.0:
                start = ready if ready > free else free
                if evening is None:
                    end = start + work
                    evenings = 1
                else:
                    start = self.calendar.start(start, work)
                    end = self.calendar.end(start, work)
                    begins, ends = int((start + SAME) // DAY), int((end - SAME) // DAY)
                    evenings += ends - begins + (begins != day)
                    day = ends
                free = end
                if tasks[n].kind != kind:
                    changes += 1
                    kind = tasks[n].kind
            else:
                end = ready
            if end + tails[n] > longest + SAME:
                return WORSE
            over[n] = end + waits[n]
            length = max(length, over[n])
            if states is not None:
                states.append((free, day, kind, evenings, changes, length))
        return (round(length, 6), evenings, max(0, changes - 1))

    def slots(self) -> tuple[Slot, ...]:
        """Every task's place in the plan, in the order of work."""
        free, found = 0.0, []
        for n in self.sequence:
            work, name = self.net.hands[n], self.net.tasks[n].name
            ready = max((self.over[m] for m in self.net.before[n]), default=0.0)
            if work <= 0.0:
                found.append(Slot(name, ready, ready, self.calendar.number(ready)))
                continue
            start = self.calendar.start(max(ready, free), work)
            for begin, end in self.calendar.stretches(start, work):
                found.append(Slot(name, begin, end, self.calendar.number(begin)))
                free = end
        return tuple(sorted(found, key=lambda s: s.start))
