"""A part: one glued stack, its outline and where it stands."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, replace
from functools import cached_property
from typing import Literal

from laminature.geometry.path import Path
from laminature.geometry.pose import Pose
from laminature.geometry.region import Region
from laminature.model.gluing import BY_HAND, Gluing
from laminature.model.stack import Stack

#: A part's faces: ``"lower"`` at z = 0 of its own frame (layer 1), ``"upper"`` at its thickness.
Face = Literal["lower", "upper"]
GrainRule = Literal["alike", "along", "crossed", "free"]


@dataclass(frozen=True)
class EdgeProfile:
    """Layers stepped to a moulding.

    ``insets`` gives how far each layer lies inside the outline, mm, from layer 1 up: one value per layer.
    Every value lies *outside* the curve wanted, so that sanding reaches it. ``curve`` is that curve as points
    (height in the stack, how far it lies in), mm, from the lower face up.
    """

    name: str
    insets: tuple[float, ...]
    curve: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Rim:
    """The ``layers`` uppermost layers are a ring: what lies within ``opening`` is left out."""

    layers: int
    opening: Region


@dataclass(frozen=True)
class Part:
    """One glued stack. The outline lies in its own xy plane, the stack grows along its +z.

    ``show`` names the faces that are seen in the finished piece. ``group`` is the loose
    group ("" for the main one): parts of different groups get clearance, never joints.
    ``letter`` is the display label, allotted once by the pipeline; alike parts share it.
    ``marks`` are drawn on the inner face, never cut (an angle gauge, say).
    ``gluing`` says how its layers are held in line while they are glued.
    ``last_face`` is the face whose outer layer is glued on after assembly, over its joints.
    ``square_edges`` keeps edges at oblique contacts as drawn, instead of stepping them by layer.
    """

    name: str
    title: str
    outline: Region
    stack: Stack
    pose: Pose = field(default_factory=Pose)
    show: frozenset[Face] = frozenset({"lower", "upper"})
    grain: GrainRule = "alike"
    profile: EdgeProfile | None = None
    rim: Rim | None = None
    group: str = ""
    letter: str = ""
    marks: tuple[Path, ...] = ()
    square_edges: bool = False
    wanted_thickness: float | None = None
    gluing: Gluing = BY_HAND
    last_face: Face | None = None

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        # Parts are keys wherever results are kept by content: their many points are hashed once.
        return hash(tuple(getattr(self, f.name) for f in fields(self)))

    @property
    def thickness(self) -> float:
        """Real thickness of the stack, mm."""
        return self.stack.thickness

    def placed(self, pose: Pose) -> Part:
        """The same part somewhere else."""
        return replace(self, pose=pose)

    @property
    def last_layer(self) -> int | None:
        """The layer that is glued on after assembly, counted from 1."""
        if self.last_face is None:
            return None
        return 1 if self.last_face == "lower" else self.stack.count

    def shows(self, face: Face) -> bool:
        """Whether this face is seen in the finished piece."""
        return face in self.show
