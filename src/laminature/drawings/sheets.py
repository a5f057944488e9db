"""Drawings of the sheets: what the cutter gets, and a map of each sheet for the bench."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from laminature.drawings.grain import BREADTH, LENGTH, grain_arrow, grain_of
from laminature.drawings.labels import Spots, spot_on_sheet
from laminature.drawings.placed import Placed, border_paths, placed_layers
from laminature.drawings.sheet_map import map_drawing
from laminature.geometry.flat import Flat
from laminature.geometry.lettering import CAP, shortened, text_width
from laminature.geometry.path import polyline
from laminature.geometry.room import free_of, free_within, room_for, without_boxes
from laminature.model.board import Board, Grain
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.layer import Layer
from laminature.model.sheet import Sheet
from laminature.model.words import Words

__all__ = ["map_drawing", "sheet_drawing"]

#: Side of the measuring square, mm: no larger, so that it finds room on most sheets.
SQUARE = 20.0
#: Notes keep this far from parts and from the sheet's border, mm.
CLEAR = 1.0
#: The sheet's name is to find room in a margin of 5 mm, mm.
NAME_SIZE = 2.0
NAME_CLEAR = 0.5
#: Places that are tried along each side of a sheet.
TRIES = 61


def sheet_drawing(
    sheet: Sheet, layers: Sequence[Layer], boards: Mapping[str, Board], measuring_square: bool, words: Words
) -> Drawing:
    """One sheet as it is cut: outlines, openings, marks and labels at true size.

    A label is written where the layer has a face for it and board enough; it can be read
    without a mirror on the sheet as drawn, also on layers that are cut mirrored. The
    measuring square, the grain's arrow and the sheet's name are notes; each is left out where there is
    no room.
    Raises KeyError for a layer or board that is not given.
    """
    placed = placed_layers(sheet, layers)
    strokes: list[Stroke] = []
    spots: Spots = {}
    for one in placed:
        strokes += _cuts(one)
        strokes += _drawn(one, spots)
    key = "sheet_name_offcut" if sheet.offcut else "sheet_name"
    name = words.of(key, sheet=sheet.name, board=boards[sheet.board].title, offcut=sheet.offcut)
    if sheet.outline is not None:
        # For laying the offcut down; where the cutter's file has no notes, it never is in the way.
        strokes += [Stroke("notes", path, ring) for ring, path in border_paths(sheet.outline)]
    grain = grain_of(sheet, boards[sheet.board])
    notes, texts = _notes(sheet, [p.flat for p in placed], name, grain, measuring_square)
    return Drawing(sheet.name, sheet.width, sheet.height, (*strokes, *notes), texts, name)


def _notes(
    sheet: Sheet, taken: Sequence[Flat], name: str, grain: Grain, measuring_square: bool
) -> tuple[tuple[Stroke, ...], tuple[Text, ...]]:
    """The sheet's name, the grain's arrow and the measuring square, where there is room, low and right."""
    if sheet.outline is None:
        free = free_of(sheet.width, sheet.height, taken, CLEAR)
    else:
        free = free_within(sheet.outline, taken, CLEAR)
    strokes: tuple[Stroke, ...] = ()
    texts: tuple[Text, ...] = ()
    written = shortened(name, NAME_SIZE, sheet.width - 4.0 * CLEAR)
    width = text_width(written, NAME_SIZE)
    # Letters like g and brackets hang below the line by 2 of the 7 units of a capital.
    height = NAME_SIZE * (CAP + 2.0) / CAP
    spot = room_for(free, width, height, NAME_CLEAR, prefer="corner", tries=TRIES) if written else None
    if spot is not None:
        x, y = spot
        texts = (Text(written, x, y + height / 2.0 - NAME_SIZE, NAME_SIZE, "middle"),)
        half_w, half_h = width / 2.0 + CLEAR, height / 2.0 + CLEAR
        free = without_boxes(free, [(x - half_w, y - half_h, x + half_w, y + half_h)])
    across, up = (BREADTH, LENGTH) if grain == "y" else (LENGTH, BREADTH)
    spot = room_for(free, across, up, NAME_CLEAR, "corner", TRIES) if grain != "none" else None
    if spot is not None:
        x, y = spot
        arrow = grain_arrow(grain, spot)
        strokes = tuple(Stroke("notes", p, f"grain-{n}", open=True) for n, p in enumerate(arrow, start=1))
        half_w, half_h = across / 2.0 + CLEAR, up / 2.0 + CLEAR
        free = without_boxes(free, [(x - half_w, y - half_h, x + half_w, y + half_h)])
    spot = room_for(free, SQUARE, SQUARE, CLEAR, "corner", TRIES) if measuring_square else None
    if spot is not None:
        x, y = spot
        half = SQUARE / 2.0
        corners = [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)]
        strokes += (Stroke("notes", polyline(corners), "measuring-square"),)
        texts += (Text(f"{SQUARE:g} mm", x, y - 1.2, 2.4, "middle"),)
    return strokes, texts


def _cuts(one: Placed) -> list[Stroke]:
    """Openings first: an outline cut through lets the part move."""
    part, layer = one.layer.part, one.layer.index
    inner = [
        Stroke("opening", path, f"{one.name}-{n}", part, layer)
        for n, path in enumerate(one.openings, start=1)
    ]
    return [*inner, Stroke("outline", one.outline, one.name, part, layer, bridges=one.bridges)]


def _drawn(one: Placed, spots: Spots) -> list[Stroke]:
    part, layer = one.layer.part, one.layer.index
    strokes = [
        Stroke("marking", path, f"{one.name}-mark-{n}", part, layer, open=not path.closed)
        for n, path in enumerate(one.marks, start=1)
    ]
    spot = spot_on_sheet(one, spots)
    if spot is not None:
        strokes += [
            Stroke("marking", path, f"{one.name}-label-{n}", part, layer, open=not path.closed)
            for n, path in enumerate(spot.strokes(one.layer.label), start=1)
        ]
    return strokes
