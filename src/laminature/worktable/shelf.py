"""The maker's offcuts beside a work: which there are, and which of them its sheets are laid out with."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from laminature import front
from laminature.errors import ChoiceError, StoreError
from laminature.model.offcut import Offcut
from laminature.pipeline.showing.offcuts import offcut
from laminature.store.offcuts import Ledger

#: So many offcuts are shown to the page, and those that are chosen.
MOST_SHOWN = 300


@dataclass(frozen=True)
class Shelf:
    """The ledger as it was last looked at.

    ``chosen`` are names of offcuts that the sheets are laid out with. ``dropped`` were chosen and have gone
    from the ledger since; ``problem`` says why it could not be read, where that is so: then what was known
    of it before still holds.
    """

    whole: Ledger = field(default_factory=Ledger)
    chosen: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    problem: str = ""

    @property
    def ledger(self) -> Ledger:
        """What a build may fill: the chosen offcuts alone. What is left is named and kept by the whole."""
        mine = tuple(o for o in self.whole.offcuts if o.name in self.chosen)
        return replace(self.whole, offcuts=mine, cuts=())

    @property
    def digest(self) -> str:
        """What stands for this choice of offcuts, with their outlines; nothing where none is chosen."""
        mine = self.ledger.offcuts
        if not mine:
            return ""
        told = hashlib.sha256()
        for one in mine:
            told.update(repr((one.name, one.board, one.grain, one.outline.wkt)).encode())
        return told.hexdigest()[:24]

    @property
    def words(self) -> str:
        """What the maker has to know of it; nothing where all is as it was left."""
        if self.problem:
            return self.problem
        if not self.dropped:
            return ""
        names = ", ".join(self.dropped)
        one = len(self.dropped) == 1
        return (
            f"{'The offcut' if one else 'The offcuts'} {names} {'has' if one else 'have'} gone from your "
            f"ledger, so these sheets are laid out without {'it' if one else 'them'}."
        )

    def told(self, work: str, boards: Iterable[str]) -> dict[str, Any]:
        """As the page gets it; ``boards`` are those that the piece is made of."""
        suiting = set(boards)
        known = front.boards()
        ordered = sorted(
            self.whole.offcuts, key=lambda o: (o.name not in self.chosen, o.board not in suiting)
        )
        shown = {o.name for o in ordered[:MOST_SHOWN]}
        return {
            "kind": "offcuts",
            "work": work,
            "offcuts": [
                offcut(o, known.get(o.board), suits=o.board in suiting, chosen=o.name in self.chosen)
                for o in self.whole.offcuts
                if o.name in shown
            ],
            "more": max(0, len(ordered) - MOST_SHOWN),
            "words": self.words,
        }


def looked_at(before: Shelf, names: Sequence[str] | None = None) -> Shelf:
    """The ledger read anew; with ``names``, those are chosen from now on.

    Raises ChoiceError for a name that is not in the ledger, StoreError for a choice from one that cannot
    be read. Without names a choice stays, as far as there is what was chosen.
    """
    try:
        whole = front.ledger()
    except StoreError as error:
        if names:
            raise
        return replace(before, chosen=before.chosen if names is None else (), problem=str(error))
    if names is not None:
        return Shelf(whole, tuple(dict.fromkeys(_there(whole, name).name for name in names)))
    there = {o.name for o in whole.offcuts}
    gone = tuple(name for name in before.chosen if name not in there)
    kept = tuple(name for name in before.chosen if name in there)
    still = tuple(name for name in before.dropped if name not in there)
    return Shelf(whole, kept, tuple(dict.fromkeys((*still, *gone))))


def _there(whole: Ledger, name: str) -> Offcut:
    found = whole.named(name)
    if found is None:
        raise ChoiceError(
            f"There is no offcut {name[:40]!r} in your ledger.",
            "`laminature offcuts` lists those that there are.",
        )
    return found
