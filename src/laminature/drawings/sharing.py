"""Small drawings at true size that share a page of paper, one below the other with its title over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from laminature.drawings.words import BODY
from laminature.model.drawing import Drawing, Text

#: Height that a title takes, and from one drawing to the next, mm.
HEAD, GAP = 4.0, 6.0


def sharing(drawings: Sequence[Drawing], room: tuple[float, float], title: str) -> tuple[Drawing, ...]:
    """The drawings on as few pages of ``room`` mm as hold them in their order; each fits on one alone."""
    pages: list[list[Drawing]] = []
    left = 0.0
    for one in drawings:
        if not pages or _height(one) > left:
            pages.append([])
            left = room[1]
        pages[-1].append(one)
        left -= _height(one)
    return tuple(_page(n, page, room, title) for n, page in enumerate(pages, start=1))


def _height(drawing: Drawing) -> float:
    return HEAD + drawing.height + GAP


def _page(number: int, drawings: Sequence[Drawing], room: tuple[float, float], title: str) -> Drawing:
    made = Drawing(f"shared-{number}", *room, title=title)
    y = room[1]
    for one in drawings:
        low = y - HEAD - one.height
        strokes = [replace(s, path=s.path.mapped(((1.0, 0.0), (0.0, 1.0)), (0.0, low))) for s in one.strokes]
        texts = [replace(t, y=t.y + low) for t in one.texts]
        if one.title and not any(t.text.startswith(one.title) for t in one.texts):
            texts.append(Text(one.title, 0.0, y - HEAD + 1.0, BODY))
        made = replace(made, strokes=(*made.strokes, *strokes), texts=(*made.texts, *texts))
        y -= _height(one)
    return made
