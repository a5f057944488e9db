"""Lists for reading: forms, their sizes, boards, and what writing a kit did."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.table import Table

from laminature.model.board import Board
from laminature.model.form import Form, Parameter
from laminature.model.stack import thickness
from laminature.store.kit import Report

if TYPE_CHECKING:
    from rich.console import Console

#: Of stacks of so many layers the thickness is told for each board.
STACKS = range(1, 9)
#: One point of caliper, mm: 1/1000 inch, by definition.
_POINT = 0.0254
#: So many names of a kind are listed; of more, the number is said.
_MOST_NAMES = 12


def _list(console: Console, entries: Iterable[tuple[str, str]]) -> None:
    """Names to the left, what is said of them to the right, one below the other."""
    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    for name, said in entries:
        table.add_row(name, said)
    console.print(table)


def show_forms(console: Console, forms: Iterable[Form]) -> None:
    """One line for each kind of furniture."""
    _list(console, ((form.name, f"{form.title}: {form.summary}") for form in forms))
    console.print("\nThe sizes of one: laminature forms FORM", soft_wrap=True)
    console.print("A design to start from: laminature new FORM FILE", soft_wrap=True)


def show_form(console: Console, form: Form) -> None:
    """A form's sizes, with ranges, defaults and where these come from."""
    console.print(f"{form.title} ({form.name}): {form.summary}\n")
    _list(console, ((parameter.name, _size(parameter)) for parameter in form.parameters))


def _size(parameter: Parameter) -> str:
    lines = [parameter.help, f"default: {_default(parameter)}"]
    if span := _range(parameter):
        lines[-1] += f"; {span}"
    return "\n".join([*lines, f"source: {parameter.source}"])


def _unit(parameter: Parameter) -> str:
    if parameter.kind == "length":
        return " mm mini" if parameter.realm == "mini" else " mm"
    return " deg" if parameter.kind == "angle" else ""


def _default(parameter: Parameter) -> str:
    value = parameter.default
    if value is None:
        return "worked out"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value if isinstance(value, str) else f"{value:g}{_unit(parameter)}"


def _range(parameter: Parameter) -> str:
    if parameter.choices:
        return ", ".join(parameter.choices)
    if parameter.kind == "flag":
        return "yes, no"
    low, high = parameter.low, parameter.high
    if low is None or high is None:
        return "" if low is None else f"from {low:g}{_unit(parameter)}"
    return f"{low:g} to {high:g}{_unit(parameter)}"


def show_boards(console: Console, boards: Iterable[Board], own_file: pathlib.Path) -> None:
    """What is known of each board, and where one's own are written down."""
    _list(console, ((board.name, _board(board)) for board in boards))
    console.print(f"\nYour own boards go into {own_file}", soft_wrap=True)


def _board(board: Board) -> str:
    source = dict(board.sources).get("caliper")
    lines = [
        board.title,
        f"caliper {board.caliper:.4g} mm ({board.caliper / _POINT:.3g} points)"
        + (f"; source: {source}" if source else ""),
        f"sheet {board.sheet_width:g} x {board.sheet_height:g} mm",
    ]
    made = ", ".join(f"{n}: {thickness(board, n):.2f}" for n in STACKS)
    lines.append(f"stacks of so many layers, mm: {made}")
    if board.measured:
        stacks = ", ".join(f"{n} layers {value:g} mm" for n, value in board.measured)
        lines.append(f"measured: {stacks}")
    return "\n".join(lines)


def show_report(console: Console, report: Report, folder: pathlib.Path) -> None:
    """What writing a kit did, with what stayed because it is the maker's."""
    console.print(f"Wrote {len(report.written)} files to {folder}", soft_wrap=True)
    blocked = set(report.blocked)
    for names, what in (
        (report.blocked, "not written: yours stands there and stays. Move it away and make the kit again"),
        ([n for n in report.kept_edited if n not in blocked], "changed by you, so it stays as it is"),
        ([n for n in report.kept_foreign if n not in blocked], "yours, so it stays"),
        (report.removed, "removed: this kit does not need it any more"),
    ):
        _names(console, names, what)
    if "README.txt" in report.written:
        console.print(f"Open first: {folder / 'README.txt'}", soft_wrap=True)


def _names(console: Console, names: Sequence[str], what: str) -> None:
    for name in names[:_MOST_NAMES]:
        console.print(f"  {name}: {what}", soft_wrap=True)
    if len(names) > _MOST_NAMES:
        console.print(f"  and {len(names) - _MOST_NAMES} more: {what}", soft_wrap=True)
