"""Sheets pressed and filled up by squeezers that run beside this process.

Two moves are tried, several at once, each in a squeezer of its own. *Fill up*: a full sheet is
squeezed together with shapes of the last one; if all go on, the last sheet has become emptier.
*Press down*: the last sheet alone is squeezed, so that more of it is left over. After each
success, what is left on the last sheet is laid anew into whatever has become free.
"""

from __future__ import annotations

import math
import os
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from laminature.geometry.nearness import too_close
from laminature.sheets.greedy import Layout
from laminature.sheets.search import Problem
from laminature.sheets.shapes import Place, Shape, fits
from laminature.sheets.squeezing import Bundle, Squeeze, bundles_of

Told = Callable[[float, str], None]

#: A squeezing attempt takes this share of the time, within these bounds, s.
ATTEMPT = 0.12
SHORTEST, LONGEST = 2.0, 2.5
#: By how much fuller than now a sheet is hoped to become at least, and by how much more after a success
#: or less after a failure than what was tried, as shares of a sheet.
LEAST_HOPE, MORE_HOPE, LESS_HOPE = 0.012, 0.012, 0.004
#: The last sheet is pressed after each success, after so many attempts to fill up another, and at
#: the end, when less than so many attempts' time is left.
FILLS, ENDING = 8, 1.6
#: The same attempt is made so often, each time with another seed: what fails in 2.5 s goes in within 1 to 2 s
#: the next time. This many draws look for one that was made less often.
AGAIN, DRAWS = 4, 30
#: The share of attempts in which a shape is taken out for others. Of 36 such none succeeded in four
#: searches of 60 s on the kit of 95 shapes; all successes put one more shape on a sheet.
SWAPS = 0.2
#: So much of the area that a shape lacks to the rectangle around it is likely to be lost beside it.
AWKWARD = 0.35
#: After so many squeezers in a row without any answer no more are started: something keeps them from it.
MUTE = 5
#: No more squeezers than this at once, whatever the machine.
MOST_AT_ONCE = 4
#: Where random choices begin.
SEED = 94
#: How often squeezers are looked at, s.
LOOK = 0.03


def score_words(problem: Problem, layout: Layout) -> str:
    """What is told of a layout."""
    return f"{problem.rank(layout)[1]:.2f} sheets"


def _fill(bundle: Bundle) -> float:
    """How much of the upright rectangle around it a bundle fills, 0 to 1."""
    x0, y0, x1, y1 = bundle.outline.bounds
    return bundle.area / float((x1 - x0) * (y1 - y0))


@dataclass
class _Attempt:
    """A squeezer at work: what it began from, to see afterwards whether that is still so."""

    squeeze: Squeeze
    sheet: int
    stood: frozenset[int]
    extras: tuple[int, ...] = ()
    removed: tuple[int, ...] = ()


