"""What is told to the maker where there is no order of assembly."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.finding import Finding
from laminature.planning.puzzle import Mask, Puzzle, bits

#: Names beyond this number are counted, not listed.
LISTED = 6


def locked_together(puzzle: Puzzle, mask: Mask) -> Finding:
    """Parts that cannot be brought together: as few of ``mask`` as lock each other."""
    core = mask
    for i in reversed(list(bits(mask))):
        fewer = core & ~(1 << i)
        if fewer & (fewer - 1) and puzzle.locked(fewer):
            core = fewer
    names = puzzle.names(core)
    return Finding(
        "locked-together",
        "stop",
        f"{listed(names)} lock each other: whichever comes last, its joints would have to close along two "
        "lines at once.",
        "Let one of the joints between them be only glued or cleated, turn the tabs of one so that all point "
        "the same way, or let a groove run out at an edge.",
        names[0],
        parts=tuple(names),
    )


def caught(names: Sequence[str], by: Sequence[str]) -> Finding:
    """A loose part that cannot be taken out again."""
    verb = "is" if len(names) == 1 else "are"
    return Finding(
        "loose-part-caught",
        "stop",
        f"{listed(names)} {verb} loose, but cannot be taken out along any straight line: "
        f"{listed(by) or 'something else loose'} would be in the way.",
        "Leave an opening that it can pass, or make what holds it loose as well, as a lid.",
        names[0],
    )


def face_caught(name: str, by: Sequence[str]) -> Finding:
    """A face that can no longer be put on when all the rest stands."""
    return Finding(
        "face-caught",
        "stop",
        f"The face of {name} is to be glued on last, but {listed(by)} would be in its way.",
        f"Leave out face_last for {name}.",
        name,
    )


def listed(names: Sequence[str]) -> str:
    """Names as one says them: ``a, b and c``."""
    if len(names) > LISTED:
        return f"{', '.join(names[:LISTED])} and {len(names) - LISTED} more"
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"
