"""Loose groups: lids, drawers, seats that drop in. They come last, and have to come out again."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.pose import Vector
from laminature.model.finding import Finding
from laminature.planning.puzzle import Mask, Puzzle
from laminature.planning.telling import caught
from laminature.planning.ways import opposite


def out_of_the_whole(
    puzzle: Puzzle, groups: Sequence[Mask], there: Mask
) -> tuple[tuple[tuple[Mask, Vector], ...], tuple[Finding, ...]]:
    """The order in which loose groups go to what is ``there``, each with its way in.

    It is found by taking them out of the whole, one after the other; ``loose-part-caught`` is found for one
    that cannot be taken out whatever else loose is taken out before.
    """
    left = list(groups)
    taken: list[tuple[Mask, Vector]] = []
    # Upwards first, then sideways: that is how lids and drawers move.
    order = sorted(range(len(puzzle.ways)), key=lambda k: (-round(puzzle.ways[k][2], 3), k))
    while left:
        rest = there
        for group in left:
            rest |= group
        free = ((g, k) for g in reversed(left) for k in order if not puzzle.barring(g, k, rest & ~g))
        found = next(free, None)
        if found is None:
            break
        group, k = found
        taken.append((group, opposite(puzzle.ways[k])))
        left.remove(group)
    stuck = []
    for group in left:
        barring = (puzzle.barring(group, k, there) for k in order)
        least = min((m for m in barring if m), key=lambda m: m.bit_count(), default=0)
        stuck.append(caught(puzzle.names(group), puzzle.names(least)))
    return tuple(reversed(taken)), tuple(stuck)
