"""Pieces side by side at true size, to lay a stray one on; and each as a few lines of text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, mapped
from laminature.geometry.lettering import shortened, text_width
from laminature.geometry.path import Path
from laminature.geometry.remains import lying
from laminature.geometry.room import cells_within
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.part import Part
from laminature.model.stray import Stray
from laminature.model.words import Words

#: A piece to be drawn: label, shape, and lines of text below.
Piece = tuple[str, Flat, Sequence[str]]

#: Around the page and between pieces, mm.
MARGIN = 8.0
GAP = 10.0
#: A row is no wider than this, mm, unless a single piece is.
ROW = 190.0
#: Words below a piece are no wider than it, or than this, mm.
WIDEST = 60.0
LABEL = 4.0
BODY = 2.6
LINES = 3 * BODY + LABEL + 4.0
#: Columns and half lines of a piece drawn in text.
COLUMNS = 24
HALF_LINES = 16


def stray_rows(strays: Sequence[Stray], parts: Sequence[Part], words: Words) -> tuple[str, ...]:
    """A line for each: size, how far off, labels, and what it is."""
    titles = _titles(parts)
    return tuple(
        words.of(
            "stray_row",
            size=f"{one.size[0]:6.2f} × {one.size[1]:6.2f}",
            off=f"{one.off:5.2f}",
            labels=labels_of(one.labels, words),
            what=_words(one, titles, words),
        )
        for one in strays
    )


def stray_drawing(title: str, strays: Sequence[Stray], parts: Sequence[Part], words: Words) -> Drawing:
    """A page with every piece at true size, lying along its longer side, labels and words below it."""
    titles = _titles(parts)
    pieces: list[Piece] = [
        (
            labels_of(s.labels, words),
            s.flat,
            (f"{s.size[0]:.2f} × {s.size[1]:.2f} mm", _words(s, titles, words)),
        )
        for s in strays
    ]
    rows: list[list[tuple[Piece, Flat, float]]] = [[]]
    width = 0.0
    for piece in pieces:
        shape = lying(piece[1])
        w = shape.bounds[2]
        widest = max([text_width(piece[0], LABEL), *(text_width(line, BODY) for line in piece[2])])
        column = max(w, min(widest, WIDEST))
        if rows[-1] and width + column > ROW:
            rows.append([])
            width = 0.0
        rows[-1].append((piece, shape, column))
        width += column + GAP
    page = max(sum(c for _, _, c in row) + GAP * (len(row) - 1) for row in rows) + 2 * MARGIN
    page = max(page, 120.0)
    height = 2 * MARGIN + 10.0 + sum(max(s.bounds[3] for _, s, _ in row) + LINES + GAP for row in rows)
    strokes: list[Stroke] = []
    texts = [Text(shortened(title, 4.5, page - 2 * MARGIN), MARGIN, height - MARGIN - 4.5, 4.5)]
    y = height - MARGIN - 12.0
    for row in rows:
        tall = max(s.bounds[3] for _, s, _ in row)
        x = MARGIN
        for (label, _, lines), shape, column in row:
            strokes += _strokes(label, mapped(shape, ((1.0, 0.0), (0.0, 1.0)), (x, y - tall)))
            texts.append(Text(shortened(label, LABEL, column), x, y - tall - LABEL - 2.0, LABEL))
            for n, line in enumerate(lines, start=1):
                at = y - tall - LABEL - 2.0 - n * 1.5 * BODY
                texts.append(Text(shortened(line, BODY, column), x, at, BODY))
            x += column + GAP
        y -= tall + LINES + GAP
    return Drawing("stray", page, height, tuple(strokes), tuple(texts), title)


def _titles(parts: Sequence[Part]) -> dict[str, str]:
    return {part.name: part.title or part.name for part in parts}


def _words(stray: Stray, titles: Mapping[str, str], words: Words) -> str:
    what = ", ".join(dict.fromkeys(titles[layer.part] for layer in stray.layers))
    what = words.of("falls_out_of", what=what) if stray.drop_out else what
    return what if stray.count == 1 else f"{what} (×{stray.count})"


def labels_of(labels: Sequence[str], words: Words, most: int = 6) -> str:
    """Labels in words; of many, the first and how many more."""
    if len(labels) <= most:
        return " ".join(labels)
    first = " ".join(labels[: most - 1])
    return words.of("stray_more", labels=first, n=str(len(labels) - most + 1))


def _strokes(label: str, shape: Flat) -> list[Stroke]:
    curves = borders(shape, ())
    paths: list[Path] = [curves.outline, *curves.openings]
    return [Stroke("marking", path, f"{label}-{n}") for n, path in enumerate(paths)]


def in_text(flat: Flat, cell: float) -> list[str]:
    """The shape in block elements of Unicode, two cells of ``cell`` mm to a sign, lying on its long side."""
    cells = cells_within(lying(flat), cell)
    if len(cells) % 2:
        cells = [[False] * len(cells[0]), *cells]
    signs = {(True, True): "█", (True, False): "▀", (False, True): "▄", (False, False): " "}
    return [
        "".join(signs[pair] for pair in zip(upper, lower, strict=True)).rstrip()
        for upper, lower in zip(cells[::2], cells[1::2], strict=True)
    ]


def beside_in_text(strays: Sequence[Stray]) -> list[str]:
    """Pieces in text beside each other at one scale, standing on one line, each above a label."""
    shapes = [(s.labels[0], s.flat) for s in strays]
    sides = [lying(flat).bounds[2:] for _, flat in shapes]
    cell = max(max(w / COLUMNS, h / HALF_LINES) for w, h in sides)
    drawn = [in_text(flat, cell) for _, flat in shapes]
    widths = [
        max([len(label), *(len(line) for line in lines)])
        for (label, _), lines in zip(shapes, drawn, strict=True)
    ]
    tall = max(map(len, drawn))
    rows = [[""] * (tall - len(lines)) + lines for lines in drawn]
    rows = [[*row, label] for row, (label, _) in zip(rows, shapes, strict=True)]
    return [
        "   ".join(row[k].ljust(w) for row, w in zip(rows, widths, strict=True)).rstrip()
        for k in range(tall + 1)
    ]
