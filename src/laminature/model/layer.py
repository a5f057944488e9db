"""A layer: one thickness of board of a part, ready to be cut."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.flat import Flats
from laminature.geometry.path import Path, Point
from laminature.geometry.provenance import Parallel
from laminature.model.part import Face, GrainRule

#: A layer of the piece, of a key that helps to glue it, an extra copy that is counted in no stack, the
#: board about small pieces that are lifted out together, or a panel or washer of a cushion.
Role = Literal["layer", "key", "spare", "frame", "cushion"]


@dataclass(frozen=True)
class Layer:
    """Layer ``index`` of ``part``, counted from 1 at the part's −z face.

    ``regions`` are its polygons in the part's own plane after sanding (more than one
    only where a finding says that the part falls apart); ``cut`` the same with the
    sanding allowance of show edges: what the cutter gets. ``lower`` and ``upper`` are
    the heights of its faces in the stack, mm. ``marks`` are drawn on ``label_face``;
    ``mirrored`` layers are cut seen from below, so that this face lies upwards.
    ``sources`` are the exact curves that borders of ``cut`` may come from. ``pins`` are the middles of
    its openings for pins, in the part's own plane, mm.
    ``role`` tells what it is cut for; ``last`` that it is glued on only after assembly.
    ``bridges`` are places on borders of ``cut`` that are left uncut, each with the number of its polygon.
    A ``carried`` layer is cut with a frame about it, in which its ``pins`` are; ``regions`` is it alone.
    """

    part: str
    letter: str
    index: int
    board: str
    lower: float
    upper: float
    regions: Flats
    cut: Flats
    grain: GrainRule = "alike"
    label_face: Face | None = None
    mirrored: bool = False
    marks: tuple[Path, ...] = ()
    sources: tuple[Parallel, ...] = ()
    pins: tuple[Point, ...] = ()
    role: Role = "layer"
    last: bool = False
    bridges: tuple[tuple[int, Point], ...] = ()
    carried: bool = False

    @property
    def of(self) -> str:
        """The part that it belongs to, or could stand in."""
        return self.part.removesuffix("/spare") if self.role == "spare" else self.part

    @property
    def label(self) -> str:
        """The display label: ``B3`` is part B, third layer."""
        return f"{self.letter}{self.index}"
