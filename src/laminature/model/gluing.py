"""How the layers of a part are glued up: what holds them in line meanwhile, and what comes last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from laminature.geometry.path import Point
from laminature.model.fit import PINNED, Fit

#: What holds the layers in line: hands and a flat edge, pins, keys in the slots, or a carrier around them.
Align = Literal["hand", "pins", "keys", "carrier"]
#: Diameter of the openings for pins, mm: for a dowel, brass rod or toothpick of about 2 mm (common practice,
#: no source).
PIN = 2.2


@dataclass(frozen=True)
class StackRule:
    """What the design says about the stacks of the parts whose names are like ``parts``.

    None leaves what earlier rules or the defaults say. ``pin`` is a diameter in mm; ``places`` are wanted
    places of pins in the part's own plane, mm; ``through_show`` lets pins come out at faces that show;
    ``fit`` is that of the joints of layers so held. ``face_last`` names the board of a face that is glued on
    after assembly, "" for the part's own.
    """

    parts: str
    align: Align | None = None
    pin: float | None = None
    places: tuple[Point, ...] | None = None
    through_show: bool | None = None
    fit: Fit | None = None
    face_last: str | None = None


@dataclass(frozen=True)
class Gluing:
    """The same, settled for one part."""

    align: Align = "hand"
    pin: float = PIN
    places: tuple[Point, ...] = ()
    through_show: bool = False
    fit: Fit = PINNED
    face_last: str | None = None

    @property
    def held(self) -> bool:
        """Whether something better than hands holds the layers in line."""
        return self.align != "hand"


#: Layers that are laid on each other by hand and eye.
BY_HAND = Gluing()
