"""What is left when a sheet is cut: offcuts worth keeping, and what falls out of openings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from laminature.geometry.flat import Flat, Flats, pieces, rectangle
from laminature.geometry.remains import (
    fallen_piece,
    largest_box,
    openings_of,
    shifted,
    straight_pieces,
    without,
)
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import LETTER, Keep, Offcut, Remainder
from laminature.model.sheet import Sheet
from laminature.model.words import Words
from laminature.sheets.check import placed

#: The hand's knife keeps this far from what the cutter has cut, mm: common practice, no source.
CLEAR = 1.0


def remainders(
    sheets: Sequence[Sheet],
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    keep: Keep,
    words: Words,
    *,
    spacing: float = 0.0,
    kerf: float = 0.0,
    first: int = 1,
    title: str = "",
) -> tuple[Remainder, ...]:
    """The offcuts that come about, sheet by sheet, biggest first, drop-outs after the sheet's own pieces.

    Pieces of the sheet are rectangles and L shapes that keep ``spacing`` mm, at least 1, from every layer.
    Where another layer lies in an opening, rectangles of what it leaves are taken; else the drop-out as it
    is, smaller by ``kerf`` mm. Names count on from ``first``; ``title`` becomes part of their origin.
    Raises KeyError for a layer or board that is not given.
    """
    known = {(layer.part, layer.index): layer for layer in layers}
    found: list[Remainder] = []
    for sheet in sheets:
        grain = sheet.grain or boards[sheet.board].grain
        origin = f"{title}, {sheet.name}" if title else sheet.name
        for shape, label in _of_sheet(sheet, known, keep, max(spacing, CLEAR), kerf):
            x, y = shape.bounds[:2]
            told = words.of("offcut_origin", origin=origin, label=label) if label else origin
            name = f"{LETTER}{first + len(found)}"
            offcut = Offcut(name, sheet.board, shifted(shape, -x, -y), grain, told)
            found.append(Remainder(offcut, sheet.name, (x, y), label))
    return tuple(found)


def _of_sheet(
    sheet: Sheet, known: Mapping[tuple[str, int], Layer], keep: Keep, clear: float, kerf: float
) -> Iterator[tuple[Flat, str]]:
    """Each remainder where it lies on the sheet, and the label of what it falls out of."""
    frame = sheet.outline or rectangle(0.0, 0.0, sheet.width, sheet.height)
    lying = [(known[p.part, p.layer], placed(known[p.part, p.layer], p)) for p in sheet.placements]
    flats = tuple(shape for _, shape in lying)
    for piece in straight_pieces(without(frame, flats, clear), keep.offcuts, frame):
        yield piece, ""
    fallen = [
        (piece, layer.label)
        for layer, shape in lying
        for opening in openings_of(shape)
        for piece in _out_of(opening, tuple(f for f in flats if f is not shape), keep.drop_outs, clear, kerf)
    ]
    yield from sorted(fallen, key=lambda pair: (-round(pair[0].area, 6), pair[1], pair[0].bounds))


def _out_of(opening: Flat, others: Flats, smallest: tuple[float, float], clear: float, kerf: float) -> Flats:
    """What falls out of an opening and is large enough to keep."""
    x0, y0, x1, y1 = opening.bounds
    if min(x1 - x0, y1 - y0) < min(smallest) or max(x1 - x0, y1 - y0) < max(smallest):
        return ()
    inside = tuple(other for other in others if other.intersects(opening))
    if inside:
        return straight_pieces(without(opening, inside, clear), smallest, opening)
    whole = fallen_piece(opening, kerf)
    if whole is None or not any(largest_box(p, smallest, p.bounds) for p in pieces(whole)):
        return ()
    return (whole,)
