"""Stacks: how thick n glued layers really are, and how many layers a thickness wants.

T(n) = n·c·(1 + growth) + (n − 1)·glue line − sanding of faces, unless the maker
measured such a stack: a measured thickness overrides the formula, because caliper
alone varies by about ±5 % from batch to batch (±0.11 mm on four layers of 22 points).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from laminature.model.board import Board


@dataclass(frozen=True)
class Stack:
    """The layers of a part, counted from its −z face, and their real thickness.

    ``boards`` names the board of each layer; ``calipers`` gives each layer's caliper and
    ``thickness`` the whole stack after gluing, hardening and sanding, mm.
    """

    boards: tuple[str, ...]
    calipers: tuple[float, ...]
    thickness: float

    @property
    def count(self) -> int:
        """How many layers there are."""
        return len(self.boards)

    @cached_property
    def bounds(self) -> tuple[float, ...]:
        """Heights of the layers' faces from 0 to the thickness: count + 1 values, mm.

        The real thickness is shared out in proportion to the calipers.
        """
        whole = sum(self.calipers)
        heights = [0.0]
        for c in self.calipers[:-1]:
            heights.append(heights[-1] + c * self.thickness / whole)
        return (*heights, self.thickness)


def formula_thickness(calipers: tuple[float, ...], board: Board) -> float:
    """Thickness of layers of these calipers glued with ``board``'s glue line and growth, mm."""
    n = len(calipers)
    return sum(calipers) * (1.0 + board.growth) + (n - 1) * board.glue_line - board.face_sanding


def thickness(board: Board, count: int) -> float:
    """Real thickness of ``count`` layers of ``board``, mm; the measured value where there is one."""
    for n, value in board.measured:
        if n == count:
            return value
    return formula_thickness((board.caliper,) * count, board)


def stack(board: Board, count: int) -> Stack:
    """A stack of ``count`` alike layers."""
    return Stack((board.name,) * count, (board.caliper,) * count, thickness(board, count))


def mixed_stack(outer: Board, inner: Board, pairs: int, core: int) -> Stack:
    """A symmetrical stack: ``pairs`` outer layers on each side of ``core`` inner ones (A … B … A)."""
    names = (outer.name,) * pairs + (inner.name,) * core + (outer.name,) * pairs
    calipers = (outer.caliper,) * pairs + (inner.caliper,) * core + (outer.caliper,) * pairs
    return Stack(names, calipers, formula_thickness(calipers, outer))


def layers_for(board: Board, wanted: float, most: int = 40) -> int:
    """The number of layers whose real thickness is nearest to ``wanted`` mm; ties take fewer."""
    return min(range(1, most + 1), key=lambda n: (round(abs(thickness(board, n) - wanted), 9), n))
