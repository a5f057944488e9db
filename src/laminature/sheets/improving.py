"""Better layouts while time allows: orders are shaken, then sheets squeezed and filled up again.

Two moves are tried, several at once, each in a squeezer of its own. *Fill up*: a full sheet is
squeezed together with shapes of the last one; if all go on, the last sheet has become emptier.
*Press down*: the last sheet alone is squeezed, so that more of it is left over. After each
success, what is left on the last sheet is laid anew into whatever has become free.
"""

from __future__ import annotations

import math
import os
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from laminature.geometry.nearness import too_close
from laminature.sheets.greedy import Filler, Layout
from laminature.sheets.search import Problem, Shaken
from laminature.sheets.shapes import Place, Shape, fits
from laminature.sheets.squeezing import Bundle, Squeeze, bundles_of

Told = Callable[[float, str], None]

#: The share of the time that goes into shaking orders before sheets are squeezed.
SHAKING = 0.2
#: The same where there is but one full sheet: pressing it down is then all that helps.
SHAKING_ONE = 0.05
#: A squeezing attempt takes this share of the time, within these bounds, s.
ATTEMPT = 0.12
SHORTEST, LONGEST = 1.2, 2.5
#: By how much fuller than now a sheet is hoped to become at least, and by how much more after a success
#: or less after a failure than what was tried, as shares of a sheet.
LEAST_HOPE, MORE_HOPE, LESS_HOPE = 0.012, 0.012, 0.004
#: No more squeezers than this at once, whatever the machine.
MOST_AT_ONCE = 4
#: How often squeezers are looked at, s.
LOOK = 0.03


def improved(
    problem: Problem, found: Layout, decided: Mapping[str, int], seconds: float, told: Told
) -> Layout:
    """The best layout found from ``found`` on in about ``seconds``; never a worse one.

    ``decided`` holds the groups of turns of the bonds that are settled.
    ``told`` hears the share done and the score; what it raises ends the search and its processes.
    """
    begin = time.monotonic()

    def share() -> float:
        return (time.monotonic() - begin) / seconds

    best = found
    shaken = Shaken(problem, problem.coarse(), dict(decided))
    shaking = SHAKING if len(found.tops) > len(problem.odd) + 1 else SHAKING_ONE
    while share() < shaking:
        shaken.once()
        best = min(best, shaken.best, key=problem.rank)
        told(min(1.0, share()), _words(problem, best))
    if not problem.odd or len(best.tops) > len(problem.odd):
        best = _Press(problem, shaken.filler, best, seconds * (1.0 - share())).run(share, told)
    return best if problem.rank(best) < problem.rank(found) else found


def _words(problem: Problem, layout: Layout) -> str:
    return f"{problem.rank(layout)[1]:.2f} sheets"


@dataclass
class _Attempt:
    """A squeezer at work: what it began from, to see afterwards whether that is still so."""

    squeeze: Squeeze
    sheet: int
    stood: frozenset[int]
    extras: tuple[int, ...] = ()
    removed: tuple[int, ...] = ()
    since: float = field(default_factory=time.monotonic)


