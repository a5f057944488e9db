"""From an order of tasks to their times: each begins when its turn has come and what it waits for is over."""

from __future__ import annotations

import math
from collections.abc import Sequence

from laminature.model.task import Slot
from laminature.planning.calendar import DAY, SAME, Calendar
from laminature.planning.network import Network

#: How late tasks begin, all together; the length, minutes; evenings on which there is something to do;
#: changes from one kind to another.
Score = tuple[float, float, int, int]
#: Of an order that is worse than asked for.
WORSE: Score = (math.inf, math.inf, 0, 0)
#: When hands are free, the evening and the kind last worked on; evenings, changes, length, lateness so far.
State = tuple[float, int, str, int, int, float, float]


class Order:
    """An order with its times, from which orders that differ from some place on are scored quickly.

    With ``due`` starts tasks that begin after theirs count as late.
    """

    def __init__(
        self, net: Network, calendar: Calendar, sequence: Sequence[int], due: Sequence[float] | None = None
    ) -> None:
        self.net, self.calendar, self.due = net, calendar, due
        self.sequence = list(sequence)
        self.over = [0.0] * len(net)
        self._states: list[State] = [(0.0, -1, "", 0, 0, 0.0, 0.0)]
        self.score = self._place(0, self.sequence, self.over, WORSE, self._states)

    @property
    def length(self) -> float:
        """When the last wait ends, minutes by the clock."""
        return self.score[1]

    def scored(self, first: int, sequence: Sequence[int]) -> Score:
        """The score of ``sequence``, alike before place ``first``; WORSE if it is soon seen to be worse."""
        return self._place(first, sequence, self.over[:], self.score, None)

    def _place(
        self,
        first: int,
        sequence: Sequence[int],
        over: list[float],
        least: Score,
        states: list[State] | None,
    ) -> Score:
        net, due, evening = self.net, self.due, self.calendar.evening
        latest, longest = least[0] + SAME, least[1] + SAME
        tasks, before, hands, waits, tails = net.tasks, net.before, net.hands, net.waits, net.tails
        free, day, kind, evenings, changes, length, late = self._states[first]
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
                start = end = ready
            if due is None:
                if end + tails[n] > longest:
                    return WORSE
            elif start > due[n]:
                late += start - due[n]
                if late > latest:
                    return WORSE
            over[n] = end + waits[n]
            length = max(length, over[n])
            if states is not None:
                states.append((free, day, kind, evenings, changes, length, late))
        return (round(late, 6), round(length, 6), evenings, max(0, changes - 1))

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
