"""Contacts of parts that lie parallel: face on face, or edge to edge in one plane."""

from __future__ import annotations

import numpy as np

from laminature.geometry.flat import Flat, mapped, meeting
from laminature.model.joint import Contact, Run
from laminature.model.part import Part


def face_contact(a: Part, b: Part, touch: float, capture: float, shortest: float) -> Contact | None:
    """The contact of two parallel parts, or None. ``b`` is looked at in ``a``'s frame; mm throughout."""
    relative = a.pose.matrix.T @ b.pose.matrix
    shift = (b.pose.shift - a.pose.shift) @ a.pose.matrix
    heights = sorted((float(shift[2]), float(shift[2] + relative[2, 2] * b.thickness)))
    above, below = heights[0] - a.thickness, -heights[1]
    apart = max(above, below)
    if apart > capture:
        return None
    other = mapped(b.outline.flat, relative[:2, :2].tolist(), (float(shift[0]), float(shift[1])))
    gap = 0.0
    if apart >= -touch:
        area, span = meeting(a.outline.flat, other)
        if area < shortest * shortest:
            return None
        gap = max(0.0, apart)
    else:
        span = _edge_to_edge(a.outline.flat, other, touch)
        if span < shortest:
            return None
    z = np.asarray(a.pose.z)
    way = z if below >= above else -z
    x = a.pose.x
    return Contact(
        kind="faces" if gap <= touch else "near-miss",
        receiver=a.name,
        entering=b.name,
        origin=a.pose.origin,
        along=x,
        entering_way=(float(way[0]), float(way[1]), float(way[2])),
        angle=0.0,
        runs=(Run(0.0, span),),
        gap=gap,
    )


def _edge_to_edge(a: Flat, b: Flat, touch: float) -> float:
    """Length along which two outlines in one plane touch without lying in each other, mm."""
    if a.distance(b) > touch:
        return 0.0
    area, span = meeting(a.buffer(touch, join_style="mitre"), b.buffer(touch, join_style="mitre"))
    return span if area <= 3.0 * touch * span else 0.0
