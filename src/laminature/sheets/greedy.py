"""One pass over the shapes, each put where it raises the pile least.

Nothing here knows layers or parts: shapes with the turns they may take go in, places on
sheets of one size come out. The order is an argument, so that a search over orders
can run the same pass again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat, mapped
from laminature.geometry.nearness import SLACK, clear_of, ready
from laminature.geometry.pose import cos_sin
from laminature.sheets.raster import Bed, Grid, Stamp

#: A place is worth its top edge plus this share of its right edge; the least is taken. Measured on a
#: kit of 95 shapes, this beats the corner rules by 0.13 to 0.25 of a sheet.
RIGHTWARDS = 0.15
#: So many of the best proposals are checked exactly before the next sheet is tried.
TRIALS = 300
#: Steps by which a place is slid closer: each halves what is left of a cell.
HALVINGS = 8
#: Placements are written in steps of this, mm.
STEP = 1e-8


@dataclass(frozen=True)
class Shape:
    """A shape to be placed once.

    ``ways`` are groups of turns in degrees. Shapes of the same ``bond`` all take the
    same group: the first of them that is placed decides. ``mirrored`` shapes are
    mirrored in x before they are turned. ``name`` is for messages.
    """

    name: str
    flat: Flat
    ways: tuple[tuple[float, ...], ...]
    mirrored: bool = False
    bond: str = ""

    @cached_property
    def outer_area(self) -> float:
        """Area within the outline, openings counted in, mm²."""
        return float(type(self.flat)(self.flat.exterior).area)


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


@dataclass(frozen=True)
class _Variant:
    """A shape in one turn, its lower left bounds at the origin; ``shift`` brought it there."""

    turn: float
    flat: Flat
    shift: tuple[float, float]
    stamp: Stamp
    cells: int


class _Sheet:
    """A sheet as it fills: cells for proposals, outlines for the exact check."""

    def __init__(self, grid: Grid) -> None:
        self.bed = Bed(grid)
        self.free = grid.shape[0] * grid.shape[1]
        self.bounds: NDArray[np.float64] = np.empty((0, 4))
        self.flats: list[Flat] = []
        self.hopeless: set[tuple[object, ...]] = set()

    def accepts(self, flat: Flat, gap: float) -> bool:
        """Whether ``flat`` keeps the gap from everything here, exactly."""
        x0, y0, x1, y1 = flat.bounds
        b = self.bounds
        near = (b[:, 0] < x1 + gap) & (b[:, 2] > x0 - gap) & (b[:, 1] < y1 + gap) & (b[:, 3] > y0 - gap)
        return clear_of(flat, [self.flats[k] for k in np.nonzero(near)[0]], gap)

    def take(self, flat: Flat, cells: int) -> None:
        """Keep ``flat`` as placed."""
        self.bed.put(flat)
        self.free -= cells
        self.bounds = np.vstack([self.bounds, flat.bounds])
        self.flats.append(ready(flat))


class Filler:
    """Fills sheets whose usable area is ``width`` × ``height`` mm.

    Cells and transforms of the shapes are kept between passes.
    """

    def __init__(
        self, shapes: Sequence[Shape], width: float, height: float, spacing: float, cell: float
    ) -> None:
        self.shapes = shapes
        self.grid = Grid(width, height, cell, spacing)
        self._kept: dict[tuple[object, ...], _Variant] = {}
        self._form = [_form(s) for s in shapes]

    def biggest_first(self) -> list[int]:
        """Shape numbers by the area within the outline, biggest first."""
        return sorted(range(len(self.shapes)), key=lambda k: (-round(self.shapes[k].outer_area, 6), k))

    def run(
        self,
        order: Sequence[int],
        decided: dict[str, int] | None = None,
        progress: Callable[[float], None] | None = None,
    ) -> list[Place]:
        """Place every shape of ``order``, one after the other; each must fit on an empty sheet.

        ``decided`` holds the group of turns of the bonds that are settled already; the
        bonds settled here are added. ``progress`` gets the share done before each shape
        and may raise to cancel.
        """
        sheets: list[_Sheet] = []
        way_of = {} if decided is None else decided
        places: list[Place] = []
        for done, number in enumerate(order):
            if progress is not None:
                progress(done / len(order))
            shape = self.shapes[number]
            settled = way_of.get(shape.bond) if shape.bond else None
            ways = range(len(shape.ways)) if settled is None else (settled,)
            choices = [(w, v) for w in ways for v in self._variants(number, shape.ways[w])]
            same = (self._form[number], tuple(v.turn for _, v in choices))
            for at in range(len(sheets) + 1):
                if at == len(sheets):
                    sheets.append(_Sheet(self.grid))
                found = self._put(sheets[at], choices, same)
                if found is not None:
                    way, turn, x, y = found
                    places.append(Place(number, at, x, y, turn))
                    if shape.bond:
                        way_of[shape.bond] = way
                    break
        return places

    def _put(
        self, sheet: _Sheet, choices: Sequence[tuple[int, _Variant]], same: tuple[object, ...]
    ) -> tuple[int, float, float, float] | None:
        """Put a shape on ``sheet`` in the best of its variants; None where there is no room."""
        if same in sheet.hopeless or sheet.free < min(v.cells for _, v in choices):
            return None
        cell, gap = self.grid.cell, self.grid.spacing
        for which, row, column in self._proposals(sheet, [v for _, v in choices]):
            way, variant = choices[which]
            here = (column * cell, row * cell)
            if sheet.accepts(shifted(variant.flat, *here), gap):
                x, y = self._settled(sheet, variant.flat, here)
                # Rounded as it is written; what that takes from a gap is within the check's own slack.
                x, y = (round(v / STEP) * STEP for v in (x + variant.shift[0], y + variant.shift[1]))
                sheet.take(shifted(variant.flat, x - variant.shift[0], y - variant.shift[1]), variant.cells)
                return way, variant.turn, x, y
        # Sheets only fill up: what finds no room now never will.
        sheet.hopeless.add(same)
        return None

    def _settled(self, sheet: _Sheet, flat: Flat, here: tuple[float, float]) -> tuple[float, float]:
        """Slide down and then left by up to a cell, as far as the exact gap allows.

        Cells are coarse, and what each place loses by them adds up: on a kit of 95 shapes
        this saves a tenth of a sheet at cells of 1 mm.
        """
        x, y = here
        for dx, dy in ((0.0, 1.0), (1.0, 0.0)):
            kept, least = 0.0, min(self.grid.cell, dx * x + dy * y)
            tried = least
            for _ in range(HALVINGS):
                if tried <= kept:
                    break
                if sheet.accepts(shifted(flat, x - dx * tried, y - dy * tried), self.grid.spacing):
                    kept = tried
                else:
                    least = tried
                tried = (kept + least) / 2.0
            x, y = x - dx * kept, y - dy * kept
        return x, y

    def _proposals(self, sheet: _Sheet, variants: Sequence[_Variant]) -> list[tuple[int, int, int]]:
        """The best places of all variants, best first, as (variant, row, column)."""
        cell = self.grid.cell
        found: list[NDArray[np.float64]] = []
        for which, v in enumerate(variants):
            rows, columns = sheet.bed.places(v.stamp)
            worth = rows * cell + v.stamp.height + RIGHTWARDS * (columns * cell + v.stamp.width)
            if len(worth) > TRIALS:
                best = np.argpartition(worth, TRIALS)[:TRIALS]
                rows, columns, worth = rows[best], columns[best], worth[best]
            found.append(np.column_stack([np.round(worth, 6), np.full(len(rows), which), rows, columns]))
        every = np.vstack(found)
        order = np.lexsort((every[:, 3], every[:, 2], every[:, 1], every[:, 0]))[:TRIALS]
        return [(int(w), int(r), int(c)) for w, r, c in every[order, 1:]]

    def _variants(self, number: int, turns: Sequence[float]) -> list[_Variant]:
        """The shape in each of ``turns`` that fits and looks different from those before."""
        shape = self.shapes[number]
        out: list[_Variant] = []
        seen: set[bytes] = set()
        for turn in turns:
            key = (self._form[number], turn)
            if key not in self._kept:
                self._kept[key] = self._variant(shape, turn)
            variant = self._kept[key]
            look = _corners(variant.flat)
            if look not in seen and self._fits(variant):
                seen.add(look)
                out.append(variant)
        return out

    def _fits(self, variant: _Variant) -> bool:
        return fits(variant.stamp.width, variant.stamp.height, self.grid.width, self.grid.height)

    def _variant(self, shape: Shape, turn: float) -> _Variant:
        raw = turned(shape.flat, turn, shape.mirrored)
        shift = (-raw.bounds[0], -raw.bounds[1])
        flat = shifted(raw, *shift)
        stamp = self.grid.stamp(flat)
        return _Variant(turn, flat, shift, stamp, int(stamp.cells.sum()))


def fits(width: float, height: float, room_width: float, room_height: float) -> bool:
    """Whether something so large goes into the room, mm."""
    return width <= room_width + SLACK and height <= room_height + SLACK


def _form(shape: Shape) -> tuple[object, ...]:
    """What two shapes have in common that can be swapped for one another."""
    rings = (shape.flat.exterior, *shape.flat.interiors)
    return (shape.mirrored, *(np.round(np.asarray(r.coords), 6).tobytes() for r in rings))


def _corners(flat: Flat) -> bytes:
    """The corners in an order of their own: a rectangle turned by half looks the same."""
    points = np.concatenate([np.asarray(r.coords)[:-1] for r in (flat.exterior, *flat.interiors)])
    points = np.round(points, 5) + 0.0
    return points[np.lexsort((points[:, 1], points[:, 0]))].tobytes()
