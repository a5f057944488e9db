"""The grain's arrow: two heads, because grain has a direction but no sense."""

from __future__ import annotations

from laminature.geometry.path import Path, Point, polyline
from laminature.model.board import Board, Grain
from laminature.model.sheet import Sheet

#: Length of the arrow and breadth of its heads, mm.
LENGTH = 14.0
BREADTH = 2.0


def grain_of(sheet: Sheet, board: Board) -> Grain:
    """The way the grain runs on a sheet: an offcut may lie otherwise than its board's full sheets."""
    return board.grain if sheet.grain is None else sheet.grain


def grain_arrow(grain: Grain, at: Point, length: float = LENGTH) -> tuple[Path, ...]:
    """The arrow's lines about the point ``at``, along x or y; none for a board without grain."""
    if grain == "none":
        return ()
    half, head = length / 2.0, BREADTH / 2.0
    lines = [[(-half, 0.0), (half, 0.0)]]
    for end in (-half, half):
        back = end - 2.0 * head * (1.0 if end > 0.0 else -1.0)
        lines.append([(back, head), (end, 0.0), (back, -head)])
    turned = lines if grain == "x" else [[(y, x) for x, y in line] for line in lines]
    return tuple(polyline([(at[0] + x, at[1] + y) for x, y in line], closed=False) for line in turned)
