"""What a step costs its maker: turning the work, many joints at once, parts that have to be held.

The weights are judgement, tried on the examples (common practice, no source): 1 is one turn of the work.
"""

from __future__ import annotations

from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.resting import Resting
from laminature.planning.ways import dot

#: A puzzle's first two ways are up and down.
UP, DOWN = 0, 1
#: From above: within 45° of straight down.
ABOVE = 0.7
#: Nothing is put on from further below the level than this (cosine).
BELOW = -0.2
#: Ways within 25° of each other: a splayed side may lie flat while something comes square to another.
NEARLY = 0.9
#: A few light parts are turned in the hand.
LIGHT = 0.3
#: A half-built piece that stands up to this tilt is left alone; up to this one it lies flat, degrees.
FIRM, FLAT = 15.0, 60.0


class Pricing:
    """Prices of steps for one puzzle."""

    #: A sub-assembly beside the work.
    APART = 0.5
    #: A part that is like the one before: hands know how.
    ALIKE = 0.15
    OUT_OF_ORDER = 0.3
    TURN = 1.0
    SIDEWAYS = 0.25
    WOBBLE = 0.6
    TALL = 0.2
    SMEARED = 0.8
    HIDDEN = 0.4
    #: What is only glued on lies underneath, where it cannot be pushed into place.
    UNDER = 0.7
    #: The larger side is lifted onto the smaller.
    LIFTED = 0.4
    AT_ONCE = 0.15
    #: Several parts that close up together.
    SPREAD = 0.8
    TOO_EARLY = 1.5

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.resting = Resting(puzzle)
        self._holds: dict[int, tuple[int, ...]] = {}
        self._size: dict[tuple[int, int], float] = {}
        for pair, joints in puzzle.between.items():
            firm = [j for j in joints if j.depth or j.kind == "cleat"]
            self._size[pair] = sum(1.0 + 0.25 * max(0, len(j.cells) - 1) for j in firm)
        #: Parts that nothing but glue holds: cleats, backs, rings. They come late.
        held = 0
        for i, j in (pair for pair, size in self._size.items() if size):
            held |= 1 << i | 1 << j
        self.glued: Mask = puzzle.whole & ~held if held else 0

    def joining(self, off: Mask, rest: Mask) -> float:
        """The joints that close between two sides: many at once are hard to start."""
        size = 0.0
        for i in bits(off):
            for j in bits(self.puzzle.touching[i] & rest):
                size += self._size[min(i, j), max(i, j)]
        early = ((off | rest) & self.glued).bit_count() if size else 0
        cost: float = self.AT_ONCE * max(0.0, size - 1.0) ** 1.25
        return cost + self.TOO_EARLY * min(2, early)

    def fitting(self, base: Mask, moving: Mask, k: int) -> float:
        """How one side goes onto the other: glue that is smeared, slots that nobody sees while they go on."""
        way = self.puzzle.ways[k]
        glued = smeared = held = hidden = 0
        for joint in self.puzzle.closing(base, moving):
            if joint.depth:
                held += 1
                hidden += not joint.through and bool(moving >> self.puzzle.number[joint.receiver] & 1)
            else:
                glued += 1
                flat = joint.contact.kind == "faces"
                smeared += flat and abs(dot(joint.contact.entering_way, way)) < ABOVE
        cost = self.HIDDEN * hidden / held if held else 0.0
        if glued and not held:
            cost += self.SMEARED * smeared / glued
            if base & self.glued == base:
                cost += self.UNDER
        if moving.bit_count() > base.bit_count():
            cost += self.LIFTED
        return cost

    def holds(self, k: int) -> tuple[int, ...]:
        """How the work may lie for a part that comes along way ``k``, as numbers of the ways that are down.

        So that it comes from above, or nearly; as the piece stands; or upside down.
        """
        if k not in self._holds:
            ways = self.puzzle.ways
            near = [d for d in range(len(ways)) if dot(ways[k], ways[d]) > NEARLY]
            upright = [d for d in (DOWN, UP) if dot(ways[k], ways[d]) > BELOW]
            self._holds[k] = tuple(dict.fromkeys([k, *upright, *near]))
        return self._holds[k]

    def may_lie(self, k: int, down: int) -> bool:
        """Whether a part may come along way ``k`` while the work lies so: never from below."""
        return dot(self.puzzle.ways[k], self.puzzle.ways[down]) > BELOW

    def lying(self, base: Mask, k: int, down: int) -> float:
        """How the work lies: whether the part has to be held from the side, and whether the work stands."""
        cost = self.SIDEWAYS if dot(self.puzzle.ways[k], self.puzzle.ways[down]) < ABOVE else 0.0
        firm = self.resting.firmness(base, self.puzzle.ways[down])
        cost += self.WOBBLE * max(0.0, 1.0 - firm / FIRM)
        return cost + self.TALL * max(0.0, 1.0 - firm / FLAT)

    def turning(self, work: Mask) -> float:
        """The work is turned over: a few light parts in the hand."""
        share = self.resting.weight(work) / self.resting.weight(self.puzzle.whole)
        return self.TURN * max(LIGHT, share)

    def out_of_order(self, off: Mask, left: Mask) -> float:
        """Alike parts go on in the order of the piece, and so do others where nothing else decides."""
        last = off.bit_length() - 1
        like = self.puzzle.likeness
        early = off & (off - 1) == 0 and any(i > last and like[i] == like[last] for i in bits(left))
        return 0.002 * (left.bit_length() - off.bit_length()) + (self.OUT_OF_ORDER if early else 0.0)

    def first(self, part: Mask, whole: Mask) -> float:
        """A part to begin with: one that many others join."""
        most = max((self.puzzle.touching[i] & whole).bit_count() for i in bits(whole))
        mine = (self.puzzle.touching[part.bit_length() - 1] & whole).bit_count()
        return 0.3 * (1.0 - mine / most) if most else 0.0
