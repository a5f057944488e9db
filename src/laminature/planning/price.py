"""What a step costs its maker: turning the work, many joints at once, parts that have to be held.

The weights are judgement, tried on the examples (common practice, no source): 1 is one turn of the work.
"""

from __future__ import annotations

from laminature.geometry.pose import Vector
from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.resting import Resting
from laminature.planning.ways import dot

DOWN: Vector = (0.0, 0.0, -1.0)
UP: Vector = (0.0, 0.0, 1.0)
#: From above: within 45° of straight down.
ABOVE = 0.7
#: Nothing is put on from further below the level than this (cosine).
BELOW = -0.2
#: Ways within 25° of each other: a splayed side may lie flat while something comes square to another.
NEARLY = 0.9
#: A few light parts are turned in the hand.
LIGHT = 0.3
#: A half-built piece that stands up to this tilt stands well, degrees.
FIRM = 60.0


class Pricing:
    """Prices of steps for one puzzle."""

    #: A sub-assembly beside the work.
    APART = 0.3
    #: A part that is like the one before: hands know how.
    ALIKE = 0.15
    TURN = 1.0
    SIDEWAYS = 0.35
    WOBBLE = 0.6
    SMEARED = 0.8
    HIDDEN = 0.4
    #: What is only glued on lies underneath, where it cannot be pushed into place.
    UNDER = 0.7
    #: The larger side is lifted onto the smaller.
    LIFTED = 0.4
    AT_ONCE = 0.15
    #: Several parts that close up together.
    SPREAD = 0.8
    TOO_EARLY = 0.5

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.resting = Resting(puzzle)
        self._size: dict[tuple[int, int], float] = {}
        for pair, joints in puzzle.between.items():
            self._size[pair] = sum(1.0 + 0.25 * max(0, len(j.cells) - 1) for j in joints if j.depth)
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
        cost: float = self.AT_ONCE * max(0.0, size - 1.0) ** 1.5
        return cost + self.TOO_EARLY * min(4, early)

    def fitting(self, base: Mask, moving: Mask, way: Vector) -> float:
        """How one side goes onto the other: glue that is smeared, slots that nobody sees while they go on."""
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
        return cost

    def holds(self, way: Vector, later: Vector | None) -> list[Vector]:
        """How the work may lie for a part that comes along ``way``: never so that it comes from below."""
        found = [way]
        near = [w for w in self.puzzle.ways if dot(w, way) > NEARLY]
        for down in (DOWN, UP, later, *near):
            if down is not None and dot(way, down) > BELOW and all(dot(down, f) < 0.999 for f in found):
                found.append(down)
        return found

    def handling(self, base: Mask, moving: Mask, way: Vector, down: Vector, later: Vector | None) -> float:
        """How the work lies: whether it stands, has to be turned afterwards, and what is lifted."""
        cost = 0.0
        if dot(way, down) < ABOVE:
            cost += self.SIDEWAYS
        share = self.resting.weight(base | moving) / self.resting.weight(self.puzzle.whole)
        if later is not None and dot(later, down) < 0.99:
            cost += self.TURN * max(LIGHT, share)
        firm = self.resting.firmness(base, down)
        cost += self.WOBBLE * max(0.0, 1.0 - firm / FIRM)
        if moving.bit_count() > base.bit_count():
            cost += self.LIFTED
        return cost

    def out_of_order(self, off: Mask, left: Mask) -> float:
        """A trifle that keeps to the order of the piece where nothing else decides."""
        return 0.002 * abs(left.bit_length() - off.bit_length())

    def first(self, part: Mask, whole: Mask) -> float:
        """A part to begin with: one that many others join."""
        most = max((self.puzzle.touching[i] & whole).bit_count() for i in bits(whole))
        mine = (self.puzzle.touching[part.bit_length() - 1] & whole).bit_count()
        return 0.3 * (1.0 - mine / most) if most else 0.0
