"""When hands are at the bench: all the time, or every evening for so many minutes."""

from __future__ import annotations

import math
from dataclasses import dataclass

DAY = 1440.0
#: Times nearer than this are the same, minutes.
SAME = 1e-6


@dataclass(frozen=True)
class Calendar:
    """Evenings of ``evening`` minutes, one a day, the first at 0; None for hands that are always there.

    Times are minutes by the clock from the beginning of the first evening.
    """

    evening: float | None = None

    def start(self, ready: float, hands: float) -> float:
        """The first time from ``ready`` on at which ``hands`` minutes can be begun without a break.

        Work that no evening holds begins with an evening.
        """
        if self.evening is None or hands <= 0.0:
            return ready
        day = math.floor((ready + SAME) / DAY)
        into = max(0.0, ready - day * DAY)
        if hands > self.evening + SAME:
            return ready if into <= SAME else (day + 1) * DAY
        return ready if into + hands <= self.evening + SAME else (day + 1) * DAY

    def end(self, start: float, hands: float) -> float:
        """When work of ``hands`` minutes that is begun at ``start`` ends; it goes on evening by evening."""
        return self.stretches(start, hands)[-1][1]

    def stretches(self, start: float, hands: float) -> tuple[tuple[float, float], ...]:
        """The stretches (from, to) of such work: one, but where no evening holds it."""
        if self.evening is None or hands <= self.evening + SAME:
            return ((start, start + hands),)
        found = []
        left = hands
        while left > SAME:
            step = min(left, self.evening)
            found.append((start, start + step))
            left -= step
            start += DAY
        return tuple(found)

    def latest(self, end: float, hands: float) -> float:
        """The latest start of such work that ends by ``end``; below 0 where there is none."""
        if self.evening is None or hands <= 0.0:
            return end - hands
        more = math.ceil(hands / self.evening - SAME) - 1
        rest = hands - more * self.evening
        day = math.floor((end - rest + SAME) / DAY)
        if more > 0:
            return (day - more) * DAY
        return min(end - rest, day * DAY + self.evening - rest)

    def number(self, time: float) -> int:
        """Which evening ``time`` lies in or after, from 1; always 1 where hands are always there."""
        return 1 if self.evening is None else math.floor((time + SAME) / DAY) + 1

    def next_hands(self, time: float) -> tuple[float, float]:
        """The first stretch from ``time`` on during which hands are there: from, to."""
        if self.evening is None:
            return time, math.inf
        day = math.floor((time + SAME) / DAY)
        if time < day * DAY + self.evening - SAME:
            return max(time, day * DAY), day * DAY + self.evening
        return (day + 1) * DAY, (day + 1) * DAY + self.evening
