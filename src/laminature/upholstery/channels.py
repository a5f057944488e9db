"""Sewn channels (flutes): straight seams that share the cushion into strips of one width."""

from __future__ import annotations

from laminature.geometry.flat import Shape, chords
from laminature.geometry.path import Point
from laminature.upholstery.layout import MOST_BUTTONS, nearest_count, too_many

Seam = tuple[Point, Point]


def channels(
    shape: Shape, field: Shape, wanted: tuple[float, float], rows: int | None, columns: int | None
) -> tuple[tuple[Seam, ...], tuple[float, float]]:
    """Seams through the field, and the width got of channels (across, up), mm; 0 where they do not repeat.

    Channels run away from whoever sits there, and share ``shape`` (the panel) across into
    ``columns`` or about ``wanted`` wide ones; with only ``rows`` given they run from side to side.
    """
    x0, y0, x1, y1 = shape.bounds
    level = rows is not None and columns is None
    low, high, about = (y0, y1, wanted[1]) if level else (x0, x1, wanted[0])
    given = rows if level else columns
    count = nearest_count((high - low) / about) if given is None else given
    if count > MOST_BUTTONS:
        raise too_many()
    width = (high - low) / count
    seams: list[Seam] = []
    for k in range(1, count):
        at = low + k * width
        line = ((x0 - 1.0, at), (x1 + 1.0, at)) if level else ((at, y0 - 1.0), (at, y1 + 1.0))
        seams += chords(field, *line)
    return tuple(seams), ((0.0, width) if level else (width, 0.0))
