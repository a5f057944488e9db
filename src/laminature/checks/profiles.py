"""Edge profiles: steps so high that they read as steps."""

from __future__ import annotations

from itertools import pairwise

from laminature.checks.checked import Checked
from laminature.model.finding import Finding

#: A moulding whose steps stand for more than this full size is offered thinner board, mm
#: (common practice, no source).
COARSE = 5.0
#: How many thinner boards are named.
NAMED = 2


def coarse_profiles(given: Checked) -> tuple[Finding, ...]:
    """``profile-coarse``: an edge profile in layers that are thick for it at this scale."""
    found = []
    for part in given.piece.parts:
        if part.profile is None or not any(part.profile.insets) or given.scale == 1.0:
            continue
        step = max(high - low for low, high in pairwise(part.stack.bounds))
        if step * given.scale <= COARSE:
            continue
        thinner = sorted(
            (b for b in given.boards.values() if b.caliper * given.scale <= COARSE),
            key=lambda b: (-b.caliper, b.name),
        )[:NAMED]
        offers = " or ".join(f'board = "{b.name}" ({b.caliper * given.scale:.1f} mm)' for b in thinner)
        found.append(
            Finding(
                "profile-coarse",
                "note",
                f"The {part.profile.name} of {part.name} is stepped in layers that stand for "
                f"{step * given.scale:.1f} mm each: sanding has to reach in that far.",
                "Sand the steps to a curve"
                + (f", or cut from thinner board, where the steps are finer: {offers}." if offers else "."),
                part.name,
            )
        )
    return tuple(found)
