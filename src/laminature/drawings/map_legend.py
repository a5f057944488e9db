"""What a sheet's map says above and below the sheet: its name and size, and what each mark means."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.drawings.grain import grain_arrow, grain_of
from laminature.drawings.kept import dashes
from laminature.drawings.placed import Placed
from laminature.drawings.words import BODY, wrapped
from laminature.geometry.flat import rectangle
from laminature.geometry.lettering import shortened
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.room import hatched
from laminature.model.board import Board
from laminature.model.drawing import Operation, Stroke, Text
from laminature.model.offcut import Remainder
from laminature.model.sheet import Sheet
from laminature.model.words import Words

#: Around the page, and the legend's band with its lines, mm.
MARGIN = 14.0
FOOT = 42.0
LINE = 5.6
#: Lines of hatching, mm apart.
HATCH = 1.6


def foot(remainders: Sequence[Remainder]) -> float:
    """Height of the legend's band, mm: offcuts take a line of it."""
    return FOOT + (LINE if remainders else 0.0)


def map_head(
    sheet: Sheet, board: Board, factor: float, page: tuple[float, float], words: Words
) -> tuple[list[Stroke], list[Text]]:
    """The sheet's name, board, size and grain, at the top of a ``page`` of so many mm."""
    width, height = page
    size = f"{round(sheet.width, 1):g} × {round(sheet.height, 1):g} mm"
    runs = grain_of(sheet, board)
    grain = "" if runs == "none" else words.of(f"map_grain_{runs}")
    drawn = words.of("map_true") if factor == 1.0 else words.of("map_smaller")
    line = words.of("map_head", board=board.title, size=size, grain=grain, drawn=drawn)
    title = words.of("map_title", sheet=sheet.name)
    if sheet.offcut:
        title = words.of("map_offcut", title=title, offcut=sheet.offcut)
    room = width - 2 * MARGIN - 18.0
    arrow = grain_arrow(runs, (width - MARGIN - 7.0, height - MARGIN - 10.0), 14.0 if runs == "x" else 7.0)
    strokes = [Stroke("marking", p, f"grain-{n}", open=True) for n, p in enumerate(arrow, start=1)]
    return strokes, [
        Text(shortened(title, 5.0, room - 32.0), MARGIN, height - MARGIN - 5.0, 5.0),
        Text(words.of("map_bench"), width - MARGIN, height - MARGIN - 5.0, BODY, "end"),
        Text(shortened(line, BODY, room), MARGIN, height - MARGIN - 11.0, BODY),
    ]


def map_legend(
    placed: Sequence[Placed],
    starred: Sequence[Placed],
    band: tuple[float, float],
    order: Sequence[str],
    remainders: Sequence[Remainder],
    words: Words,
) -> tuple[list[Stroke], list[Text]]:
    """What the marks mean, as far as the map has them, in a ``band``: the page's width, and its top, mm."""
    width, top = band
    strokes: list[Stroke] = []
    lines: list[str] = []
    mirrored = [one for one in placed if one.mirrored]
    samples = ["plain"]
    samples += ["hatched"] if mirrored else []
    samples += ["cross"] if any(one.openings for one in placed) else []
    samples += ["dashed"] if remainders else []
    texts: list[Text] = []
    y = top - 8.0
    for kind in samples:
        box = rectangle(MARGIN, y, MARGIN + 7.0, y + 4.0)
        if kind == "dashed":
            middle = ((MARGIN, y + 2.0), (MARGIN + 7.0, y + 2.0))
            strokes += numbered(f"legend-{kind}", dashes(*middle))
        else:
            strokes.append(Stroke("marking", polyline(box.exterior.coords[:-1]), f"legend-{kind}"))
        if kind == "hatched":
            strokes += numbered(f"legend-{kind}-hatch", hatched(box, HATCH))
        if kind == "cross":
            strokes += numbered(f"legend-{kind}", cross((MARGIN + 3.5, y + 2.0), 0.8))
        texts.append(Text(words.of(f"map_{kind}"), MARGIN + 9.5, y + 0.9, BODY))
        y -= LINE
    if order:
        lines.append(words.of("map_order"))
    if mirrored:
        lines += wrapped(words.of("map_mirrored", labels=_named(mirrored)), width - 2 * MARGIN, 2)
    if starred:
        lines += wrapped(words.of("map_starred", labels=_named(starred)), width - 2 * MARGIN, 3)
    lines += _small(placed, width - 2 * MARGIN, words)
    for line in lines:
        texts.append(Text(line, MARGIN, y + 0.9, BODY))
        y -= 4.0
    return strokes, texts


def _small(placed: Sequence[Placed], width: float, words: Words) -> list[str]:
    """What is said of pieces on bridges, and of spares."""
    bridged = [one for one in placed if one.bridges]
    spare = [one for one in placed if one.layer.role == "spare"]
    lines = []
    if bridged:
        lines += wrapped(words.of("map_bridged", labels=_named(bridged)), width, 2)
    if spare:
        lines += wrapped(words.of("map_spare", labels=_named(spare)), width, 2)
    return lines


def _named(placed: Sequence[Placed]) -> str:
    """Labels in the order of the sheet, alike ones counted: ``B4 ×2, C1``."""
    count: dict[str, int] = {}
    for one in placed:
        if one.placement.piece == 0:
            count[one.layer.label] = count.get(one.layer.label, 0) + 1
    return ", ".join(label if n == 1 else f"{label} ×{n}" for label, n in count.items())


def cross(at: Point, half: float) -> tuple[Path, ...]:
    """The cross of what falls out."""
    x, y = at
    return (
        polyline([(x - half, y - half), (x + half, y + half)], closed=False),
        polyline([(x - half, y + half), (x + half, y - half)], closed=False),
    )


def numbered(name: str, paths: Sequence[Path]) -> list[Stroke]:
    """Strokes for ``paths`` called ``name`` and a number; hatching is notes, all else marking."""
    operation: Operation = "notes" if name.endswith("hatch") else "marking"
    return [Stroke(operation, p, f"{name}-{n}", open=not p.closed) for n, p in enumerate(paths, start=1)]
