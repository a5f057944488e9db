"""Findings as people read them and as programs do."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

from laminature.model.finding import Finding, Grade

if TYPE_CHECKING:
    from rich.console import Console

_ORDER: tuple[Grade, ...] = ("stop", "care", "note")
_WORDS: dict[Grade, str] = {"stop": "STOP", "care": "take care", "note": "note"}
_STYLES: dict[Grade, str] = {"stop": "bold red", "care": "bold yellow", "note": "dim"}


def by_grade(findings: Sequence[Finding]) -> list[Finding]:
    """The gravest first; within a grade in the order in which they were found."""
    return sorted(findings, key=lambda f: _ORDER.index(f.grade))


def stops(findings: Sequence[Finding]) -> bool:
    """Whether one of them means that the kit cannot be built."""
    return any(f.grade == "stop" for f in findings)


def as_json(findings: Sequence[Finding]) -> str:
    """A JSON list, plain ASCII, so that any console carries it unharmed."""
    return json.dumps([_as_dict(f) for f in by_grade(findings)], indent=2)


def _as_dict(finding: Finding) -> dict[str, object]:
    return {
        "code": finding.code,
        "grade": finding.grade,
        "message": finding.message,
        "remedy": finding.remedy,
        "part": finding.part,
        "layer": finding.layer,
        "point": None if finding.point is None else [float(v) for v in finding.point],
    }


def summary(findings: Sequence[Finding]) -> str:
    """How many there are of each grade, in words."""
    counts = {grade: sum(f.grade == grade for f in findings) for grade in _ORDER}
    if not findings:
        return "Nothing was found."
    said = [f"{n} {_WORDS[grade]}" for grade, n in counts.items() if n]
    return f"Findings: {', '.join(said)}."


def place(finding: Finding) -> str:
    """Where a finding is, in words; empty where it is about the whole."""
    said = []
    if finding.part:
        said.append(f"part {finding.part}")
    if finding.layer is not None:
        said.append(f"layer {finding.layer}")
    if finding.point is not None:
        x, y, z = (round(v, 1) + 0.0 for v in finding.point)  # no "-0.0"
        said.append(f"at x {x:.1f}, y {y:.1f}, z {z:.1f} mm")
    return ", ".join(said)


def show(console: Console, findings: Sequence[Finding]) -> None:
    """Print findings as a list, grade first in words."""
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(no_wrap=True)
    table.add_column()
    for finding in by_grade(findings):
        text = Text(finding.message)
        where = place(finding)
        if where:
            text.append(f"\nWhere: {where}")
        if finding.remedy:
            text.append(f"\nWhat to do: {finding.remedy}")
        text.append(f"\n({finding.code})", style="dim")
        table.add_row(Text(_WORDS[finding.grade], style=_STYLES[finding.grade]), text)
    if findings:
        console.print(table)
    console.print(summary(findings))
