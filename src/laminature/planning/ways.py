"""The ways along which parts are tried: few, because joints leave few."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from laminature.geometry.pose import Vector
from laminature.model.joint import Joint
from laminature.model.part import Part

#: Ways nearer to each other than this are one: 0.06°, by which a tab of 5 mm strays 0.005 mm.
SAME = 1e-3
#: No more ways than this are tried, to and fro.
MOST = 40


def ways_of(joints: Sequence[Joint], parts: Sequence[Part]) -> tuple[Vector, ...]:
    """The joints' ways in, straight on where only glue holds, up, and square to parts that nothing holds.

    Each is followed by its opposite; equal ways come once.
    """
    wanted: list[Vector] = [(0.0, 0.0, 1.0)]
    for joint in joints:
        wanted += joint.entries or (joint.contact.entering_way,)
    held = {name for joint in joints for name in (joint.receiver, joint.entering)}
    wanted += [p.pose.z for p in parts if p.name not in held]
    return _distinct(wanted)


def more_ways(joints: Sequence[Joint], parts: Sequence[Part]) -> tuple[Vector, ...]:
    """All that could be of use where those do not do: along every joint's line and every part's own axes."""
    wanted = list(ways_of(joints, parts)[::2])
    wanted += [joint.contact.along for joint in joints]
    wanted += [axis for p in parts for axis in (p.pose.z, p.pose.x, p.pose.y)]
    return _distinct(wanted)[: 2 * MOST]


def _distinct(wanted: Iterable[Vector]) -> tuple[Vector, ...]:
    found: list[np.ndarray[tuple[int, ...], np.dtype[np.float64]]] = []
    for way in wanted:
        d = np.asarray(way, dtype=float)
        d = d / float(np.linalg.norm(d))
        if all(min(np.abs(d - f).max(), np.abs(d + f).max()) > SAME for f in found):
            found.append(d)
    out: list[Vector] = []
    for f in found:
        for sign in (1.0, -1.0):
            x, y, z = (float(v) + 0.0 for v in sign * f)
            out.append((x, y, z))
    return tuple(out)


def dot(a: Vector, b: Vector) -> float:
    """The inner product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def opposite(v: Vector) -> Vector:
    """The same way back."""
    return (0.0 - v[0], 0.0 - v[1], 0.0 - v[2])
