"""Better layouts while time allows: orders are shaken, then sheets squeezed and filled up again."""

from __future__ import annotations

import time
from collections.abc import Mapping
from contextlib import suppress

from laminature.sheets.greedy import Layout
from laminature.sheets.pressing import SEED, Press, Told, score_words
from laminature.sheets.search import Problem, Shaken

#: The share of the time that goes into shaking orders before sheets are squeezed, and the most, s: the kit
#: of 95 shapes came no further in 21 s than in 12.
SHAKING, SHAKING_MOST = 0.35, 12.0


class _TimeOver(Exception):
    """The time for shaking orders is over in the middle of a pass."""


def improved(
    problem: Problem,
    found: Layout,
    decided: Mapping[str, int],
    seconds: float,
    told: Told,
    seed: int = SEED,
) -> Layout:
    """The best layout found from ``found`` on in about ``seconds``; never a worse one.

    ``decided`` holds the groups of turns of the bonds that are settled, ``seed`` begins random choices.
    ``told`` hears the share done and the score; what it raises ends the search and its processes.
    """
    begin = time.monotonic()

    def share() -> float:
        return (time.monotonic() - begin) / seconds

    shaken = Shaken(problem, found, decided)

    def going_on(until: float) -> None:
        told(min(1.0, share()), score_words(problem, shaken.best))
        if share() >= until:
            raise _TimeOver

    def shake(until: float) -> Layout:
        with suppress(_TimeOver):
            while True:
                shaken.once(lambda _: going_on(until))
        return min((found, shaken.best), key=problem.rank)

    if problem.odd or len(found.tops) > 1:
        found = shake(min(SHAKING, SHAKING_MOST / seconds))
    if len(found.tops) > len(problem.odd):
        # With one full sheet there is nothing to fill up: pressing it gets the whole time, at once.
        pressed = Press(problem, found, seconds, seed).run(share, told)
        found = min((found, pressed), key=problem.rank)
    if share() < 1.0:
        # Without full sheets, or where no squeezer answers, other orders are all that can help.
        found = shake(1.0)
    return found
