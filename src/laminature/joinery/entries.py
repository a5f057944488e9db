"""The ways in which what enters can be put into its receiver."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from laminature.geometry.pose import Vector
from laminature.joinery.entering import Entering
from laminature.joinery.footing import NEAR, borders
from laminature.joinery.frame import in_piece
from laminature.model.joint import Contact, JointRule


def barred(c: Contact, plan: Entering, own: Sequence[tuple[Contact, Entering]]) -> tuple[float, float]:
    """How far the receiver's ``own`` tongues or tabs stand out before the groove: at its start, its end, mm.

    0 where none does.
    """
    if plan.kind not in ("housing", "rebate"):
        return 0.0, 0.0
    half = plan.frame.foot_half + plan.fit.side
    u = np.asarray(c.along)
    bars = []
    for t, sign in ((plan.runs[0][0], -1.0), (plan.runs[-1][1], 1.0)):
        end = np.asarray(c.origin) + t * u
        long = 0.0
        for other, tongue in own:
            if float(np.asarray(other.entering_way) @ u) * sign < 0.5:
                continue
            at = float((end - np.asarray(other.origin)) @ np.asarray(other.along))
            if any(lo < at + half and at - half < hi for lo, hi in tongue.cells):
                long = max(long, tongue.projection)
        bars.append(long)
    return bars[0], bars[1]


def ways_in(
    c: Contact, rule: JointRule, plan: Entering, stands_before: tuple[float, float]
) -> tuple[Vector, ...]:
    """Ways in: straight on always; along the line where a groove runs out; sideways at an open corner."""
    ways: list[Vector] = [c.entering_way]
    f = plan.frame
    run = plan.runs[0]
    open_start, open_end, below, above = borders(f, run)
    u = c.along
    stopped = rule.stopped or "none"
    if plan.kind in ("housing", "rebate"):
        if open_start and not stands_before[0] and stopped in ("none", "back"):
            ways.append(u)
        if open_end and not stands_before[1] and stopped in ("none", "front"):
            ways.append((-u[0], -u[1], -u[2]))
    if plan.kind in ("fingers", "rebate") and (below < NEAR) != (above < NEAR):
        x, y, z = in_piece(f.receiver, f.receiver_plane.across)
        ways.append((x, y, z) if below < NEAR else (-x, -y, -z))
    return tuple(ways)
