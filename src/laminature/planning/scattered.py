"""Parts that no joint holds together: each lot that does hang together is built by itself, then set down.

Nothing tells in which order lots come that do not touch: they come as the piece has them, what lies below
another before it.
"""

from __future__ import annotations

from collections.abc import Sequence

from laminature.planning.price import DOWN
from laminature.planning.puzzle import Mask, Puzzle
from laminature.planning.search import Join, Search, Tree


def scattered(puzzle: Puzzle, search: Search) -> Tree | None:
    """How lots of parts are set beside each other, from above where that is free, else from another side.

    None where all parts hang together, and where lots are in each other's way: those have to be puzzled out
    with their parts. Raises LockedError where the parts of one lot cannot be brought together.
    """
    lots = _lots(puzzle)
    taken: list[tuple[Mask, int]] = []
    # What can be taken off never is in the way of the others: the last lot first, lifted where that is free.
    while len(lots) > 1:
        found = _off(puzzle, lots)
        if found is None:
            return None
        taken.append(found)
        lots.remove(found[0])
    if not taken:
        return None
    tree = search.tree(lots[0])
    for lot, way in reversed(taken):
        moving = search.tree(lot)
        tree = Join(tree, moving, puzzle.ways[way], puzzle.ways[DOWN], moving)
    return tree


def _lots(puzzle: Puzzle) -> list[Mask]:
    """Parts that hang together by joints, in the order of their first ones."""
    lots, rest = [], puzzle.whole
    while rest:
        lot = puzzle.held_with(rest & -rest, rest)
        lots.append(lot)
        rest &= ~lot
    return lots


def _off(puzzle: Puzzle, lots: Sequence[Mask]) -> tuple[Mask, int] | None:
    """A lot that meets no other on its way out, and the number of its way in: never one from below."""
    every = 0
    for lot in lots:
        every |= lot
    for k in (DOWN, *(k for k in range(2, len(puzzle.ways)) if puzzle.ways[k][2] < 1e-9)):
        for lot in reversed(lots):
            if not puzzle.barring(lot, k ^ 1, every & ~lot):
                return lot, k
    return None
