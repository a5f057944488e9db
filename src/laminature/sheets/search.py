"""Better layouts by passes in other orders: counted passes by default, as many as time allows if asked.

The order decides everything in a greedy pass. Beginning with the biggest first, each
further pass shakes the best order so far a little; the search runs on coarse cells, and only the
best order is run again on fine ones.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from laminature.geometry.flat import grown
from laminature.sheets.greedy import Filler, Layout
from laminature.sheets.room import Room
from laminature.sheets.shapes import Place, Shape, same_turn

Told = Callable[[float, str], None]

#: Side of a cell in which places are sought, mm.
CELL = 1.0
#: The same for kits of no more than FEW shapes, where time allows finer cells.
FINE_CELL = 0.5
FEW = 30
#: The same for the passes of a search, and for kits of more than MANY shapes.
MANY = 400
COARSE_CELL = 1.25
#: No grid has more cells than this along a side, whatever the sheet's size.
MOST_CELLS = 1000
#: How strongly an order is shaken: the logarithms of areas are moved by about this. Of 0.05, 0.1 and
#: 0.3 the least was best on the kit of 95 shapes.
SHAKE = 0.05
#: Passes of the search that is made unasked, where it may save a sheet, and the most shapes it is for.
PASSES = 4
MOST_SHAPES = 80
#: Arcs may be this coarse where only an area is asked for, mm; they lie inside, so the area is no larger.
ROUND = 0.05

Rank = tuple[int, float, float]


@dataclass(frozen=True)
class Problem:
    """Shapes of one board and the rooms there are for them: offcuts first, then full sheets."""

    shapes: Sequence[Shape]
    full: Room
    odd: Sequence[Room]
    spacing: float

    def filler(self, cell: float) -> Filler:
        """What runs passes, with cells of about this size, mm."""
        return Filler(self.shapes, self.full, self.spacing, self._cell(cell), self.odd)

    def fine(self) -> Filler:
        """What runs the passes whose places are used."""
        count = len(self.shapes)
        return self.filler(FINE_CELL if count <= FEW else CELL if count <= MANY else COARSE_CELL)

    def coarse(self) -> Filler:
        """What runs the passes of a search."""
        return self.filler(COARSE_CELL)

    def _cell(self, wanted: float) -> float:
        """No cell is larger than the thinnest shape, none so small that a huge sheet has too many, mm."""
        thinnest: float = min(
            min(s.flat.bounds[2] - s.flat.bounds[0], s.flat.bounds[3] - s.flat.bounds[1]) for s in self.shapes
        )
        longest = max(v for room in (self.full, *self.odd) for v in (room.width, room.height))
        return max(min(wanted, thinnest + self.spacing), longest / MOST_CELLS)

    def rank(self, layout: Layout) -> Rank:
        """How good a layout is; less is better: shapes without a place, full sheets, offcuts, by area."""
        used = layout.tops[len(self.odd) :]
        sheets = len(used) - 1 + used[-1] / self.full.height if used else 0.0
        cut = sum(r.width * r.height for r, top in zip(self.odd, layout.tops, strict=False) if top > 0.0)
        return (len(layout.left), round(sheets, 6), round(cut, 3))

    def standing(self, places: Sequence[Place]) -> Layout:
        """The layout that these places make; nothing is checked."""
        allowed: dict[str, set[int]] = {}
        tops = [0.0] * max([len(self.odd), *(at.sheet + 1 for at in places)])
        for at in places:
            shape = self.shapes[at.shape]
            tops[at.sheet] = max(tops[at.sheet], shape.lying(at).bounds[3])
            grain = (self.odd[at.sheet] if at.sheet < len(self.odd) else self.full).grain
            if shape.bond and grain != "none":
                groups = enumerate(shape.ways[grain])
                fitting = {n for n, turns in groups if any(same_turn(at.turn, t) for t in turns)}
                allowed[shape.bond] = allowed.get(shape.bond, fitting) & fitting
        ways = {bond: min(fitting) for bond, fitting in allowed.items() if fitting}
        return Layout(tuple(places), tuple(tops), (), ways)

    @cached_property
    def fewest(self) -> int:
        """No layout can have fewer full sheets than this.

        Shapes grown by half the spacing do not overlap, nor leave a room that is grown so too.
        """
        half = self.spacing / 2.0
        area = sum(grown(s.flat, half, ROUND, corners="round").area for s in self.shapes)
        area -= sum(_grown_room(r, half) for r in self.odd)
        return max(0, math.ceil(float(area) / _grown_room(self.full, half) - 1e-9))


def _grown_room(room: Room, half: float) -> float:
    return (room.width + 2.0 * half) * (room.height + 2.0 * half)


def first(problem: Problem, decided: dict[str, int], told: Told) -> Layout:
    """The layout that is made unasked: one pass, and a few more where they might save a sheet."""
    fine = problem.fine()
    best = fine.run(fine.biggest_first(), decided, lambda share: told(0.5 * share, ""))
    full = len(best.tops) - len(problem.odd)
    if full <= 1 or len(problem.shapes) > MOST_SHAPES or full <= problem.fewest:
        return best
    shaken = Shaken(problem, best, decided)
    for n in range(PASSES):
        shaken.once()
        told(0.5 + 0.4 * (n + 1) / PASSES, "")
    if shaken.best is best:
        return best
    return min((best, shaken.best, fine.run(shaken.order, decided)), key=problem.rank)


class Shaken:
    """A search over orders: the best order so far, shaken again and again with a seeded generator.

    It begins with the biggest first, and with the layout that this has led to.
    """

    def __init__(self, problem: Problem, found: Layout, decided: Mapping[str, int]) -> None:
        self.problem = problem
        self.best = found
        self.decided = dict(decided)
        self.filler = problem.coarse()
        self.random = np.random.default_rng(95)
        self.keys = np.log([s.outer_area for s in problem.shapes])

    @property
    def order(self) -> list[int]:
        """The best order so far."""
        return _order(self.keys)

    def once(self, progress: Callable[[float], None] | None = None) -> bool:
        """Make one more pass; true where it was better than all before. ``progress`` may raise to end it."""
        keys = self.keys + self.random.normal(0.0, SHAKE, len(self.keys))
        found = self.filler.run(_order(keys), self.decided, progress)
        better = self.problem.rank(found) < self.problem.rank(self.best)
        if better:
            self.best, self.keys = found, keys
        return better


def _order(keys: np.ndarray) -> list[int]:
    return [int(k) for k in np.argsort(-keys, kind="stable")]
