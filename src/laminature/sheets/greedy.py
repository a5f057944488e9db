"""One pass over the shapes, each put where it raises the pile least.

Nothing here knows layers or parts: shapes with the turns they may take go in, places on
sheets come out: first on the odd sheets that are given, then on as many full ones as it takes.
The order is an argument, so that a search over orders can run the same pass again, and so are
places that stay as they are, so that what has become free is filled again.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.flat import Flat
from laminature.geometry.nearness import clear_of, ready
from laminature.sheets.raster import Bed, Grid, Stamp
from laminature.sheets.room import Room
from laminature.sheets.shapes import Place, Shape, fits, shifted, turned

#: A place is worth its top edge plus this share of its right edge; the least is taken. Measured on a
#: kit of 95 shapes, this beats the corner rules by 0.13 to 0.25 of a sheet.
RIGHTWARDS = 0.15
#: So many of the best proposals are checked exactly before the next sheet is tried.
TRIALS = 300
#: Steps by which a place is slid closer: each halves what is left of a cell.
HALVINGS = 8
#: Openings smaller than this are not looked into first, mm².
SMALLEST_OPENING = 60.0
#: Transforms of shapes are kept up to this size, bytes; then they are forgotten and made again.
MOST_KEPT = 400_000_000
#: Placements are written in steps of this, mm.
STEP = 1e-8


@dataclass(frozen=True)
class Layout:
    """What a pass has made: places, the top edge of each sheet's pile, and shapes that found no place.

    ``tops`` counts the odd sheets first, mm; 0 where nothing lies. ``ways`` is the group of turns
    that each bond has taken.
    """

    places: tuple[Place, ...]
    tops: tuple[float, ...]
    left: tuple[int, ...] = ()
    ways: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class _Variant:
    """A shape in one turn, its lower left bounds at the origin; ``shift`` brought it there."""

    turn: float
    flat: Flat
    shift: tuple[float, float]
    look: bytes


@dataclass(frozen=True)
class _Choice:
    """A variant with the group of turns it is of, and its cells on one grid."""

    way: int
    variant: _Variant
    stamp: Stamp
    cells: int


class _Sheet:
    """A sheet as it fills: cells for proposals, outlines for the exact check."""

    def __init__(self, room: Room, grid: Grid) -> None:
        self.room = room
        self.grid = grid
        self.bed = Bed(grid)
        for piece in room.beyond:
            self.bed.bar(piece, room.margin)
        self.openings: Bed | None = None
        self.widest = 0.0
        self.free = grid.shape[0] * grid.shape[1]
        self.bounds: NDArray[np.float64] = np.empty((0, 4))
        self.flats: list[Flat] = []
        self.hopeless: set[tuple[object, ...]] = set()

    @property
    def top(self) -> float:
        """The upper edge of what lies here, mm."""
        return float(self.bounds[:, 3].max()) if len(self.bounds) else 0.0

    def accepts(self, flat: Flat, gap: float) -> bool:
        """Whether ``flat`` keeps the gap from everything here, exactly."""
        x0, y0, x1, y1 = flat.bounds
        b = self.bounds
        near = (b[:, 0] < x1 + gap) & (b[:, 2] > x0 - gap) & (b[:, 1] < y1 + gap) & (b[:, 3] > y0 - gap)
        clear = clear_of(flat, [self.flats[k] for k in np.nonzero(near)[0]], gap)
        return clear and self.room.holds(flat)

    def take(self, flat: Flat) -> None:
        """Keep ``flat`` as placed."""
        self.bed.put(flat)
        for ring in flat.interiors:
            opening = type(flat)(ring)
            if opening.area >= SMALLEST_OPENING:
                if self.openings is None:
                    self.openings = Bed(self.grid)
                    self.openings.taken[:] = 1.0
                self.openings.free(opening)
                self.widest = max(self.widest, opening.area)
                self.hopeless = {h for h in self.hopeless if not h[0]}
        if self.openings is not None:
            self.openings.put(flat)
        self.bounds = np.vstack([self.bounds, flat.bounds])
        self.flats.append(ready(flat))


class Filler:
    """Fills ``odd`` rooms first, in their order, and then as many ``full`` ones as it takes.

    Cells and transforms of the shapes are kept between passes.
    """

    def __init__(
        self, shapes: Sequence[Shape], full: Room, spacing: float, cell: float, odd: Sequence[Room] = ()
    ) -> None:
        self.shapes = shapes
        self.full = full
        self.odd = tuple(odd)
        self.spacing = spacing
        self.cell = cell
        self._turned: dict[tuple[bytes, float], _Variant] = {}
        self._stamps: dict[tuple[bytes, float, Grid], tuple[Stamp, int]] = {}
        self._choices: dict[tuple[object, ...], list[_Choice]] = {}
        self._room_left = MOST_KEPT

    def biggest_first(self) -> list[int]:
        """Shape numbers by the area within the outline, biggest first."""
        return sorted(range(len(self.shapes)), key=lambda k: (-round(self.shapes[k].outer_area, 6), k))

    def run(
        self,
        order: Sequence[int],
        decided: dict[str, int] | None = None,
        progress: Callable[[float], None] | None = None,
        given: Sequence[Place] = (),
    ) -> Layout:
        """Place every shape of ``order``, one after the other, beside those that are ``given`` a place.

        ``decided`` holds the group of turns of the bonds that are settled already.
        ``progress`` gets the share done before each shape and may raise to cancel.
        """
        sheets = [self._opened(room) for room in self.odd]
        way_of = dict(decided or {})
        places = list(given)
        left: list[int] = []
        for one in given:
            while one.sheet >= len(sheets):
                sheets.append(self._opened(self.full))
            sheets[one.sheet].take(self.shapes[one.shape].lying(one))
        for done, number in enumerate(order):
            if progress is not None:
                progress(done / len(order))
            shape = self.shapes[number]
            if self._into_opening(sheets, number, way_of, places):
                continue
            for at in range(len(sheets) + 1):
                fresh = at == len(sheets)
                room = self.full if fresh else sheets[at].room
                choices = self._choices_for(number, room, way_of)
                if not choices:
                    continue
                if fresh:
                    sheets.append(self._opened(room))
                found = self._put(sheets[at], choices, shape)
                if found is not None:
                    way, turn, x, y = found
                    places.append(Place(number, at, x, y, turn))
                    if shape.bond and room.grain != "none":
                        way_of[shape.bond] = way
                    break
            else:
                left.append(number)
        return Layout(tuple(places), tuple(s.top for s in sheets), tuple(left), way_of)

    def _into_opening(
        self, sheets: Sequence[_Sheet], number: int, way_of: dict[str, int], places: list[Place]
    ) -> bool:
        """Put a shape into an opening of another, where there is one that is large enough."""
        shape = self.shapes[number]
        for at, sheet in enumerate(sheets):
            if sheet.openings is not None and shape.outer_area < sheet.widest:
                choices = self._choices_for(number, sheet.room, way_of)
                found = self._put(sheet, choices, shape, sheet.openings) if choices else None
                if found is not None:
                    way, turn, x, y = found
                    places.append(Place(number, at, x, y, turn))
                    if shape.bond and sheet.room.grain != "none":
                        way_of[shape.bond] = way
                    return True
        return False

    def _opened(self, room: Room) -> _Sheet:
        return _Sheet(room, Grid(room.width, room.height, self.cell, self.spacing))

    def _put(
        self, sheet: _Sheet, choices: Sequence[_Choice], shape: Shape, inner: Bed | None = None
    ) -> tuple[int, float, float, float] | None:
        """Put a shape on ``sheet`` in the best of its variants; None where there is no room."""
        same = (inner is not None, shape.form, tuple(c.variant.turn for c in choices))
        if same in sheet.hopeless or sheet.free < min(c.cells for c in choices):
            return None
        cell = self.cell
        for which, row, column in self._proposals(inner or sheet.bed, choices):
            choice = choices[which]
            flat, shift = choice.variant.flat, choice.variant.shift
            here = (column * cell, row * cell)
            if sheet.accepts(shifted(flat, *here), self.spacing):
                x, y = self._settled(sheet, flat, here)
                # Rounded as it is written; what that takes from a gap is within the check's own slack.
                x, y = (round(v / STEP) * STEP for v in (x + shift[0], y + shift[1]))
                sheet.take(shifted(flat, x - shift[0], y - shift[1]))
                sheet.free -= choice.cells
                return choice.way, choice.variant.turn, x, y
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
            kept, least = 0.0, min(self.cell, dx * x + dy * y)
            tried = least
            for _ in range(HALVINGS):
                if tried <= kept:
                    break
                if sheet.accepts(shifted(flat, x - dx * tried, y - dy * tried), self.spacing):
                    kept = tried
                else:
                    least = tried
                tried = (kept + least) / 2.0
            x, y = x - dx * kept, y - dy * kept
        return x, y

    def _proposals(self, bed: Bed, choices: Sequence[_Choice]) -> Iterator[tuple[int, int, int]]:
        """The best places of all choices, best first, as (choice, row, column)."""
        cell = self.cell
        found: list[NDArray[np.float64]] = []
        for which, c in enumerate(choices):
            # Rows further up hold nothing better: rightwards counts less than the width of the grid.
            rows, columns = bed.places(c.stamp, TRIALS, math.ceil(RIGHTWARDS * bed.grid.shape[1]))
            worth = rows * cell + c.stamp.height + RIGHTWARDS * (columns * cell + c.stamp.width)
            if len(worth) > TRIALS:
                best = np.argpartition(worth, TRIALS)[:TRIALS]
                rows, columns, worth = rows[best], columns[best], worth[best]
            found.append(np.column_stack([np.round(worth, 6), np.full(len(rows), which), rows, columns]))
        every = np.vstack(found)
        order = np.lexsort((every[:, 3], every[:, 2], every[:, 1], every[:, 0]))[:TRIALS]
        return ((int(w), int(r), int(c)) for w, r, c in every[order, 1:])

    def _choices_for(self, number: int, room: Room, way_of: dict[str, int]) -> list[_Choice]:
        """The shape in each turn that is allowed in the room, fits and looks different from those before."""
        shape = self.shapes[number]
        groups = shape.ways[room.grain]
        settled = way_of.get(shape.bond) if shape.bond and room.grain != "none" else None
        key = (number, room, settled)
        if key not in self._choices:
            if self._room_left < 0:
                self._stamps.clear()
                self._choices.clear()
                self._room_left = MOST_KEPT
            ways = range(len(groups)) if settled is None else (settled,)
            self._choices[key] = self._made_choices(shape, room, [(w, t) for w in ways for t in groups[w]])
        return self._choices[key]

    def _made_choices(self, shape: Shape, room: Room, turns: Sequence[tuple[int, float]]) -> list[_Choice]:
        grid = Grid(room.width, room.height, self.cell, self.spacing)
        out: list[_Choice] = []
        seen: set[tuple[int, bytes]] = set()
        for way, turn in turns:
            variant = self._variant(shape, turn)
            _, _, width, height = variant.flat.bounds
            if (way, variant.look) in seen or not fits(width, height, room.width, room.height):
                continue
            seen.add((way, variant.look))
            key = (shape.form, turn, grid)
            if key not in self._stamps:
                stamp = grid.stamp(variant.flat)
                self._stamps[key] = (stamp, int(stamp.cells.sum()))
                self._room_left -= stamp.spectrum.nbytes
            out.append(_Choice(way, variant, *self._stamps[key]))
        return out

    def _variant(self, shape: Shape, turn: float) -> _Variant:
        key = (shape.form, turn)
        if key not in self._turned:
            raw = turned(shape.flat, turn, shape.mirrored)
            shift = (-raw.bounds[0], -raw.bounds[1])
            flat = shifted(raw, *shift)
            self._turned[key] = _Variant(turn, flat, shift, _corners(flat))
        return self._turned[key]


def _corners(flat: Flat) -> bytes:
    """The corners in an order of their own: a rectangle turned by half looks the same."""
    points = np.concatenate([np.asarray(r.coords)[:-1] for r in (flat.exterior, *flat.interiors)])
    points = np.round(points, 5) + 0.0
    return points[np.lexsort((points[:, 1], points[:, 0]))].tobytes()
