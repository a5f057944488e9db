"""``laminature offcuts`` and ``laminature cut``: the ledger of pieces that a maker keeps."""

from __future__ import annotations

import pathlib
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from laminature.cli.console import out
from laminature.cli.guard import guarded, say
from laminature.errors import StoreError

if TYPE_CHECKING:
    from laminature.store.offcuts import Ledger

app = typer.Typer(
    help="List the offcuts that you keep; add or remove some.",
    invoke_without_command=True,
    add_completion=False,
)

LedgerFile = Annotated[
    Optional[pathlib.Path],  # noqa: UP045 (Typer reads this at run time)
    typer.Option("--offcuts", metavar="FILE", help="Another ledger than your usual one."),
]
Text = Optional[str]  # noqa: UP045


@app.callback()
@guarded
def offcuts(context: typer.Context, ledger: LedgerFile = None) -> None:
    """List the offcuts that you keep; add or remove some."""
    context.obj = ledger
    if context.invoked_subcommand is None:
        from laminature import front
        from laminature.cli import offcut_tables
        from laminature.store.offcuts import ledger_file, read_ledger

        file = ledger or ledger_file()
        offcut_tables.show_ledger(out(), read_ledger(file), file, front.boards())


@app.command()
@guarded
def add(
    context: typer.Context,
    board: Annotated[str, typer.Option("--board", metavar="BOARD", help="Its board; `boards` lists them.")],
    size: Annotated[
        Text, typer.Option("--size", metavar="SIZE", help='Of a rectangle: "120 x 80 mm", "4 3/4 x 3 in".')
    ] = None,
    outline: Annotated[
        Optional[pathlib.Path],  # noqa: UP045
        typer.Option("--outline", metavar="FILE.svg", help="Its outline at true size, instead of a size."),
    ] = None,
    grain: Annotated[
        Text,
        typer.Option(
            "--grain",
            metavar="x|y|none",
            help="Along its first side (x, the default), its second (y), or none.",
        ),
    ] = None,
    note: Annotated[str, typer.Option("--note", metavar="TEXT", help="Where it comes from.")] = "",
    ledger: LedgerFile = None,
) -> None:
    """Add a piece of board by hand, and say the name to write on it."""
    from laminature import front
    from laminature.cli import offcut_tables

    written = front.add_offcut(
        board, size=size, outline=outline, grain=grain, note=note, ledger=ledger or context.obj
    )
    made = written.ledger.offcuts[-1]
    out().print(f"Write on it: {made.name}  ({offcut_tables.size_of(made)})", soft_wrap=True)
    offcut_tables.show_written(out(), written)


@app.command()
@guarded
def remove(
    context: typer.Context,
    names: Annotated[list[str], typer.Argument(metavar="NAME...", help="Names of offcuts, like K3.")],
    ledger: LedgerFile = None,
) -> None:
    """Take offcuts out of the ledger; their names are never given again."""
    from laminature.cli import offcut_tables
    from laminature.store.offcuts import change_ledger

    written = change_ledger(lambda before: before.removed(names), ledger or context.obj)
    there = (
        "1 offcut is" if len(written.ledger.offcuts) == 1 else f"{len(written.ledger.offcuts)} offcuts are"
    )
    out().print(f"Removed {', '.join(names)}. {there} left.", soft_wrap=True)
    offcut_tables.show_written(out(), written)


@app.command()
@guarded
def keep(
    context: typer.Context,
    size: Annotated[
        Text, typer.Argument(metavar="[SIZE]", help='Of what is left of a sheet, like "40 x 25 mm".')
    ] = None,
    drop_outs: Annotated[
        Text, typer.Option("--drop-outs", metavar="SIZE", help="The same for what falls out of openings.")
    ] = None,
    ledger: LedgerFile = None,
) -> None:
    """Say how large a piece has to be for you to keep it: the smallest rectangle that it must hold."""
    from laminature import front
    from laminature.cli import offcut_tables

    file = ledger or context.obj
    if size is None and drop_outs is None:
        offcut_tables.show_keep(out(), front.ledger(file))
        return
    written = front.set_keep(size, drop_outs, file)
    offcut_tables.show_keep(out(), written.ledger)
    offcut_tables.show_written(out(), written)


def ledger_for_kit(file: pathlib.Path | None, *, fill: bool) -> Ledger:
    """The ledger that a kit fills, or whose names it counts on from. Raises StoreError only to ``fill``."""
    from laminature import front

    try:
        if fill and file is not None and not file.exists():
            say(f"There is no ledger {file} yet: no offcuts to fill. `laminature cut` will make it.")
        return front.ledger(file, needed=fill)
    except StoreError as error:
        raise StoreError(f"{error} Without your offcuts the kit can be made: --no-offcuts.") from error


@guarded
def cut(
    folder: Annotated[pathlib.Path, typer.Argument(metavar="FOLDER", help="The folder of a kit.")],
    again: Annotated[
        bool, typer.Option("--again", help="Enter it once more: you have cut this kit a second time.")
    ] = False,
    ledger: LedgerFile = None,
) -> None:
    """Say that a kit was cut: its used offcuts leave the ledger, what is left over enters it."""
    from laminature.cli import offcut_tables
    from laminature.store.cut import enter

    offcut_tables.show_outcome(out(), enter(folder, ledger, again=again))
