"""A good order of assembly, found by taking the finished piece apart.

What can be drawn off a whole along a straight line can be put on along the same line. For each way a
graph tells which part meets which; the parts that one carries along when it is drawn off are those that can
be reached from it, and any such set comes off as a sub-assembly (the non-directional blocking graph of Wilson
and Latombe, Geometric reasoning about mechanical assembly, Artificial Intelligence 71, 1994). A part that is
drawn off never gets in the way of the others again, so that taking apart cannot run into a dead end;
what is sought is the order that is pleasant to build, by a beam of the cheapest half-taken-apart pieces.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from laminature.geometry.pose import Vector
from laminature.planning.price import Pricing
from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.together import Spread, together
from laminature.planning.ways import opposite

#: States kept at each depth: fewer for large pieces, so that the whole search stays within seconds.
BEAM = 400
#: Up to so many parts sub-assemblies are looked for everywhere, beyond it only where no part comes off alone.
SMALL = 24


@dataclass(frozen=True)
class Leaf:
    """A single part."""

    mask: Mask


@dataclass(frozen=True)
class Join:
    """Two sub-assemblies put together: ``moving`` goes along ``way`` onto ``base``, ``down`` being down.

    ``spread`` tells how far parts of the base have to stand apart when it begins (see
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


class LockedError(Exception):
    """Parts ``mask`` of a puzzle that cannot be drawn apart. Never leaves this package."""

    def __init__(self, puzzle: Puzzle, mask: Mask) -> None:
        super().__init__()
        self.puzzle, self.mask = puzzle, mask


@dataclass(frozen=True)
class _Split:
    """What comes off: ``off`` moves along way ``out`` away from the rest."""

    off: Mask
    out: Vector
    spread: Spread = ()


@dataclass
class _State:
    """A half-taken-apart piece: ``left`` parts are still together."""

    left: Mask
    down: Vector | None
    cost: float
    letter: str = ""
    steps: tuple[_Chosen, ...] = field(default=())


@dataclass(frozen=True)
class _Chosen:
    split: _Split
    rest_moves: bool
    way: Vector
    down: Vector
    aside: Tree


class Search:
    """Orders for the parts of one puzzle; what was found for a set of parts is kept."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.pricing = Pricing(puzzle)
        self._trees: dict[Mask, tuple[float, Tree]] = {}
        self._splits: dict[Mask, list[_Split]] = {}

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
        width = max(2, BEAM // count)
        levels: dict[int, dict[tuple[Mask, Vector | None], _State]] = defaultdict(dict)
        levels[count][mask, None] = _State(mask, None, 0.0)
        for size in range(count, 1, -1):
            ranked = sorted(levels.pop(size, {}).values(), key=lambda s: s.cost)[:width]
            for state in ranked:
                for split in self._ways_apart(state.left):
                    for after in self._after(state, split):
                        kept = levels[after.left.bit_count()]
                        key = (after.left, after.down)
                        if key not in kept or after.cost < kept[key].cost - 1e-9:
                            kept[key] = after
        ends = [(s.cost + self.pricing.first(s.left, mask), s) for s in levels[1].values()]
        cost, best = min(ends, key=lambda e: e[0])
        tree: Tree = Leaf(best.left)
        for c in reversed(best.steps):
            base, moving = (c.aside, tree) if c.rest_moves else (tree, c.aside)
            tree = Join(base, moving, c.way, c.down, c.aside, c.split.spread)
        return cost, tree

    def _after(self, state: _State, split: _Split) -> list[_State]:
        """The state after this split, for each way to hold the work and each side that may move."""
        rest = state.left & ~split.off
        own, aside = self._best(split.off)
        pricing = self.pricing
        joined = pricing.joining(split.off, rest) + own + (pricing.SPREAD if split.spread else 0.0)
        joined += pricing.out_of_order(split.off, state.left)
        if own:
            joined += pricing.APART
        single = split.off.bit_count() == 1
        letter = self.puzzle.parts[next(bits(split.off))].letter if single else ""
        if letter and letter == state.letter:
            joined -= pricing.ALIKE
        found = []
        for rest_moves in (False, True):
            way = split.out if rest_moves else opposite(split.out)
            base, moving = (split.off, rest) if rest_moves else (rest, split.off)
            fitted = joined + pricing.fitting(base, moving, way)
            for down in pricing.holds(way, state.down):
                cost = fitted + pricing.handling(base, moving, way, down, state.down)
                chosen = _Chosen(split, rest_moves, way, down, aside)
                found.append(_State(rest, down, state.cost + cost, letter, (*state.steps, chosen)))
        return found

    def _ways_apart(self, left: Mask) -> list[_Split]:
        if left not in self._splits:
            self._splits[left] = self._found_apart(left)
        return self._splits[left]

    def _found_apart(self, left: Mask) -> list[_Split]:
        singles, groups = self._singles(left), []
        if not singles or left.bit_count() <= SMALL:
            groups = self._groups(left)
        found = [*singles, *groups]
        whole = [s for s in found if self.puzzle.connected(left & ~s.off) and self.puzzle.connected(s.off)]
        if whole:
            return whole
        if found:
            return found
        spread = together(self.puzzle, left)
        if spread is None:
            raise LockedError(self.puzzle, left)
        off, out, spreads = spread
        return [_Split(off, out, spreads)]

    def _singles(self, left: Mask) -> list[_Split]:
        """Single parts that come off. Of parts that are alike and come off alike only the last is tried."""
        found: dict[object, _Split] = {}
        puzzle = self.puzzle
        for k, way in enumerate(puzzle.ways):
            bars = puzzle.bars(k)
            for i in bits(left):
                if bars[i] & left:
                    continue
                letter = puzzle.parts[i].letter
                alike = (letter, k, (puzzle.touching[i] & left).bit_count()) if letter else (i, k)
                found[alike] = _Split(1 << i, way)
        return list(found.values())

    def _groups(self, left: Mask) -> list[_Split]:
        """Sub-assemblies that come off: what a part carries along, of two parts or more."""
        found: dict[tuple[Mask, int], _Split] = {}
        for k, way in enumerate(self.puzzle.ways):
            done: Mask = 0
            for i in bits(left):
                if done >> i & 1:
                    continue
                off = self.puzzle.carried(i, k, left)
                rest = left & ~off
                if rest and off.bit_count() > 1 and rest.bit_count() > 1:
                    found[off, k] = _Split(off, way)
        return list(found.values())
