"""Telling the ledger that a kit was cut: its used offcuts go out, what is left over comes in, once."""

from __future__ import annotations

import math
import pathlib
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from laminature.errors import StoreError
from laminature.model.offcut import LETTER, Offcut, Remainder
from laminature.store import manifest
from laminature.store.offcuts import Entered, Ledger, Written, change_ledger
from laminature.store.one_offcut import read_offcut

_NUMBERED = re.compile(LETTER + r"([1-9][0-9]{0,8})")
_MOST = 5000
#: So many kits that were entered are remembered, the last ones.
_REMEMBERED = 1000


@dataclass(frozen=True)
class CutList:
    """What cutting a kit does to the offcuts; ``kit`` is the seal that tells it from every other kit."""

    kit: str
    title: str
    used: tuple[tuple[str, Offcut], ...] = ()
    made: tuple[Remainder, ...] = ()


@dataclass(frozen=True)
class Outcome:
    """What entering a kit did.

    ``before`` is set, and nothing was changed, where the kit had been entered already. ``made`` pairs each
    new offcut, under its final name, with the name that the kit proposed. ``gone`` are names of used offcuts
    that were no longer in the ledger, ``other`` of those that are different pieces there and so stay.
    """

    cuts: CutList
    written: Written
    before: Entered | None = None
    used: tuple[str, ...] = ()
    made: tuple[tuple[Remainder, str], ...] = ()
    gone: tuple[str, ...] = ()
    other: tuple[str, ...] = ()


def read_cut_list(folder: pathlib.Path) -> CutList:
    """What the kit in ``folder`` does to the offcuts. Raises StoreError for what is no kit."""
    table = manifest.table_of(folder)
    path = folder / manifest.NAME
    kit, title = table.get("seal"), table.get("title", "")
    if not isinstance(kit, str) or not isinstance(title, str):
        raise StoreError(f"{path} cannot be understood: it has no seal. Make the kit again.")
    used = [(str(e.get("sheet", "")), _offcut(e, path)) for e in _tables(table, manifest.USED, path)]
    made = [_remainder(entry, path) for entry in _tables(table, manifest.NEW, path)]
    return CutList(kit, title, tuple(used), tuple(made))


def enter(folder: pathlib.Path, ledger: pathlib.Path | None = None, *, again: bool = False) -> Outcome:
    """Enter into the ledger that the kit in ``folder`` was cut; a second time only with ``again``.

    Raises StoreError with the ledger as it was.
    """
    cuts = read_cut_list(folder)
    found: list[Outcome] = []

    def change(before: Ledger) -> Ledger:
        entered = next((c for c in before.cuts if c.kit == cuts.kit), None)
        if entered is not None and not again:
            found.append(Outcome(cuts, Written(before, folder), entered))
            return before
        after, outcome = _entered(cuts, before)
        found.append(outcome)
        return after

    written = change_ledger(change, ledger)
    return replace(found[-1], written=written)


def _entered(cuts: CutList, before: Ledger) -> tuple[Ledger, Outcome]:
    used, gone, other = [], [], []
    for _, offcut in cuts.used:
        there = before.named(offcut.name)
        if there is None:
            gone.append(offcut.name)
        elif there.board != offcut.board or not there.outline.equals(offcut.outline):
            other.append(offcut.name)
        else:
            used.append(there.name)
    names, following = _names([m.offcut.name for m in cuts.made], before.next)
    made = tuple(
        (replace(one, offcut=replace(one.offcut, name=name)), one.offcut.name)
        for one, name in zip(cuts.made, names, strict=True)
    )
    kept = tuple(o for o in before.offcuts if o.name not in used)
    after = replace(
        before,
        offcuts=(*kept, *(one.offcut for one, _ in made)),
        next=following,
        cuts=(*before.cuts, Entered(cuts.kit, cuts.title, tuple(used), tuple(names)))[-_REMEMBERED:],
    )
    return after, Outcome(
        cuts, Written(after, pathlib.Path()), None, tuple(used), made, tuple(gone), tuple(other)
    )


def _names(proposed: Sequence[str], first: int) -> tuple[list[str], int]:
    """Final names, and the number after them: those proposed unless they were given since."""
    numbers = [int(m[1]) if (m := _NUMBERED.fullmatch(name)) else 0 for name in proposed]
    free = [n >= first and n not in numbers[:k] for k, n in enumerate(numbers)]
    following = max([first, *(n + 1 for n, fine in zip(numbers, free, strict=True) if fine)])
    names = []
    for number, fine in zip(numbers, free, strict=True):
        names.append(f"{LETTER}{number if fine else following}")
        following += 0 if fine else 1
    return names, following


def _tables(table: Mapping[str, Any], key: str, path: pathlib.Path) -> Sequence[Mapping[str, Any]]:
    value = table.get(key, [])
    if not isinstance(value, list) or len(value) > _MOST or not all(isinstance(v, dict) for v in value):
        raise StoreError(f"{path}: {key} are written as [[{key}]] tables.")
    return value


def _offcut(entry: Mapping[str, Any], path: pathlib.Path) -> Offcut:
    own = {k: v for k, v in entry.items() if k not in ("sheet", "x", "y", "fell_from")}
    return read_offcut(own, f"{path}: offcut {entry.get('name', 'without a name')}")


def _remainder(entry: Mapping[str, Any], path: pathlib.Path) -> Remainder:
    offcut = _offcut(entry, path)
    at = entry.get("x"), entry.get("y")
    if not all(type(v) in (int, float) and math.isfinite(v) for v in at):  # type: ignore[arg-type]
        raise StoreError(f"{path}: offcut {offcut.name} has no place on its sheet. Make the kit again.")
    place = (float(at[0]), float(at[1]))  # type: ignore[arg-type]
    return Remainder(offcut, str(entry.get("sheet", "")), place, str(entry.get("fell_from", "")))
