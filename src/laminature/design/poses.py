"""Where a part stands, from the words of a design."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from laminature.geometry.pose import Pose, Vector, turned

Stance = Literal["flat", "facing front", "facing side"]
Axis = Literal["x", "y", "z"]

#: A part's own x and y axes in the piece; its stack grows along x × y.
_STANCES: dict[Stance, Pose] = {
    "flat": Pose(),
    "facing front": Pose(x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0)),
    "facing side": Pose(x=(0.0, 1.0, 0.0), y=(0.0, 0.0, 1.0), z=(1.0, 0.0, 0.0)),
}
_AXES: dict[Axis, Vector] = {"x": (1.0, 0.0, 0.0), "y": (0.0, 1.0, 0.0), "z": (0.0, 0.0, 1.0)}


def pose_of(at: Vector, stance: Stance, turn: float, turns: Sequence[tuple[Axis, float]]) -> Pose:
    """The pose of a part whose own origin lies at ``at`` (mm).

    It first takes its ``stance``: *flat*, the stack growing upwards; *facing front*, upright with
    its upper face towards the viewer; *facing side*, upright with its upper face to the right.
    Then it is turned by ``turn`` degrees to the left about the upright line through ``at``, then
    by ``turns`` one after the other about the piece's axes through ``at``.
    """
    pose = _STANCES[stance]
    for axis, degrees in (("z", turn), *turns):
        if degrees % 360.0:
            pose = pose.then(turned(_AXES[axis], degrees))
    return Pose(at, pose.x, pose.y, pose.z)
