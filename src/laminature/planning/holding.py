"""With what a step is glued and how it is held: from the joints that close in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from laminature.geometry.flat import Flat, mapped, overlap_area
from laminature.geometry.pose import Vector
from laminature.model.joint import Joint
from laminature.model.part import Part
from laminature.model.step import Glue, Hold
from laminature.planning.ways import dot

#: A flat contact of this area, mm², and this wide in the mean, mm, wants glue from a tube, and weight
#: (common practice, no source).
LARGE = 100.0
WIDE = 3.0
#: So many joints at once are pulled home with clamps (common practice, no source).
MANY = 3
#: A way this near to straight down lets a weight rest on the part (cosine of 45°).
STEEP = 0.7


def flat_contact(joint: Joint, parts: Mapping[str, Part]) -> float:
    """Area in which two faces lie on each other, mm²; 0 for joints of edges."""
    if joint.contact.kind != "faces":
        return 0.0
    a, b = parts[joint.receiver], parts[joint.entering]
    turn = a.pose.matrix.T @ b.pose.matrix
    shift = (b.pose.shift - a.pose.shift) @ a.pose.matrix
    # Parts that lie edge to edge in one plane share no area.
    moved = mapped(b.outline.flat, turn[:2, :2].tolist(), (float(shift[0]), float(shift[1])))
    return overlap_area(a.outline.flat, moved)


def glue_for(joints: Sequence[Joint], parts: Mapping[str, Part]) -> Glue:
    """A tube for large flat contact, else a fine tip: tabs, housings and edges are narrow."""
    return "tube" if any(_large(j, parts) for j in joints) else "fine"


def hold_for(joints: Sequence[Joint], parts: Mapping[str, Part], way: Vector, down: Vector) -> Hold:
    """A weight on large flat contact, clamps where corners or many joints close, else a hand."""
    if any(_large(j, parts) for j in joints):
        return "weight" if dot(way, down) > STEEP else "clamp"
    # Halved panels hold each other square by themselves.
    firm = [j for j in joints if j.depth and j.kind not in ("halving", "radial")]
    if any(j.kind in ("fingers", "rebate") for j in firm) or len(firm) >= MANY:
        return "clamp"
    return "hand"


def hold_on(shape: Flat) -> Hold:
    """A weight on what is glued flat from above, where it is large; else a hand."""
    return "weight" if shape.area >= LARGE and _wide(shape) >= WIDE else "hand"


def _large(joint: Joint, parts: Mapping[str, Part]) -> bool:
    area = flat_contact(joint, parts)
    if area < LARGE:
        return False
    width = min(_wide(parts[name].outline.flat) for name in (joint.receiver, joint.entering))
    return width >= WIDE


def _wide(shape: Flat) -> float:
    return 2.0 * float(shape.area) / float(shape.length)


def closing_of(joints: Sequence[Joint]) -> tuple[tuple[str, int], ...]:
    """How many of each kind close: every tab and housing is counted, of other joints each is one."""
    counted: dict[str, int] = {}
    for joint in joints:
        kind = "faces" if joint.contact.kind == "faces" else joint.kind if joint.depth else "glue"
        count = len(joint.cells) if kind in ("tabs", "housing") else 1
        counted[kind] = counted.get(kind, 0) + count
    return tuple(counted.items())


def travel_of(joints: Sequence[Joint], parts: Mapping[str, Part], way: Vector) -> float:
    """How far a part is moved while joints close along ``way``, mm: from where nothing touches."""
    return max((_engaged(j, parts, way) for j in joints), default=0.0)


def _engaged(joint: Joint, parts: Mapping[str, Part], way: Vector) -> float:
    if not joint.depth:
        return 0.0
    runs = sum(run.length for run in joint.contact.runs)
    along = abs(dot(joint.contact.along, way))
    if joint.kind in ("halving", "radial") and joint.contact.kind != "passing":
        return runs / 2.0 if along > STEEP else runs
    if along > STEEP:
        return runs
    receiver, entering = parts[joint.receiver], parts[joint.entering]
    across = abs(float(np.dot(way, receiver.pose.z)))
    if joint.contact.kind == "passing":
        x0, y0, x1, y1 = entering.outline.bounds
        return max(x1 - x0, y1 - y0)
    if across > STEEP:
        return max(joint.projection, receiver.thickness * joint.depth / receiver.stack.count)
    return entering.thickness
