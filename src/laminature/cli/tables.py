"""Lists for reading: forms, their sizes, boards, and what writing a kit did."""

from __future__ import annotations

import pathlib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rich.table import Table

from laminature.model.board import Board
from laminature.model.form import Form, Parameter
from laminature.store.kit import Report

if TYPE_CHECKING:
    from rich.console import Console

#: One point of caliper, mm: 1/1000 inch, by definition.
_POINT = 0.0254
#: So many names of a kind are listed; of more, the number is said.
_MOST_NAMES = 12


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in headings:
        table.add_column(heading)
    return table


def show_forms(console: Console, forms: Iterable[Form]) -> None:
    """One line for each kind of furniture."""
    table = _table("form", "what it is")
    for form in forms:
        table.add_row(form.name, f"{form.title}: {form.summary}")
    console.print(table)
    console.print(
        "\nThe sizes of one: laminature forms FORM. A design to start from: laminature new FORM FILE"
    )


def show_form(console: Console, form: Form) -> None:
    """A form's sizes, with ranges, defaults and where these come from."""
    console.print(f"{form.title} ({form.name}): {form.summary}\n")
    table = _table("size", "default", "range", "what it is", "source")
    for parameter in form.parameters:
        table.add_row(
            parameter.name, _default(parameter), _range(parameter), parameter.help, parameter.source
        )
    console.print(table)


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
    if low is None and high is None:
        return ""
    if high is None:
        return f"from {low:g}{_unit(parameter)}"
    return f"{0 if low is None else low:g} to {high:g}{_unit(parameter)}"


def show_boards(console: Console, boards: Iterable[Board], own_file: pathlib.Path) -> None:
    """One line for each board, and where one's own are written down."""
    table = _table("board", "what it is", "caliper", "sheet, mm", "measured stacks", "source of the caliper")
    for board in boards:
        table.add_row(
            board.name,
            board.title,
            f"{board.caliper:.4g} mm ({board.caliper / _POINT:.3g} pt)",
            f"{board.sheet_width:g} x {board.sheet_height:g}",
            ", ".join(f"{n}: {value:g} mm" for n, value in board.measured) or "none",
            dict(board.sources).get("caliper", ""),
        )
    console.print(table)
    console.print(f"\nYour own boards go into {own_file}", soft_wrap=True)


def show_report(console: Console, report: Report, folder: pathlib.Path) -> None:
    """What writing a kit did, with what stayed because it is the maker's."""
    console.print(f"Wrote {len(report.written)} files to {folder}", soft_wrap=True)
    for names, what in (
        (report.kept_edited, "changed by you, so it stays as it is"),
        (
            report.blocked,
            "not written, because something of yours stands there; move it away and make the kit again",
        ),
        (report.kept_foreign, "yours, so it stays"),
        (report.removed, "removed: this kit does not need it any more"),
    ):
        _list(console, names, what)
    if "README.txt" in report.written:
        console.print(f"Open first: {folder / 'README.txt'}", soft_wrap=True)


def _list(console: Console, names: Sequence[str], what: str) -> None:
    for name in names[:_MOST_NAMES]:
        console.print(f"  {name}: {what}", soft_wrap=True)
    if len(names) > _MOST_NAMES:
        console.print(f"  and {len(names) - _MOST_NAMES} more: {what}", soft_wrap=True)
