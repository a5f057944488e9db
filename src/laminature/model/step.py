"""Steps of assembly: what moves in, onto what, which way, and how it is held while the glue sets."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.pose import Vector

#: Fine tip for small and narrow contact, tube for large and flat; none for what stays loose.
Glue = Literal["fine", "tube", "none"]
Hold = Literal["hand", "clamp", "weight", "none"]


@dataclass(frozen=True)
class Step:
    """One step. Steps are numbered from 1; labels of parts do not change.

    ``moving`` are the names of the parts that move in together, ``onto`` of those that they meet.
    ``way`` is the unit vector in the piece along which they move in, and ``travel`` how far they come from
    where nothing touches, mm. ``joints`` names the joints that close. ``down`` is what is down meanwhile, a
    unit vector in the piece: (0, 0, -1) as it stands. ``hold`` says how the step is held until the glue
    has set. ``loose`` marks what stays loose (a lid, a cushion) and is only put in; a cushion goes by its
    own name. With ``face`` only the outer layer of the part moves, that is glued on after its joints.
    ``closes`` counts what closes by kind of joint, tabs and housings one by one, ``"faces"`` what lies flat.
    ``spread`` names parts that close up only with this step: by how much each stands off its place, as a
    vector for each mm that is left of the way.
    """

    number: int
    moving: tuple[str, ...]
    onto: tuple[str, ...]
    way: Vector
    travel: float
    joints: tuple[str, ...] = ()
    glue: Glue = "tube"
    down: Vector = (0.0, 0.0, -1.0)
    hold: Hold = "hand"
    loose: bool = False
    face: bool = False
    closes: tuple[tuple[str, int], ...] = ()
    spread: tuple[tuple[str, Vector], ...] = ()


@dataclass(frozen=True)
class Assembly:
    """The steps in their order. ``apart`` holds sub-assemblies that are put together first
    and can cure apart, as sets of the numbers of their steps.
    """

    steps: tuple[Step, ...] = ()
    apart: tuple[tuple[int, ...], ...] = ()
