"""A good order of assembly, found by taking the finished piece apart.

What can be drawn off a whole along a straight line can be put on along the same line. A part that is drawn
off never gets in the way of the others again, so that taking apart cannot run into a dead end; what is sought
is the order that is pleasant to build, by a beam of the cheapest half-taken-apart pieces.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from laminature.geometry.pose import Vector
from laminature.planning.apart import Split, splits
from laminature.planning.price import Pricing
from laminature.planning.puzzle import Mask, Puzzle
from laminature.planning.together import Spread

#: States kept at each depth times the number of parts: fewer for large pieces, which stay within seconds.
BEAM = 400
#: And so many at least.
FEWEST = 2


@dataclass(frozen=True)
class Leaf:
    """A single part."""

    mask: Mask


@dataclass(frozen=True)
class Join:
    """Two sub-assemblies put together: ``moving`` goes along ``way`` onto ``base``, ``down`` being down.

    ``spread`` tells how far parts have to stand apart when it begins (see
    :mod:`laminature.planning.together`). ``aside`` is the one of the two that was taken off.
    """

    base: Tree
    moving: Tree
    way: Vector
    down: Vector
    aside: Tree
    spread: Spread = ()

    @property
    def mask(self) -> Mask:
        """All parts in it."""
        return self.base.mask | self.moving.mask


Tree = Leaf | Join


@dataclass(frozen=True)
class _Move:
    """A split with all that is chosen about it. ``way`` is the way in of the side that moves.

    ``cost`` is all but turning the work afterwards; ``alike`` is what the part that comes off is like.
    """

    split: Split
    rest: Mask
    rest_moves: bool
    way: int
    down: int
    cost: float
    alike: object = None


@dataclass(frozen=True)
class _State:
    """A half-taken-apart piece: ``left`` parts are still together, after ``move`` from ``before``."""

    left: Mask
    cost: float
    move: _Move | None = None
    before: _State | None = None


class Search:
    """Orders for the parts of one puzzle; what was found for a set of parts is kept."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.pricing = Pricing(puzzle)
        self._trees: dict[Mask, tuple[float, Tree]] = {}
        self._splits: dict[Mask, list[tuple[Split, float]]] = {}
        self._moves: dict[Mask, list[_Move]] = {}
        self._lying: dict[tuple[Mask, int], list[_Move]] = {}

    def tree(self, mask: Mask) -> Tree:
        """How the parts of ``mask`` are put together. Raises LockedError where some cannot be."""
        return self._best(mask)[1]

    def _best(self, mask: Mask) -> tuple[float, Tree]:
        if mask & (mask - 1) == 0:
            return 0.0, Leaf(mask)
        if mask not in self._trees:
            self._trees[mask] = self._sought(mask)
        return self._trees[mask]

    def _sought(self, mask: Mask) -> tuple[float, Tree]:
        count = mask.bit_count()
        width = max(FEWEST, BEAM // count)
        levels: dict[int, dict[tuple[Mask, int], _State]] = defaultdict(dict)
        levels[count][mask, -1] = _State(mask, 0.0)
        for size in range(count, 1, -1):
            for state in sorted(levels.pop(size, {}).values(), key=lambda s: s.cost)[:width]:
                for move in self._from(state):
                    kept, key = levels[move.rest.bit_count()], (move.rest, move.down)
                    cost = state.cost + move.cost + self._following(state, move)
                    if key not in kept or cost < kept[key].cost - 1e-9:
                        kept[key] = _State(move.rest, cost, move, state)
        ends = [(s.cost + self.pricing.first(s.left, mask), s) for s in levels[1].values()]
        cost, best = min(ends, key=lambda e: e[0])
        return cost, self._built(best)

    def _built(self, state: _State) -> Tree:
        tree: Tree = Leaf(state.left)
        while state.move is not None and state.before is not None:
            move, ways = state.move, self.puzzle.ways
            aside = self._best(move.split.off)[1]
            base, moving = (aside, tree) if move.rest_moves else (tree, aside)
            tree = Join(base, moving, ways[move.way], ways[move.down], aside, move.split.spread)
            state = state.before
        return tree

    def _following(self, state: _State, move: _Move) -> float:
        """What it costs that the step of ``state`` comes right after that of ``move``."""
        later = state.move
        if later is None:
            return 0.0
        cost = self.pricing.turning(state.left) if later.down != move.down else 0.0
        return cost - (self.pricing.ALIKE if move.alike and move.alike == later.alike else 0.0)

    def _from(self, state: _State) -> list[_Move]:
        moves = self._moves_of(state.left)
        return moves if state.move is None else moves + self._lying_as(state.left, state.move.down)

    def _moves_of(self, left: Mask) -> list[_Move]:
        """The best move for each split and each way in which the work lies well for it."""
        if left not in self._moves:
            found: dict[tuple[Mask, int], _Move] = {}
            for split, joined in self._splits_of(left):
                for move in self._sides(left, split, joined):
                    for down in self.pricing.holds(move.way):
                        self._offer(found, move, down)
            self._moves[left] = list(found.values())
        return self._moves[left]

    def _lying_as(self, left: Mask, down: int) -> list[_Move]:
        """The best move for each split with the work lying in this one way."""
        if (left, down) not in self._lying:
            found: dict[tuple[Mask, int], _Move] = {}
            for split, joined in self._splits_of(left):
                for move in self._sides(left, split, joined):
                    if self.pricing.may_lie(move.way, down):
                        self._offer(found, move, down)
            self._lying[left, down] = list(found.values())
        return self._lying[left, down]

    def _offer(self, found: dict[tuple[Mask, int], _Move], move: _Move, down: int) -> None:
        base = move.split.off if move.rest_moves else move.rest
        cost = move.cost + self.pricing.lying(base, move.way, down)
        key = (move.split.off, down)
        if key not in found or cost < found[key].cost - 1e-9:
            found[key] = _Move(move.split, move.rest, move.rest_moves, move.way, down, cost, move.alike)

    def _sides(self, left: Mask, split: Split, joined: float) -> tuple[_Move, _Move]:
        """Both sides of a split, either of which may be the one that moves."""
        rest, off = left & ~split.off, split.off
        alike = self.puzzle.likeness[off.bit_length() - 1] if off & (off - 1) == 0 else None
        cost = joined + self.pricing.fitting(rest, off, split.out ^ 1)
        other = joined + self.pricing.fitting(off, rest, split.out)
        return (
            _Move(split, rest, False, split.out ^ 1, -1, cost, alike),
            _Move(split, rest, True, split.out, -1, other, alike),
        )

    def _splits_of(self, left: Mask) -> list[tuple[Split, float]]:
        """How these come apart, with what the joints and the side that is taken off cost."""
        if left not in self._splits:
            pricing, found = self.pricing, []
            for split in splits(self.puzzle, left):
                own, _ = self._best(split.off)
                cost = pricing.joining(split.off, left & ~split.off) + own
                cost += pricing.out_of_order(split.off, left)
                cost += pricing.APART if split.off & (split.off - 1) else 0.0
                cost += pricing.SPREAD if split.spread else 0.0
                found.append((split, cost))
            self._splits[left] = found
        return self._splits[left]
