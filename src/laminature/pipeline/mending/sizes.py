"""What may mend findings about sizes, boards and sheets."""

from __future__ import annotations

from collections.abc import Iterator

from laminature.forms.registry import FORMS
from laminature.model.finding import Finding, Mend
from laminature.pipeline.mending.desk import Desk

#: Margins of a sheet, actual mm: less than 1 mm is not cut cleanly (common practice, no source).
MARGINS = (4.0, 3.0, 2.0, 1.0)
#: Clearances of loose parts, actual mm (common practice, no source).
CLEARANCES = (0.25, 0.3, 0.4, 0.5)


def smaller_margin(desk: Desk, _: Finding) -> Iterator[Mend]:
    """A part that a sheet with narrower margins holds."""
    for margin in MARGINS:
        if margin < desk.made.design.margin - 1e-9:
            label = f"Leave only {margin:g} mm along the edges of sheets"
            yield Mend(label, ((("cutter", "margin"), f"{margin:g} mm"),))


def more_clearance(desk: Desk, _: Finding) -> Iterator[Mend]:
    """A loose part of a form that lets its clearance be chosen."""
    form = desk.made.design.form
    if form is None or not any(p.name == "clearance" for p in FORMS[form].parameters):
        return
    now = desk.made.design.values.get("clearance")
    for clearance in CLEARANCES:
        if not isinstance(now, float) or clearance > now + 1e-9:
            label = f"Leave {clearance:g} mm of clearance"
            yield Mend(label, ((("form", "clearance"), f"mini {clearance:g} mm"),))


def finer_board(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Thinner board for a moulding; only where the design names its board and says no more of it."""
    if not isinstance(desk.values.get("board"), str):
        return
    for name, board in desk.made.boards.items():
        if f'board = "{name}"' in found.remedy:
            yield Mend(f"Make it of {board.title}", ((("board",), name),))
