"""What the checks look at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from laminature.geometry.solid import Slab, Solid, stacked
from laminature.model.board import Board
from laminature.model.joint import Contact, Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece


@dataclass(frozen=True)
class Checked:
    """A whole piece with its contacts, joints and layers, and the numbers it is judged by.

    ``cutter`` is "knife" or "laser". ``edge_sanding`` and ``margin`` (of a sheet) are in mm;
    ``thickness_limit`` is how far a stack may be off the thickness wanted, mm;
    ``running_clearance`` what a loose part needs on each side, mm. ``scale`` is the n of
    1:n, used only to say sizes as full-size too. ``kerf`` is what a laser burns away, mm.
    ``patterns`` are the patterns of part names that the design's rules use; ``grain_patterns`` those
    under ``[grain]`` alone. ``lone_board`` is the design's board, where no second one is mixed in.
    """

    piece: Piece
    contacts: tuple[Contact, ...]
    joints: tuple[Joint, ...]
    layers: tuple[Layer, ...]
    boards: Mapping[str, Board]
    cutter: str = "knife"
    edge_sanding: float = 0.15
    thickness_limit: float = 0.3
    margin: float = 5.0
    running_clearance: float = 0.25
    scale: float = 1.0
    kerf: float = 0.0
    patterns: tuple[str, ...] = ()
    grain_patterns: tuple[str, ...] = ()
    lone_board: str | None = None

    @cached_property
    def part(self) -> Mapping[str, Part]:
        """The parts by name."""
        return {p.name: p for p in self.piece.parts}

    @cached_property
    def layers_of(self) -> Mapping[str, tuple[Layer, ...]]:
        """The layers of each part, from its first up."""
        found: dict[str, list[Layer]] = {p.name: [] for p in self.piece.parts}
        for layer in self.layers:
            found[layer.part].append(layer)
        return {name: tuple(sorted(mine, key=lambda x: x.index)) for name, mine in found.items()}

    @cached_property
    def solids(self) -> Mapping[str, Solid]:
        """The stacked layers of each part as they stand in the piece; parts with nothing left are missing."""
        found = {}
        for part in self.piece.parts:
            slabs = [Slab(x.regions, x.lower, x.upper) for x in self.layers_of[part.name]]
            solid = stacked(slabs, part.pose)
            if solid.slabs:
                found[part.name] = solid
        return found

    def full_size(self, mm: float) -> str:
        """A length at miniature scale, said with what it stands for: ``0.42 mm (5.0 mm full size)``."""
        if self.scale == 1.0:
            return f"{mm:.2f} mm"
        return f"{mm:.2f} mm ({mm * self.scale:.1f} mm full size)"
