"""Where on a layer its label can be read: inside the board, clear of openings and marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.drawings.placed import Placed, turning
from laminature.geometry.flat import Flat, mapped
from laminature.geometry.lettering import CAP, text_paths, text_width
from laminature.geometry.path import Path, Point
from laminature.geometry.room import room_for, without_lines

#: Heights of capitals that are tried, mm. Below the last a pen's line fills the letters.
SIZES = (3.0, 2.6, 2.2, 1.9, 1.6, 1.4, 1.2)


@dataclass(frozen=True)
class Spot:
    """A label's place: the middle of its text, the height of its capitals in mm, and its turn in degrees."""

    at: Point
    size: float
    turn: float = 0.0

    def strokes(self, text: str) -> tuple[Path, ...]:
        """The text's strokes there."""
        x, y = self.at
        start = (x + self.size / 2.0, y) if self.turn else (x, y - self.size / 2.0)
        return text_paths(text, self.size, start, "middle", self.turn)

    def moved(self, dx: float, dy: float) -> Spot:
        """The same spot shifted, mm."""
        return Spot((self.at[0] + dx, self.at[1] + dy), self.size, self.turn)

    def box(self, text: str) -> tuple[float, float, float, float]:
        """Bounds of the text there with a little air, mm: (x0, y0, x1, y1)."""
        w, h = text_width(text, self.size) / 2.0 + 0.5, self.size / 2.0 + 0.5
        if self.turn:
            w, h = h, w
        return (self.at[0] - w, self.at[1] - h, self.at[0] + w, self.at[1] + h)


def spot_for(
    flat: Flat, text: str, marks: Sequence[Path] = (), sizes: Sequence[float] = SIZES
) -> Spot | None:
    """The best place for ``text`` on a shape: as large as fits, upright rather than turned.

    None where not even the smallest of ``sizes`` fits.
    """
    free = without_lines(flat, marks, 0.5)
    for size in sizes:
        # Rounded up to whole units of the letters' grid, so that B1 and B2 come to stand alike.
        width = math.ceil(text_width(text, size) * CAP / size) * size / CAP
        clear = 0.3 + 0.15 * size
        for turn, w, h in ((0.0, width, size), (90.0, size, width)):
            found = room_for(free, w, h, clear)
            if found is not None:
                return Spot(found, size, turn)
    return None


#: Spots already found, by what they depend on.
Spots = dict[tuple[object, ...], Spot | None]


def spot_on_sheet(one: Placed, spots: Spots) -> Spot | None:
    """Where a layer's label goes on its sheet; None where it has no face for one, or no room.

    ``spots`` keeps what was found: layers that are alike and lie alike are looked at once.
    """
    if one.layer.label_face is None:
        return None
    at, layer = one.placement, one.layer
    source = layer.cut[at.piece]
    marks = layer.marks if one.marks else ()
    key = (id(source), marks, at.mirrored, at.turn, layer.label)
    if key not in spots:
        matrix = turning(at)
        spots[key] = spot_for(mapped(source, matrix), layer.label, [m.mapped(matrix) for m in marks])
    found = spots[key]
    return found.moved(at.x, at.y) if found else None
