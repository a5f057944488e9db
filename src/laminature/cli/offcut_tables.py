"""The ledger of offcuts in words: the list, what a kit will use and leave, and what entering it did."""

from __future__ import annotations

import difflib
import pathlib
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from laminature.cli.console import as_typed
from laminature.model.board import Board
from laminature.model.offcut import Offcut, Remainder
from laminature.store.cut import Outcome
from laminature.store.offcuts import Ledger, Written
from laminature.store.one_offcut import is_rectangle

if TYPE_CHECKING:
    from rich.console import Console


def show_ledger(console: Console, ledger: Ledger, file: pathlib.Path, boards: Mapping[str, Board]) -> None:
    """One line for each offcut, boards together, and where the ledger lies."""
    if not ledger.offcuts:
        console.print("You keep no offcuts yet.", soft_wrap=True)
    else:
        order = {board: n for n, board in enumerate(dict.fromkeys(o.board for o in ledger.offcuts))}
        _columns(
            console,
            [
                (o.name, o.board, size_of(o), f"{o.outline.area / 100.0:.0f} cm²", grain_of(o), o.origin)
                for o in sorted(ledger.offcuts, key=lambda o: order[o.board])
            ],
        )
    for name in dict.fromkeys(o.board for o in ledger.offcuts if o.board not in boards):
        near = difflib.get_close_matches(name, list(boards), n=1)
        hint = f" Did you mean {near[0]!r}? Change it in the file." if near else ""
        mine = ", ".join(o.name for o in ledger.offcuts if o.board == name)
        console.print(f"\nNo board {name!r} is known ({mine}).{hint}", soft_wrap=True)
    console.print(f"\nThe ledger is {file}", soft_wrap=True)
    console.print(
        'A piece by hand: laminature offcuts add --board BOARD --size "120 x 80 mm"', soft_wrap=True
    )


def _columns(console: Console, rows: Sequence[Sequence[str]]) -> None:
    """Rows of text in columns, a line each however long it is, so that it can be searched and copied."""
    wide = [max(len(row[k]) for row in rows) for k in range(len(rows[0]))]
    for row in rows:
        line = "  ".join(text.ljust(width) for text, width in zip(row, wide, strict=True))
        console.print(line.rstrip(), soft_wrap=True)


def size_of(offcut: Offcut) -> str:
    """Width and height in words; of anything but a rectangle, of its bounds."""
    width, height = _sides(offcut)
    size = f"{width:g} × {height:g} mm"
    if is_rectangle(offcut.outline):
        return size
    return f"{size}, {'L-shaped' if _is_l(offcut) else 'not a rectangle'}"


def _is_l(offcut: Offcut) -> bool:
    points = list(offcut.outline.exterior.coords)
    upright = all(x0 == x1 or y0 == y1 for (x0, y0), (x1, y1) in pairwise(points))
    return upright and len(points) == 7 and not offcut.outline.interiors


def grain_of(offcut: Offcut) -> str:
    """Which way the grain runs, in words that can be checked on the piece."""
    if offcut.grain == "none":
        return "no grain"
    width, height = _sides(offcut)
    return f"grain along the {width if offcut.grain == 'x' else height:g} mm"


def _sides(offcut: Offcut) -> tuple[float, float]:
    x1, y1 = offcut.outline.bounds[2:]
    return round(x1, 1), round(y1, 1)


def show_keep(console: Console, ledger: Ledger) -> None:
    """How large a piece has to be to be kept."""
    for (a, b), what in (
        (ledger.keep.offcuts, "what is left of a sheet"),
        (ledger.keep.drop_outs, "what falls out of openings"),
    ):
        console.print(f"Of {what} you keep what holds {a:g} × {b:g} mm.", soft_wrap=True)


def show_written(console: Console, written: Written) -> None:
    """Where the maker's own version of the ledger was put, if there was one."""
    if written.kept is not None:
        console.print(
            f"You had changed {written.file.name} by hand; your version is kept as {written.kept}",
            soft_wrap=True,
        )


def show_plan(
    console: Console,
    used: Sequence[tuple[str, Offcut]],
    remainders: Sequence[Remainder],
    folder: pathlib.Path,
) -> None:
    """What a new kit will do to the offcuts once it is cut."""
    if used:
        console.print(
            "Fills your offcuts first: " + ", ".join(f"{o.name} ({sheet})" for sheet, o in used),
            soft_wrap=True,
        )
    if remainders:
        names = [r.offcut.name for r in remainders]
        said = ", ".join(names) if len(names) <= 8 else f"{names[0]} to {names[-1]}"
        many = "1 offcut" if len(names) == 1 else f"{len(names)} offcuts"
        console.print(f"Leaves {many} worth keeping: {said}", soft_wrap=True)
    if used or remainders:
        console.print(f"When it is cut, say: {as_typed('cut', folder)}", soft_wrap=True)


def show_outcome(console: Console, outcome: Outcome) -> None:
    """What entering a kit did, and what to write on which piece."""
    if outcome.before is not None:
        _show_before(console, outcome)
        return
    if outcome.used:
        console.print(f"Used up, out of the ledger: {', '.join(outcome.used)}", soft_wrap=True)
    if outcome.gone:
        console.print(
            f"Used by this kit, but no longer in the ledger: {', '.join(outcome.gone)}", soft_wrap=True
        )
    if outcome.other:
        console.print(
            f"The ledger has other pieces under these names, so they stay: {', '.join(outcome.other)}",
            soft_wrap=True,
        )
    if outcome.made:
        console.print("Write on the pieces:")
        _columns(
            console,
            [(f"  {one.offcut.name}", size_of(one.offcut), _where(one, said)) for one, said in outcome.made],
        )
    if not (outcome.used or outcome.gone or outcome.other or outcome.made):
        console.print("This kit used none of your offcuts and leaves nothing worth keeping.")
    show_written(console, outcome.written)
    console.print(f"The ledger is {outcome.written.file}", soft_wrap=True)


def _show_before(console: Console, outcome: Outcome) -> None:
    before = outcome.before
    said = []
    if before is not None and before.used:
        said.append(f"it used up {', '.join(before.used)}")
    if before is not None and before.made:
        said.append(f"it left {', '.join(before.made)}")
    console.print(
        f"This kit was already entered{': ' if said else ''}{' and '.join(said)}. Nothing was changed. "
        "If you have cut it a second time, say so with --again.",
        soft_wrap=True,
    )


def _where(one: Remainder, proposed: str) -> str:
    if one.fell_from:
        place = f"{one.sheet}: falls out of {one.fell_from}"
    else:
        x, y = round(one.at[0], 1), round(one.at[1], 1)
        place = f"{one.sheet}: {x:g} mm from the left, {y:g} mm from the bottom"
    return place + ("" if proposed == one.offcut.name else f" (the map calls it {proposed})")