class Press:
    """The state of a search by squeezing."""

    def __init__(self, problem: Problem, layout: Layout, seconds: float, seed: int) -> None:
        self.problem = problem
        self.filler = problem.coarse()
        self.layout = layout
        self.first = len(problem.odd)
        self.seconds = seconds
        self.time = min(LONGEST, max(SHORTEST, ATTEMPT * seconds))
        self.cores = min(MOST_AT_ONCE, max(1, os.cpu_count() or 1))
        room, s = problem.full, problem.spacing
        self.whole = (room.width + s) * (room.height + s)
        self.press_next, self.fills = True, 0
        self.random = np.random.default_rng(seed)
        self.hope: dict[int, float] = {}
        self.tried = seed
        self.tries: Counter[tuple[object, ...]] = Counter()
        self.known: tuple[Layout, dict[int, list[Bundle]]] = (layout, {})
        self.mute = 0
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
        try:
            while share() < 1.0 and self.last >= self.first and self.mute < MUTE:
                left = self.seconds * (1.0 - share())
                while len(at_work) < self.cores and (one := self._next(at_work, left)) is not None:
                    at_work.append(one)
                time.sleep(LOOK)
                told(min(1.0, share()), score_words(self.problem, self.layout))
                for one in [a for a in at_work if a.squeeze.done]:
                    self._finish(one)
                    at_work.remove(one)
            for one in at_work:
                self._finish(one)
        finally:
            for one in at_work:
                one.squeeze.end()
        return self.layout

    # --- what to try next

    def _next(self, at_work: Sequence[_Attempt], left: float) -> _Attempt | None:
        """The next attempt; None while what is at work has to end first."""
        if any(a.sheet == self.last for a in at_work):
            return None
        if self.last == self.first:
            # Nothing to fill up: all power goes into one sheet, as long as there is time.
            return None if at_work or left < SHORTEST / 2.0 else self._pressing(left)
        if left < ENDING * self.time:
            return None if at_work or left < SHORTEST / 2.0 else self._pressing(left)
        if self.press_next:
            return None if at_work else self._pressing(self.time)
        for before in range(AGAIN):
            for _ in range(DRAWS):
                made = self._filling_up(int(self.random.integers(self.first, self.last)), before)
                if made is not None:
                    return made
        return None if at_work else self._pressing(self.time)

    def _pressing(self, seconds: float) -> _Attempt:
        """The last sheet alone with all cores: two workers reach in 2.5 s what one did not in 8."""
        self.press_next, self.fills = False, 0
        return self._attempt(self.last, self._bundles(self.last), 0.0, seconds, self.cores)

    def _filling_up(self, sheet: int, before: int) -> _Attempt | None:
        """A sheet together with some of the last one's shapes, as full as is hoped that it can become.

        None where the draw is of no use, or was tried more often than ``before``.
        """
        own, others = self._bundles(sheet), self._bundles(self.last)
        room = self.problem.full
        now = self._fullness(own)
        slack = (max(self.hope.get(sheet, 0.0), now + LEAST_HOPE) - now) * self.whole
        removed: list[Bundle] = []
        if self.random.random() < SWAPS:
            some = own[int(self.random.integers(len(own)))]
            removed, own, slack = [some], [b for b in own if b is not some], slack + self._grown(some)
        extras: list[Bundle] = []
        taken = 0.0
        for k in np.argsort(self.random.random(len(others)) * [_fill(b) for b in others]):
            size = self._grown(others[k])
            if taken + size <= slack and self._goes_in(others[k]):
                extras.append(others[k])
                taken += size
        if not extras or sum(map(self._burden, extras)) <= 1.02 * sum(map(self._burden, removed)):
            return None
        key = (self._shapes_on(sheet), self._forms(extras), self._forms(removed))
        if self.tries[key] > before:
            return None
        self.tries[key] += 1
        self.fills += 1
        self.press_next = self.fills >= FILLS
        return self._attempt(sheet, [*own, *extras], room.height, self.time, 1, extras, removed)

    def _forms(self, bundles: Sequence[Bundle]) -> tuple[bytes, ...]:
        """What stands for the outlines of bundles: one instead of an equal one is nothing new."""
        return tuple(sorted(self.problem.shapes[at.shape].form for b in bundles for at in b.members))

    def _attempt(
        self,
        sheet: int,
        bundles: Sequence[Bundle],
        height: float,
        seconds: float,
        workers: int,
        extras: Sequence[Bundle] = (),
        removed: Sequence[Bundle] = (),
    ) -> _Attempt:
        room = self.problem.full
        self.tried += 1
        squeeze = Squeeze(bundles, room.width, height, self.problem.spacing, seconds, self.tried, workers)
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
        if self.known[0] is not self.layout:
            self.known = (self.layout, {})
        if sheet not in self.known[1]:
            mine = [p for p in self.layout.places if p.sheet == sheet]
            self.known[1][sheet] = bundles_of(self.problem.shapes, mine, self.ways)
        return self.known[1][sheet]

    def _grown(self, bundle: Bundle) -> float:
        """About the area of a bundle grown by half the spacing, mm²."""
        half = self.problem.spacing / 2.0
        return bundle.area + float(bundle.outline.length) * half + math.pi * half**2

    def _burden(self, bundle: Bundle) -> float:
        """The area that a bundle is likely to take, mm²: beside an awkward one more is lost."""
        return self._grown(bundle) * (1.0 + AWKWARD * (1.0 - _fill(bundle)))

    def _fullness(self, bundles: Sequence[Bundle]) -> float:
        return sum(map(self._grown, bundles)) / self.whole

    def _goes_in(self, bundle: Bundle) -> bool:
        x0, y0, x1, y1 = bundle.outline.bounds
        room = self.problem.full
        upright = fits(x1 - x0, y1 - y0, room.width, room.height)
        return upright or fits(y1 - y0, x1 - x0, room.width, room.height)

    # --- what has come of it

    def _finish(self, attempt: _Attempt) -> None:
        found = list(attempt.squeeze.proposals(attempt.sheet))
        attempt.squeeze.end()
        self.mute = 0 if found else self.mute + 1
        places = self.layout.places
        if self._shapes_on(attempt.sheet) != attempt.stood:
            return
        filling = bool(attempt.extras)
        moved = next((places for places in found if self._sound(places)), None)
        if filling:
            tried = self._fullness(attempt.squeeze.bundles)
            self.hope[attempt.sheet] = tried + MORE_HOPE if moved else tried - LESS_HOPE
        where = {p.shape: p.sheet for p in places}
        if moved is None or any(where[k] != self.last for k in attempt.extras):
            return
        going = {*(p.shape for p in moved), *attempt.removed}
        rest = [p for p in places if p.shape not in going]
        candidates = [self._relaid([*rest, *moved], attempt.removed)]
        if filling:
            on_last = [p.shape for p in rest if p.sheet == self.last]
            before = [p for p in rest if p.sheet != self.last]
            candidates.append(self._relaid([*before, *moved], [*attempt.removed, *on_last]))
        best = min((self.layout, *candidates), key=self._worth)
        self.press_next |= filling and best is not self.layout
        self.layout = best

    def _relaid(self, given: Sequence[Place], numbers: Sequence[int]) -> Layout:
        order = [n for n in self.filler.biggest_first() if n in set(numbers)]
        return self.filler.run(order, dict(self.layout.ways), None, given)

    def _worth(self, layout: Layout) -> tuple[object, ...]:
        """Less is better: the rank; of two layouts with as many sheets, also what lies on the last."""
        left, sheets, cut = self.problem.rank(layout)
        last = len(layout.tops) - 1
        mine = [p for p in layout.places if p.sheet == last]
        burden = sum(map(self._burden, bundles_of(self.problem.shapes, mine, self.ways)))
        return (left, math.ceil(sheets), burden / self.whole + 2.0 * (sheets % 1.0), cut)

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
