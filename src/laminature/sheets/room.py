"""Where shapes may lie on a sheet: a rectangle, or what an offcut's outline leaves of one."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property

from laminature.errors import GeometryError
from laminature.geometry.flat import Flat, Flats, minus, pieces, rectangle
from laminature.geometry.nearness import clear_of, ready
from laminature.model.board import Board, Grain
from laminature.model.offcut import Offcut
from laminature.sheets.shapes import shifted


@dataclass(frozen=True)
class Room:
    """The usable bounds of a sheet, ``width`` × ``height`` mm, with their own origin at the lower left.

    ``border`` is the outline of a sheet that is no upright rectangle, in the same frame: it then
    reaches beyond the bounds by ``margin`` mm. ``grain`` runs along x, along y, or not at all.
    """

    width: float
    height: float
    grain: Grain = "none"
    margin: float = 0.0
    border: Flat | None = field(default=None, compare=False)
    offcut: Offcut | None = field(default=None, compare=False)

    @cached_property
    def beyond(self) -> Flats:
        """What of the bounds, margin and all, is no board: shapes keep ``margin`` mm from it."""
        if self.border is None:
            return ()
        x0, y0, x1, y1 = self.border.bounds
        return tuple(ready(piece) for piece in pieces(minus(rectangle(x0, y0, x1, y1), self.border)))

    def holds(self, shape: Flat) -> bool:
        """Whether a shape inside the bounds is as far from what is no board as it must be."""
        return clear_of(shape, self.beyond, self.margin)


def full_room(board: Board, margin: float) -> Room:
    """The room of a full sheet of ``board``."""
    return Room(board.sheet_width - 2.0 * margin, board.sheet_height - 2.0 * margin, board.grain, margin)


def offcut_room(offcut: Offcut, margin: float) -> Room:
    """The room of an offcut. Its origin is the offcut's lower left bounds moved inwards by the margin.

    Raises GeometryError, naming the offcut, for an outline that is none or lies elsewhere.
    """
    outline = offcut.outline
    if not (outline.is_valid and math.isfinite(outline.area) and outline.area > 0.0):
        raise GeometryError(
            f"The offcut {offcut.name} cannot be used: its outline crosses itself or encloses nothing. "
            "Measure it again, or remove it from the list of offcuts."
        )
    x0, y0, width, height = outline.bounds
    if max(abs(x0), abs(y0)) > 1e-9:
        raise GeometryError(
            f"The outline of the offcut {offcut.name} does not begin at its lower left corner."
        )
    plain = outline.area >= width * height - 1e-6
    border = None if plain else shifted(outline, -margin, -margin)
    return Room(width - 2.0 * margin, height - 2.0 * margin, offcut.grain, margin, border, offcut)