class _Press:
    """The state of a search by squeezing."""

    def __init__(self, problem: Problem, filler: Filler, layout: Layout, seconds: float) -> None:
        self.problem = problem
        self.filler = filler
        self.layout = layout
        self.first = len(problem.odd)
        self.seconds = seconds
        self.time = min(LONGEST, max(SHORTEST, ATTEMPT * seconds))
        self.random = np.random.default_rng(95)
        self.hope: dict[int, float] = {}
        self.tried = 0
        self.pressed: frozenset[Place] = frozenset()
        self.ways = {n: self._turns(shape) for n, shape in enumerate(problem.shapes)}

    def _turns(self, shape: Shape) -> tuple[float, ...]:
        grain = self.problem.full.grain
        groups = shape.ways[grain]
        if shape.bond and grain != "none" and shape.bond in self.layout.ways:
            return groups[self.layout.ways[shape.bond]]
        return tuple(turn for group in groups for turn in group)

    @property
    def last(self) -> int:
        """The number of the last sheet."""
        return len(self.layout.tops) - 1

    def run(self, share: Callable[[], float], told: Told) -> Layout:
        """Keep squeezers going until the time is over."""
        at_work: list[_Attempt] = []
        most = min(MOST_AT_ONCE, max(1, os.cpu_count() or 1))
        try:
            while share() < 1.0:
                while len(at_work) < most and (one := self._next(at_work)) is not None:
                    at_work.append(one)
                if not at_work:
                    break
                time.sleep(LOOK)
                told(min(1.0, share()), _words(self.problem, self.layout))
                for one in [a for a in at_work if a.squeeze.done]:
                    at_work.remove(one)
                    self._finish(one)
            while at_work:
                self._finish(at_work.pop())
        finally:
            for one in at_work:
                one.squeeze.end()
        return self.layout

    # --- what to try next

    def _next(self, at_work: Sequence[_Attempt]) -> _Attempt | None:
        self.tried += 1
        on_last = frozenset(p for p in self.layout.places if p.sheet == self.last)
        if self.last == self.first:
            self.time = self.seconds
            return self._attempt(self.last, self._bundles(self.last), 0.0)
        pressing = any(a.sheet == self.last for a in at_work)
        if not pressing and (on_last != self.pressed or self.random.random() < 0.15):
            self.pressed = on_last
            return self._attempt(self.last, self._bundles(self.last), 0.0)
        for _ in range(20):
            made = self._filling_up(int(self.random.integers(self.first, self.last)))
            if made is not None:
                return made
        return None

    def _filling_up(self, sheet: int) -> _Attempt | None:
        """A sheet together with some of the last one's shapes, as full as is hoped that it can become."""
        own, others = self._bundles(sheet), self._bundles(self.last)
        room = self.problem.full
        whole = (room.width + self.problem.spacing) * (room.height + self.problem.spacing)
        now = self._fullness(own)
        slack = (max(self.hope.get(sheet, 0.0), now + LEAST_HOPE) - now) * whole
        removed: list[Bundle] = []
        given_up = 0.0
        if self.random.random() < 0.5:
            some = own[int(self.random.integers(len(own)))]
            given_up = self._grown(some)
            removed, own, slack = [some], [b for b in own if b is not some], slack + given_up
        extras: list[Bundle] = []
        taken = 0.0
        for k in self.random.permutation(len(others)):
            size = self._grown(others[k])
            if taken + size <= slack and self._goes_in(others[k]):
                extras.append(others[k])
                taken += size
        if not extras or taken <= given_up * 1.02:
            return None
        return self._attempt(sheet, [*own, *extras], room.height, extras, removed)

    def _attempt(
        self,
        sheet: int,
        bundles: Sequence[Bundle],
        height: float,
        extras: Sequence[Bundle] = (),
        removed: Sequence[Bundle] = (),
    ) -> _Attempt:
        room = self.problem.full
        squeeze = Squeeze(bundles, room.width, height, self.problem.spacing, self.time, self.tried)
        return _Attempt(
            squeeze,
            sheet,
            self._shapes_on(sheet),
            tuple(at.shape for b in extras for at in b.members),
            tuple(at.shape for b in removed for at in b.members),
        )

    def _shapes_on(self, sheet: int) -> frozenset[int]:
        return frozenset(p.shape for p in self.layout.places if p.sheet == sheet)

    def _bundles(self, sheet: int) -> list[Bundle]:
        mine = [p for p in self.layout.places if p.sheet == sheet]
        return bundles_of(self.problem.shapes, mine, self.ways)

    def _grown(self, bundle: Bundle) -> float:
        """About the area of a bundle grown by half the spacing, mm²."""
        half = self.problem.spacing / 2.0
        return bundle.area + float(bundle.outline.length) * half + math.pi * half**2

    def _fullness(self, bundles: Sequence[Bundle]) -> float:
        room, s = self.problem.full, self.problem.spacing
        return sum(self._grown(b) for b in bundles) / ((room.width + s) * (room.height + s))

    def _goes_in(self, bundle: Bundle) -> bool:
        x0, y0, x1, y1 = bundle.outline.bounds
        room = self.problem.full
        upright = fits(x1 - x0, y1 - y0, room.width, room.height)
        return upright or fits(y1 - y0, x1 - x0, room.width, room.height)

    # --- what has come of it

    def _finish(self, attempt: _Attempt) -> None:
        moved = attempt.squeeze.places(attempt.sheet)
        attempt.squeeze.end()
        places = self.layout.places
        if self._shapes_on(attempt.sheet) != attempt.stood:
            return
        filling = bool(attempt.extras)
        sound = moved is not None and self._sound(moved)
        if filling:
            tried = self._fullness(attempt.squeeze.bundles)
            self.hope[attempt.sheet] = tried + MORE_HOPE if sound else tried - LESS_HOPE
        where = {p.shape: p.sheet for p in places}
        if not sound or moved is None or any(where[k] != self.last for k in attempt.extras):
            return
        going = {*(p.shape for p in moved), *attempt.removed}
        rest = [p for p in places if p.shape not in going]
        candidates = [self._relaid([*rest, *moved], attempt.removed)]
        if filling:
            on_last = [p.shape for p in rest if p.sheet == self.last]
            before = [p for p in rest if p.sheet != self.last]
            candidates.append(self._relaid([*before, *moved], [*attempt.removed, *on_last]))
        self.layout = min((self.layout, *candidates), key=self._worth)

    def _relaid(self, given: Sequence[Place], numbers: Sequence[int]) -> Layout:
        order = [n for n in self.filler.biggest_first() if n in set(numbers)]
        return self.filler.run(order, dict(self.layout.ways), None, given)

    def _worth(self, layout: Layout) -> tuple[object, ...]:
        """Less is better: the rank; of two layouts with as many sheets, also what lies on the last."""
        left, sheets, cut = self.problem.rank(layout)
        last = len(layout.tops) - 1
        on_last = sum(self.problem.shapes[p.shape].outer_area for p in layout.places if p.sheet == last)
        room = self.problem.full
        return (left, math.ceil(sheets), on_last / (room.width * room.height) + 2.0 * (sheets % 1.0), cut)

    def _sound(self, places: Sequence[Place]) -> bool:
        """Whether the squeezer's proposal holds: gaps and bounds, exactly."""
        flats = [self.problem.shapes[p.shape].lying(p) for p in places]
        room = self.problem.full
        inside = all(
            min(f.bounds[:2]) >= -1e-7
            and f.bounds[2] <= room.width + 1e-7
            and f.bounds[3] <= room.height + 1e-7
            for f in flats
        )
        return inside and not too_close(flats, self.problem.spacing)
