"""The cushions as they are seen: cloth, beads and piping, each a mesh with smooth shading."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.pose import Pose, facing
from laminature.model.cushion import Shell, Upholstery
from laminature.pipeline.build import Build
from laminature.upholstery.mesh import mesh_of

Array = NDArray[np.float64]
_TITLES = {"cloth": "cloth", "beads": "buttons", "piping": "piping"}


@dataclass(frozen=True, eq=False)
class Skin:
    """One skin of a cushion. ``within`` is its pose in the part ``on``, ``pose`` in the piece; ``box`` holds
    the corners of a box about it in its own frame, mm.
    """

    name: str
    title: str
    role: str
    on: str
    digest: str
    thickness: float
    within: Pose
    box: Array
    blobs: dict[str, Any]
    pose: Pose = field(default_factory=Pose)
    group: str = ""


def skins(build: Build, *, soft: bool) -> tuple[list[Skin], bool]:
    """The skins of all cushions, and whether they are of this build.

    Where they are not to be made (``soft`` unset), those that were made last lie on the parts as now.
    """
    # What was shown last is no result of this build, so it is kept in a place of its own.
    last: dict[str, list[Skin]] = build.memory.recall(("skins shown last",), dict)
    names = {cushion.name for cushion in build.piece.cushions}
    if soft:
        last.clear()
        for made in build.cushions:
            at_home = build.piece.part(made.on).pose
            last[made.name] = build.memory.recall(
                ("skins", made.surface, made.pose, at_home), partial(_made, made, at_home)
            )
    parts = {part.name: part for part in build.piece.parts}
    placed = [
        replace(skin, pose=skin.within.then(parts[skin.on].pose), group=parts[skin.on].group)
        for name, mine in last.items()
        if name in names
        for skin in mine
        if skin.on in parts
    ]
    return placed, soft or not names


def _made(made: Upholstery, home: Pose) -> list[Skin]:
    mesh = mesh_of(made)
    found = []
    for role, shell in (("cloth", mesh.cloth), ("beads", mesh.beads), ("piping", mesh.piping)):
        if len(shell.faces):
            found.append(_skin(made, role, shell, home))
    return found


def _skin(made: Upholstery, role: str, shell: Shell, home: Pose) -> Skin:
    at, way = shell.vertices.astype(np.float32), shell.normals.astype(np.float32)
    faces = shell.faces.astype(np.uint32)
    whole = hashlib.sha256(at.tobytes())
    whole.update(faces.tobytes())
    digest = whole.hexdigest()[:24]
    low, high = shell.vertices.min(axis=0), shell.vertices.max(axis=0)
    box = np.stack(np.meshgrid(*zip(low, high, strict=True)), axis=-1).reshape(-1, 3)
    # The cushion's frame as its part sees it: origin and axes taken there.
    frame = home.to_part(made.pose.to_piece(np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0]])))
    within = facing(frame[0], frame[1] - frame[0], frame[2] - frame[0])
    title = made.name[:1].upper() + made.name[1:]
    return Skin(
        name=f"{made.name}/{role}",
        title=title if role == "cloth" else f"{title}: {_TITLES[role]}",
        role=role,
        on=made.on,
        digest=digest,
        thickness=float(high[2] - low[2]),
        within=within,
        box=box,
        blobs={
            f"{digest}/at": at.ravel(),
            f"{digest}/way": way.ravel(),
            f"{digest}/faces": faces.ravel(),
            f"{digest}/edges": np.zeros(0, dtype=np.float32),
            f"{digest}/of": np.zeros(len(faces), dtype=np.uint32),
            f"{digest}/lines": np.zeros(0, dtype=np.uint32),
        },
    )
