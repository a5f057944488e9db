"""A piece: parts in space, with the rules for their joints."""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.region import Region
from laminature.model.cushion import CushionEnvelope
from laminature.model.joint import JointRule
from laminature.model.part import Part


@dataclass(frozen=True)
class Cushion:
    """A cushion on the part ``on``, with the room kept for it.

    ``outline`` is that of the cushion's panel before it is covered, in that part's own plane, mm, where the
    furniture decides it; None where it does not. ``rim`` is how high a frame stands round it.
    """

    name: str
    on: str
    envelope: CushionEnvelope
    outline: Region | None = None
    rim: float = 0.0


@dataclass(frozen=True)
class Piece:
    """A whole item of furniture. ``rules`` of later entries win over earlier ones.

    ``size`` is the outer size asked for (x, y, z) after sanding, mm; None leaves a
    direction unasked.
    """

    title: str
    parts: tuple[Part, ...]
    rules: tuple[JointRule, ...] = ()
    cushions: tuple[Cushion, ...] = ()
    size: tuple[float | None, float | None, float | None] = (None, None, None)
    stands: bool = True

    def part(self, name: str) -> Part:
        """The part of that name. Raises KeyError where there is none."""
        for p in self.parts:
            if p.name == name:
                return p
        raise KeyError(name)
