"""What a frame's two outlines do along its line: where they go on, where they end."""

from __future__ import annotations

import numpy as np

from laminature.joinery.frame import Frame, Plane
from laminature.joinery.intervals import Interval, Intervals, cross_sections, holding
from laminature.model.part import Part

#: What lies nearer to a border than this reaches it, mm.
NEAR = 0.3


def sections(part: Part, plane: Plane, levels: list[float]) -> list[Intervals]:
    """Stretches along the line in which ``part`` has board, at each of ``levels`` mm across it."""
    starts, ends = part.outline.edges
    basis = np.array([plane.along, plane.across]).T
    shift = np.asarray(plane.origin)
    return cross_sections((starts - shift) @ basis, (ends - shift) @ basis, levels)


def drawn_end(f: Frame, t: float) -> float:
    """How far in *s* the entering part's outline reaches at ``t``, mm."""
    starts, ends = f.entering.outline.edges
    plane = f.entering_plane
    basis = np.array([plane.across, plane.along]).T
    shift = np.asarray(plane.origin)
    (found,) = cross_sections((starts - shift) @ basis, (ends - shift) @ basis, [t])
    inside = holding(found, -f.half - f.skew - NEAR, NEAR)
    return inside[1] if inside else -f.half


def borders(f: Frame, run: Interval) -> tuple[bool, bool, float, float]:
    """Where the receiver ends beside the footprint of ``run``.

    Returns whether it ends at the start and at the end of the run (along the line), and how
    far in r it goes on below and above the footprint, mm (0 where that side is open).
    """
    middle = (run[0] + run[1]) / 2.0
    (along,) = sections(f.receiver, f.receiver_plane, [f.foot])
    stretch = holding(along, middle, NEAR) or run
    starts, ends = f.receiver.outline.edges
    plane = f.receiver_plane
    basis = np.array([plane.across, plane.along]).T
    shift = np.asarray(plane.origin)
    (found,) = cross_sections((starts - shift) @ basis, (ends - shift) @ basis, [middle])
    across = holding(found, f.foot, f.foot_half)
    below = above = 0.0
    if across:
        below = max(0.0, f.foot - f.foot_half - across[0])
        above = max(0.0, across[1] - f.foot - f.foot_half)
    return stretch[0] > run[0] - NEAR, stretch[1] < run[1] + NEAR, below, above
