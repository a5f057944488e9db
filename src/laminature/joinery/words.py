"""What could not be joined as wanted, said to the maker."""

from __future__ import annotations

import numpy as np

from laminature.geometry.pose import Vector
from laminature.joinery.entering import Entering
from laminature.joinery.frame import Frame
from laminature.joinery.intervals import Interval
from laminature.model.finding import Finding
from laminature.model.joint import Contact


def _place(plan_frame: Frame, run: Interval) -> Vector:
    x, y = plan_frame.entering_plane.at((run[0] + run[1]) / 2.0, -plan_frame.half)
    p = plan_frame.entering.pose.to_piece(np.array([x, y, plan_frame.entering.thickness / 2.0]))
    return (float(p[0]), float(p[1]), float(p[2]))


def wants_cleat(c: Contact, f: Frame, whole: int) -> Finding:
    """The receiver has too few layers for a blind tab."""
    run = (c.runs[0].start, c.runs[0].end)
    return Finding(
        "blind-too-shallow",
        "care",
        f"{c.entering} meets {c.receiver}, whose {whole} layer{'s' if whole != 1 else ''} cannot hold "
        "a blind tab below an unbroken show layer: the joint is glued only.",
        'Give it a locating cleat (kind = "cleat"), three or more layers, or allow the tab to come through '
        "(through = true).",
        part=c.receiver,
        point=_place(f, run),
        parts=(c.receiver, c.entering),
    )


def too_short(c: Contact, plan: Entering) -> Finding:
    """The edge is too short for a tab that would hold."""
    longest = max((hi - lo for lo, hi in plan.runs), default=0.0)
    return Finding(
        "run-too-short",
        "care",
        f"{c.entering} meets {c.receiver} along {longest:.1f} mm only: no room for a tab that is three "
        f"times as wide as its {plan.projection:.1f} mm, one thickness from the ends. It is glued only.",
        "Lengthen the edge, make the tab narrower (width), the joint shallower (depth), or ask for glue.",
        part=c.entering,
        point=_place(plan.frame, plan.runs[0]),
        parts=(c.receiver, c.entering),
    )


def no_budget(one: Entering, other: Entering, layers: int) -> Finding:
    """Two entries from opposite faces leave each other too few layers."""
    return Finding(
        "opposite-entries",
        "care",
        f"{one.frame.entering.name} and {other.frame.entering.name} enter {one.frame.receiver.name} "
        f"at the same place from opposite faces; its {layers} layers leave each {layers // 2}.",
        "Shift one of them, let their tabs alternate (share), or give the part more layers.",
        part=one.frame.receiver.name,
        point=_place(one.frame, one.runs[0]),
        parts=(one.frame.receiver.name, one.frame.entering.name, other.frame.entering.name),
    )
