"""Alike stacks go through the bench together: batches of what is glued in one go."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from laminature.model.rates import Rates
from laminature.model.words import Words
from laminature.planning.measures import Measured

DM2 = 1e4


@dataclass(frozen=True)
class Batch:
    """Alike stacks that go through the bench together, of ``alike`` that there are."""

    name: str
    stacks: tuple[Measured, ...]
    alike: int

    @property
    def parts(self) -> tuple[str, ...]:
        """The names of its parts."""
        return tuple(s.name for s in self.stacks)

    def called(self, words: Words) -> str:
        """``A, Top``, or ``B, 2 alike``, or ``B, 4 of 6 alike``."""
        first, count = self.stacks[0], len(self.stacks)
        if count == 1:
            return f"{first.letter}, {first.title}"
        if count == self.alike:
            return words.of("alike_all", letter=first.letter, n=str(count))
        return words.of("alike_some", letter=first.letter, n=str(count), all=str(self.alike))


def gluing(stacks: Sequence[Measured], rates: Rates) -> float:
    """Hands-on minutes to glue up ``stacks``."""
    rate = rates.glue
    each = (
        rate.stack + rate.layer * len(s.layers) + rate.area * sum(c.area for c in s.contacts) / DM2
        for s in stacks
    )
    return sum(each)


def batches_of(stacks: Sequence[Measured], rates: Rates) -> tuple[Batch, ...]:
    """The batches, in the order of the stacks: each takes no longer to glue than a batch may, if it can."""
    alike: dict[tuple[str, bool], list[list[Measured]]] = {}
    for s in stacks:
        runs = alike.setdefault((s.letter or s.name, s.cushion), [[]])
        if runs[-1] and not s.small and gluing((*runs[-1], s), rates) > rates.glue.batch:
            runs.append([])
        runs[-1].append(s)
    made = []
    for (letter, _), runs in alike.items():
        for n, run in enumerate(runs, start=1):
            name = letter if len(runs) == 1 else f"{letter}-{n}"
            made.append(Batch(name, tuple(run), sum(map(len, runs))))
    return tuple(made)
