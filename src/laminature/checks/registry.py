"""All the families of checks, in the order in which their findings are told."""

from __future__ import annotations

from collections.abc import Callable

from laminature.checks.attachment import floating_parts
from laminature.checks.checked import Checked
from laminature.checks.joints import (
    blind_depths,
    common_entries,
    fingers_that_show,
    tab_widths,
    tabs_across_grain,
    tabs_near_edges,
)
from laminature.checks.kerf import kerf_room
from laminature.checks.overlap import overlapping_parts, running_clearances
from laminature.checks.patterns import unmatched_patterns
from laminature.checks.profiles import coarse_profiles
from laminature.checks.sizes import outer_sizes, sheet_sizes, thicknesses
from laminature.checks.stability import standing
from laminature.checks.webs import small_openings, thin_places
from laminature.checks.whole import fallen_apart
from laminature.model.finding import Finding

__all__ = ["CHECKS", "Checked", "inspect"]

CHECKS: tuple[Callable[[Checked], tuple[Finding, ...]], ...] = (
    fallen_apart,
    floating_parts,
    overlapping_parts,
    running_clearances,
    common_entries,
    blind_depths,
    tab_widths,
    tabs_near_edges,
    tabs_across_grain,
    fingers_that_show,
    thin_places,
    small_openings,
    kerf_room,
    unmatched_patterns,
    thicknesses,
    coarse_profiles,
    outer_sizes,
    sheet_sizes,
    standing,
)

_ORDER = {"stop": 0, "care": 1, "note": 2}


def inspect(given: Checked) -> tuple[Finding, ...]:
    """Every finding about the piece, the gravest first; the same piece gives the same findings."""
    found = [finding for check in CHECKS for finding in check(given)]
    return tuple(sorted(found, key=lambda f: _ORDER[f.grade]))
