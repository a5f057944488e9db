"""Stacks: how thick n glued layers really are, and how many layers a thickness wants.

T(n) = n·c·(1 + growth) + (n − 1)·glue line − sanding of faces, unless the maker
measured such a stack: a measured thickness overrides the formula, because caliper
alone varies by about ±5 % from batch to batch (±0.11 mm on four layers of 22 points).
"""

from __future__ import annotations

from collections.abc import Iterable
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


#: A stack further off than this is worth a mix of two calipers, where that halves the error, mm.
WORTH_MIXING = 0.15


def best_mix(board: Board, wanted: float, within: float, others: Iterable[Board]) -> Stack | None:
    """A symmetrical stack of ``board`` and one of ``others`` that comes ``within`` mm of ``wanted``, or None.

    Of those that do, the one with the fewest layers, then the one that comes nearest.
    """
    candidates = []
    for other in sorted(others, key=lambda b: b.name):
        if abs(other.caliper - board.caliper) < 1e-6:
            continue
        for outer, inner in ((board, other), (other, board)):
            for pairs in range(1, 5):
                for core in range(1, 9):
                    mix = mixed_stack(outer, inner, pairs, core)
                    off = abs(mix.thickness - wanted)
                    if off <= within + 1e-9:
                        candidates.append((mix.count, round(off, 9), mix.boards, mix))
    return min(candidates)[3] if candidates else None


def stack_for(board: Board, wanted: float, second: Board | None = None) -> Stack:
    """The stack nearest to ``wanted`` mm: alike layers, or with a ``second`` board a mix.

    A mix is taken where alike layers are more than 0.15 mm off and it at least halves that.
    """
    plain = stack(board, layers_for(board, wanted))
    off = abs(plain.thickness - wanted)
    if second is None or off <= WORTH_MIXING:
        return plain
    return best_mix(board, wanted, off / 2.0, (second,)) or plain
