"""What stands in a line drawing: the parts as they come out of their layers, and cushions as simple boxes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import grown, pieces
from laminature.geometry.outer import Outer, outer
from laminature.geometry.path import circle
from laminature.geometry.pose import Pose
from laminature.geometry.solid import Slab
from laminature.model.cushion import Upholstery
from laminature.model.drawing import Tone
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.part import Part

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Body:
    """A skin and where it stands. ``name`` is the part's or cushion's.

    ``marks`` (n, 2, 3) are lines on it, mm in the piece; ``faint`` where they are seen through it.
    """

    name: str
    letter: str
    skin: Outer
    pose: Pose
    tone: Tone = "card"
    marks: Array | None = None
    faint: bool = False

    @property
    def points(self) -> Array:
        """Its corners in the piece, (n, 3), mm."""
        return self.pose.to_piece(self.skin.points)


def bodies(
    parts: Sequence[Part],
    layers: Sequence[Layer],
    cushions: Sequence[Upholstery] = (),
    memory: Memory | None = None,
) -> tuple[Body, ...]:
    """All parts that have layers, in their order, then the cushions.

    With a ``memory`` a skin that was made before is not made again: alike parts share theirs anyway.
    """
    kept = memory or Memory()
    mine: dict[str, list[Layer]] = {}
    for layer in layers:
        if layer.role == "layer":
            mine.setdefault(layer.part, []).append(layer)
    found = []
    for part in parts:
        if part.name in mine:
            slabs = tuple(Slab(x.regions, x.lower, x.upper) for x in mine[part.name])
            skin = kept.recall(("skin", slabs), partial(outer, slabs))
            found.append(Body(part.name, part.letter, skin, part.pose))
    return (*found, *(_cushion(c) for c in cushions))


def _cushion(made: Upholstery) -> Body:
    """A cushion as a box with its outline, as high as it is over the middle, its buttons as circles."""
    room = made.envelope
    foot, top = -room.panel_thickness, room.height - room.panel_thickness
    flats = pieces(grown(made.outline.flat, room.side, 0.01, "round"))
    skin = outer((Slab(flats, foot, top),))
    radius = max(0.6, made.stitching.bead / 2.0) if made.buttoning.points else 0.0
    marks = []
    for point in made.buttoning.points:
        ring = circle(radius, point).flatten(0.01)
        both = np.stack([ring, np.roll(ring, -1, axis=0)], axis=1)
        marks.append(np.concatenate([both, np.full((len(both), 2, 1), top)], axis=2))
    lines = made.pose.to_piece(np.concatenate(marks)) if marks else None
    return Body(made.name, "", skin, made.pose, "cloth", lines)


def moved(every: Sequence[Body], shifts: Mapping[str, Array]) -> tuple[Body, ...]:
    """The same with those named in ``shifts`` moved so far in the piece, mm."""
    found = []
    for body in every:
        if body.name not in shifts:
            found.append(body)
            continue
        dx, dy, dz = (float(v) for v in shifts[body.name])
        marks = None if body.marks is None else body.marks + shifts[body.name]
        found.append(replace(body, pose=body.pose.moved(dx, dy, dz), marks=marks))
    return tuple(found)
