"""Small drawings at true size that share a page of paper, in rows, each with its title over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.drawings.words import BODY
from laminature.geometry.lettering import text_width
from laminature.model.drawing import Drawing, Text

#: Height that a title takes, and from one drawing to the next, mm.
HEAD, GAP = 4.0, 6.0
#: Between whole pages that share one, and how low they may reach: shorter paper holds all of it, mm.
APART, LOWEST = 12.0, 25.0

Row = list[Drawing]


def sharing(
    drawings: Sequence[Drawing], room: tuple[float, float], title: str, begun: float = 0.0
) -> tuple[Drawing | None, tuple[Drawing, ...]]:
    """The drawings on as few pages of ``room`` mm as hold them in their order; each fits on one alone.

    Of the first page ``begun`` mm are taken already: what still fits there comes apart from the other pages,
    None where that is nothing. Pages are as high as what lies on them.
    """
    first: list[Row] = []
    pages: list[list[Row]] = []
    page, left = first, room[1] - begun
    for row in _rows(drawings, room[0]):
        if _height(row) > left:
            page, left = [], room[1]
            pages.append(page)
        page.append(row)
        left -= _height(row)
    made = [_page(n, rows, room[0], title) for n, rows in enumerate((first, *pages), start=1)]
    return made[0] if first else None, tuple(made[1:])


def together(pages: Sequence[Drawing]) -> tuple[Drawing, ...]:
    """Whole pages, alike in size, on fewer: what fits below the one before it goes there."""
    made: list[Drawing] = []
    low = 0.0
    for page in pages:
        bottom, top = _reach(page)
        if made and (page.width, page.height) == (made[-1].width, made[-1].height):
            shift = low - APART - top
            if bottom + shift >= LOWEST:
                made[-1] = _with(made[-1], page, 0.0, shift)
                low = bottom + shift
                continue
        made.append(page)
        low = bottom
    return tuple(made)


def _reach(drawing: Drawing) -> tuple[float, float]:
    """The lowest and the highest of what is drawn and written, mm."""
    low = [float(s.path.flattened[:, 1].min()) for s in drawing.strokes]
    high = [float(s.path.flattened[:, 1].max()) for s in drawing.strokes]
    low += [t.y for t in drawing.texts]
    high += [t.y + t.size for t in drawing.texts]
    return min(low, default=drawing.height), max(high, default=drawing.height)


def _with(page: Drawing, one: Drawing, x: float, y: float) -> Drawing:
    """The page with ``one`` on it too, shifted by (x, y)."""
    strokes = [replace(s, path=s.path.mapped(((1.0, 0.0), (0.0, 1.0)), (x, y))) for s in one.strokes]
    texts = [replace(t, x=t.x + x, y=t.y + y) for t in one.texts]
    return replace(page, strokes=(*page.strokes, *strokes), texts=(*page.texts, *texts))


def _rows(drawings: Sequence[Drawing], width: float) -> list[Row]:
    """The drawings side by side as far as the width goes."""
    rows: list[Row] = []
    left = 0.0
    for one in drawings:
        if not rows or _width(one) > left:
            rows.append([])
            left = width
        rows[-1].append(one)
        left -= _width(one) + GAP
    return rows


def _titled(drawing: Drawing) -> bool:
    """Whether the drawing does not say its title itself."""
    return bool(drawing.title) and not any(t.text.startswith(drawing.title) for t in drawing.texts)


def _width(drawing: Drawing) -> float:
    return max(drawing.width, text_width(drawing.title, BODY) if _titled(drawing) else 0.0)


def _height(row: Row) -> float:
    return HEAD + max(one.height for one in row) + GAP


def _page(number: int, rows: Sequence[Row], width: float, title: str) -> Drawing:
    made = Drawing(f"shared-{number}", width, sum(map(_height, rows)), title=title)
    y = made.height
    for row in rows:
        x = 0.0
        for one in row:
            low = y - HEAD - one.height
            made = _with(made, one, x, low)
            if _titled(one):
                title_text = Text(one.title, x, y - HEAD + 1.0, BODY)
                made = replace(made, texts=(*made.texts, title_text))
            x += _width(one) + GAP
        y -= _height(row)
    return made
