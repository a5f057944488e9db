"""Parts that are in each other's way: overlaps, and loose parts without room to move."""

from __future__ import annotations

from laminature.checks.checked import Checked
from laminature.geometry.overlap import overlaps
from laminature.geometry.solid import meeting, sideways_gaps
from laminature.model.finding import Finding

#: A clearance that falls short by less than this is as asked, mm.
SLACK = 1e-3


def overlapping_parts(given: Checked) -> tuple[Finding, ...]:
    """``overlap``: two parts whose stacked layers share more than 0.001 mm³."""
    names, solids = list(given.solids), list(given.solids.values())
    found = []
    for shared in overlaps(solids, meeting(solids)):
        one, two = names[shared.first], names[shared.second]
        if given.part[one].group != given.part[two].group:
            remedy = "They are of different loose groups and get no joint: make one smaller or move it."
        else:
            remedy = "Move one of them, or allow a joint between them, so that one makes room for the other."
        found.append(
            Finding(
                "overlap",
                "stop",
                f"{one} and {two} are in the same place: they share {shared.volume:.3g} mm³.",
                remedy,
                one,
                None,
                shared.point,
            )
        )
    return tuple(found)


def running_clearances(given: Checked) -> tuple[Finding, ...]:
    """``clearance-small``: parts of different loose groups nearer sideways than the running clearance.

    A lid may rest on a rim: what counts is the gap at the same height. Pairs that overlap
    are told by :func:`overlapping_parts` alone.
    """
    names = list(given.solids)
    groups = [given.part[n].group for n in names]
    if len(set(groups)) < 2:
        return ()
    solids = list(given.solids.values())
    pairs = [(i, j) for i, j in meeting(solids, given.running_clearance) if groups[i] != groups[j]]
    jammed = {(o.first, o.second) for o in overlaps(solids, pairs)}
    apart = [pair for pair in pairs if pair not in jammed]
    found = []
    for (i, j), gap in zip(apart, sideways_gaps(solids, apart), strict=True):
        if gap >= given.running_clearance - SLACK:
            continue
        loose, fixed = (i, j) if groups[i] else (j, i)
        found.append(
            Finding(
                "clearance-small",
                "care",
                f"{names[loose]} has {gap:.2f} mm beside {names[fixed]}; "
                f"a part that comes out needs {given.running_clearance:.2f} mm on each side.",
                f"Make {names[loose]} {given.running_clearance - gap:.2f} mm smaller there, "
                "or sand it until it runs.",
                names[loose],
            )
        )
    return tuple(found)
