"""What can be drawn off a set of parts: single parts, sub-assemblies, and parts that open all together.

For each way a graph tells which part meets which; the parts that one carries along when it is drawn off are
those that can be reached from it, and any such set comes off as a sub-assembly (the non-directional blocking
graph of R. H. Wilson and J.-C. Latombe, Geometric reasoning about mechanical assembly, Artificial
Intelligence 71, 1994).
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.together import Spread, together

#: Up to so many parts sub-assemblies are looked for everywhere, beyond it only where no part comes off alone.
SMALL = 24
#: No more single parts than this are tried at once.
MANY = 48


class LockedError(Exception):
    """Parts ``mask`` of a puzzle that cannot be drawn apart. Never leaves this package."""

    def __init__(self, puzzle: Puzzle, mask: Mask) -> None:
        super().__init__()
        self.puzzle, self.mask = puzzle, mask


@dataclass(frozen=True)
class Split:
    """``off`` moves along the way numbered ``out``, away from the rest.

    ``spread`` tells how other parts give way meanwhile.
    """

    off: Mask
    out: int
    spread: Spread = ()


def splits(puzzle: Puzzle, left: Mask) -> list[Split]:
    """How the parts ``left`` come apart in two, both halves hanging together by joints where that can be.

    Raises LockedError where they do not.
    """
    found = _pieces(puzzle, left) or _singles(puzzle, left)
    if not found or left.bit_count() <= SMALL:
        found += _groups(puzzle, left)
    whole = [s for s in found if puzzle.connected(left & ~s.off) and puzzle.connected(s.off)]
    if whole or found:
        return whole or found
    opened = together(puzzle, left)
    if opened is None:
        raise LockedError(puzzle, left)
    off, out, spread = opened
    return [Split(off, puzzle.way_number(out), spread)]


def _pieces(puzzle: Puzzle, left: Mask) -> list[Split]:
    """Where the parts do not hang together at all: each piece of them that comes off as it is."""
    one = puzzle.held_with(left & -left, left)
    if one == left:
        return []
    found, rest = [], left
    while rest:
        one = puzzle.held_with(rest & -rest, left)
        rest &= ~one
        free = (k for k in range(len(puzzle.ways)) if not puzzle.barring(one, k, left & ~one))
        found += [Split(one, k) for k in free]
    return found


def _singles(puzzle: Puzzle, left: Mask) -> list[Split]:
    """Single parts that come off. Of parts that are alike and come off alike only the last is tried."""
    found: dict[Hashable, Split] = {}
    for k in range(len(puzzle.ways)):
        bars = puzzle.bars(k)
        for i in bits(left):
            if not bars[i] & left:
                alike = (puzzle.likeness[i], k, (puzzle.touching[i] & left).bit_count())
                found[alike] = Split(1 << i, k)
    kept = list(found.values())
    if left.bit_count() > SMALL:
        # Of very many those that hold least, and of these the last: an order is still found, if not the best.
        kept.sort(key=lambda s: ((puzzle.touching[s.off.bit_length() - 1] & left).bit_count(), -s.off))
    return kept[:MANY]


def _groups(puzzle: Puzzle, left: Mask) -> list[Split]:
    """Sub-assemblies that come off: what a part carries along, where that is more than itself."""
    found: dict[tuple[Mask, int], Split] = {}
    for k in range(len(puzzle.ways)):
        for i in bits(left):
            off = puzzle.carried(i, k, left)
            if off.bit_count() > 1 and (left & ~off).bit_count() > 1:
                found[off, k] = Split(off, k)
    return list(found.values())
