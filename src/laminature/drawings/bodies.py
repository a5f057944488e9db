"""What stands in a line drawing: the parts as they come out of their layers, and cushions as plain domes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.dome import Dome, fits
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

#: A dome drawn in towards its middle is so much fuller than the same profile counted from the nearest edge.
FULLER = 1.6
#: Least radius of a button as drawn, and how far lines on a cushion are lifted off its flat faces, mm.
LEAST, OVER = 0.6, 0.03


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
    """A cushion as a smooth dome of its outline and height, with its buttons, folds and seams as lines."""
    room = made.envelope
    flat = pieces(grown(made.outline.flat, room.side, 0.01, "round"))[0]
    # Its own plane is the panel's upper face; cloth that is turned under lies below the panel.
    top = made.batting.crown + room.cloth
    foot = top - room.height
    if not fits(flat):
        return Body(made.name, "", outer((Slab((flat,), foot, top),)), made.pose, "cloth")
    dome = Dome(flat, foot, top, FULLER * made.surface.swell)
    lines = [*_buttons(made), *_folds(made)]
    if not lines:
        return Body(made.name, "", dome.skin(), made.pose, "cloth")
    plane = np.concatenate(lines)
    heights = dome.over(plane.reshape(-1, 2)).reshape(-1, 2, 1) + OVER
    marks = made.pose.to_piece(np.concatenate([plane, heights], axis=2))
    return Body(made.name, "", dome.skin(), made.pose, "cloth", marks)


def _buttons(made: Upholstery) -> list[Array]:
    """Circles round the buttons, in short lines, (n, 2, 2) each."""
    found = []
    radius = max(LEAST, made.stitching.bead / 2.0)
    for point in made.buttoning.points:
        ring = circle(radius, point).flatten(0.01)
        found.append(np.stack([ring, np.roll(ring, -1, axis=0)], axis=1))
    return found


def _folds(made: Upholstery) -> list[Array]:
    """Folds from button to button where they are deep, and the seams of channels, in short lines."""
    points = made.buttoning.points
    ways = list(made.buttoning.seams)
    if made.manner == "deep":
        ways += [(points[a], points[b]) for a, b in made.buttoning.links]
    off = 0.0 if made.buttoning.seams else max(LEAST, made.stitching.bead / 2.0)
    found = []
    for a, b in ways:
        start, end = np.array(a), np.array(b)
        long = float(np.linalg.norm(end - start))
        if long > 2.0 * off + 0.5:
            shares = np.linspace(off / long, 1.0 - off / long, max(2, int(long)))[:, None]
            run = start + shares * (end - start)
            found.append(np.stack([run[:-1], run[1:]], axis=1))
    return found


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
