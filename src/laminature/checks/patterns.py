"""Patterns of part names in a design that no part matches: most likely a slip of the pen."""

from __future__ import annotations

from difflib import get_close_matches
from fnmatch import fnmatchcase

from laminature.checks.checked import Checked
from laminature.model.finding import Finding, Mend


def unmatched_patterns(given: Checked) -> tuple[Finding, ...]:
    """``pattern-unmatched``: a rule of the design that speaks of no part at all, once for each pattern."""
    names = [part.name for part in given.piece.parts]
    found = []
    for pattern in dict.fromkeys(given.patterns):
        if any(fnmatchcase(name, pattern) for name in names):
            continue
        near = get_close_matches(pattern, names, n=1)
        mend = None
        if pattern in given.grain_patterns:
            mend = Mend(f"Take out the grain of {pattern}", ((("grain", pattern), None),))
        hint = f"Did you mean {near[0]!r}? " if near else ""
        found.append(
            Finding(
                "pattern-unmatched",
                "care",
                f"The design has a rule for {pattern!r}, but no part is called like that.",
                f"{hint}The parts are {', '.join(names[:12])}{' and more' if len(names) > 12 else ''}.",
                mend=mend,
            )
        )
    return tuple(found)
