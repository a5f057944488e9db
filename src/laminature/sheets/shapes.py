"""Shapes as the solvers see them: an outline with openings, and the turns it may take."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from laminature.geometry.flat import Flat, mapped
from laminature.geometry.nearness import SLACK
from laminature.geometry.pose import cos_sin
from laminature.model.board import Grain
from laminature.sheets.grain import Ways

#: Turns that differ by less than this are the same, degrees.
SAME_TURN = 1e-9


@dataclass(frozen=True)
class Shape:
    """A shape to be placed once.

    ``ways`` holds, for each direction of a sheet's grain, groups of turns in degrees. Shapes of the
    same ``bond`` all take the same group wherever there is grain: the first of them that is placed
    decides. ``mirrored`` shapes are mirrored in x before they are turned. ``name`` is for messages.
    """

    name: str
    flat: Flat
    ways: Mapping[Grain, Ways]
    mirrored: bool = False
    bond: str = ""

    @cached_property
    def outer_area(self) -> float:
        """Area within the outline, openings counted in, mm²."""
        return float(type(self.flat)(self.flat.exterior).area)

    @cached_property
    def form(self) -> bytes:
        """What two shapes have in common that can be swapped for one another."""
        rings = (self.flat.exterior, *self.flat.interiors)
        corners = [np.round(np.asarray(r.coords), 6).tobytes() for r in rings]
        return b"|".join([b"mirrored" if self.mirrored else b"", *corners])

    def lying(self, at: Place) -> Flat:
        """The outline where the place puts it."""
        return turned(self.flat, at.turn, self.mirrored, at.x, at.y)


@dataclass(frozen=True)
class Place:
    """Shape number ``shape`` lies on sheet number ``sheet``, turned by ``turn`` degrees and shifted."""

    shape: int
    sheet: int
    x: float
    y: float
    turn: float


def turned(shape: Flat, turn: float, mirrored: bool = False, x: float = 0.0, y: float = 0.0) -> Flat:
    """The shape mirrored in x if asked, turned by ``turn`` degrees to the left and shifted, mm."""
    cosine, sine = cos_sin(turn)
    flip = -1.0 if mirrored else 1.0
    return mapped(shape, ((cosine * flip, -sine), (sine * flip, cosine)), (x, y))


def shifted(shape: Flat, x: float, y: float) -> Flat:
    """The shape moved by (x, y), mm."""
    return mapped(shape, ((1.0, 0.0), (0.0, 1.0)), (x, y))


def fits(width: float, height: float, room_width: float, room_height: float) -> bool:
    """Whether something so large goes into the room, mm."""
    return width <= room_width + SLACK and height <= room_height + SLACK


def same_turn(one: float, two: float) -> bool:
    """Whether two turns are the same, degrees, whole turns aside."""
    return abs((one - two + 180.0) % 360.0 - 180.0) < SAME_TURN
