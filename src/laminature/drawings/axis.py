"""An axis of time with breaks: stretches of work to scale, side by side, with narrow gaps between them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

from laminature.model.task import Slot

DAY = 1440.0
#: Nobody at the bench for longer than this ends a stretch, where there are no evenings, minutes.
BREAK = 90.0
#: Between columns, and behind the last one for what still waits there, mm.
GAP, BEHIND = 2.5, 8.0
#: A column is never narrower, mm.
NARROWEST = 5.6
#: Time is never drawn larger, mm for a minute.
LARGEST = 1.0


@dataclass(frozen=True)
class Column:
    """What is drawn of a stretch of work: ``begin`` to ``end``, minutes by the clock, ``left`` to ``reach``.

    Its column goes on to ``right`` where it would be too narrow else. The stretch itself, part of which may
    be on other pages, began at ``origin`` and lasts to ``until``.
    """

    number: int
    origin: float
    begin: float
    end: float
    until: float
    left: float = 0.0
    reach: float = 0.0
    right: float = 0.0


@dataclass(frozen=True)
class Axis:
    """Columns in their order; ``edge`` is where the chart ends, mm."""

    columns: tuple[Column, ...]
    evenings: bool
    edge: float

    def column(self, time: float) -> int:
        """The place of the column that ``time`` lies in or after, from 0."""
        return max(0, bisect_right([c.begin for c in self.columns], time + 1e-6) - 1)

    def x(self, time: float) -> float:
        """Where ``time`` is drawn, mm: to scale within columns, in proportion between them."""
        n = self.column(time)
        here = self.columns[n]
        if time <= here.end:
            share = max(0.0, time - here.begin) / (here.end - here.begin)
            return here.left + share * (here.reach - here.left)
        if n + 1 == len(self.columns):
            # Nothing comes behind the last column: a day is drawn as the room that is left there.
            return min(self.edge, here.reach + BEHIND * (time - here.end) / DAY)
        following = self.columns[n + 1]
        return here.reach + (time - here.end) / (following.begin - here.end) * (following.left - here.reach)


def axis_of(slots: Sequence[Slot], left: float, right: float, numbered: Axis | None = None) -> Axis:
    """The axis for the work in ``slots``, from ``left`` to ``right`` mm; with evenings if there are several.

    Its columns have the numbers that they have in ``numbered``, where ``slots`` are only a part of that.
    """
    evenings = numbered.evenings if numbered else any(slot.evening > 1 for slot in slots)
    columns = _stretches(slots, evenings)
    if numbered is not None:
        of = [numbered.columns[numbered.column(c.begin)] for c in columns]
        columns = [
            replace(c, number=o.number, origin=o.origin, until=o.until)
            for c, o in zip(columns, of, strict=True)
        ]
    room = right - left - GAP * (len(columns) - 1) - BEHIND
    placed, x = [], left
    spans = [c.end - c.begin for c in columns]
    widths = _widths(spans, room)
    # One scale for all, also where a column is wider than its work.
    scale = min((w / span for w, span in zip(widths, spans, strict=True)), default=0.0)
    for c, w, span in zip(columns, widths, spans, strict=True):
        placed.append(replace(c, left=x, reach=x + scale * span, right=x + w))
        x += w + GAP
    return Axis(tuple(placed), evenings, right)


def _widths(spans: Sequence[float], room: float) -> list[float]:
    """Widths to one scale, the largest that ``room`` allows; but none below the narrowest."""
    narrow: set[int] = set()
    while True:
        wide = [k for k in range(len(spans)) if k not in narrow]
        spare = max(0.0, room - NARROWEST * len(narrow))
        scale = min(LARGEST, spare / sum(spans[k] for k in wide)) if wide else 0.0
        more = {k for k in wide if scale * spans[k] < NARROWEST}
        if not more:
            return [NARROWEST if k in narrow else scale * span for k, span in enumerate(spans)]
        narrow |= more


def _stretches(slots: Sequence[Slot], evenings: bool) -> list[Column]:
    found: list[Column] = []
    for slot in sorted((s for s in slots if s.end > s.start), key=lambda s: s.start):
        same = found and (
            found[-1].number == slot.evening if evenings else slot.start - found[-1].end <= BREAK
        )
        if same:
            end = max(found[-1].end, slot.end)
            found[-1] = replace(found[-1], end=end, until=end)
        else:
            begin = (slot.evening - 1) * DAY if evenings else slot.start
            found.append(
                Column(slot.evening if evenings else len(found) + 1, begin, begin, slot.end, slot.end)
            )
    return found
