"""What of a guide is printed at true size: small templates that share pages, and sheets cut up into tiles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.cushion import PAGE, batting_drawings, cloth_drawing, stitch_charts
from laminature.drawings.sharing import HEAD, sharing, together
from laminature.model.drawing import Drawing
from laminature.model.guide import Page, Tile
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.writers.guide import TILE
from laminature.writers.svg import svg

Array = NDArray[np.float64]
#: What the introduction of the templates takes of their first page, mm: more, but no squares stand below.
INTRODUCTION = 70.0
#: Paper around what is cut, on templates, mm.
EDGE = 2.0


def true_size(build: Build) -> Iterator[Drawing]:
    """Gauges, jigs, and what is cut and sewn for cushions."""
    words = guide_words(build.design.language)
    yield from build.helpers
    for made in build.cushions:
        yield from (cloth_drawing(made, words), *batting_drawings(made, words), *stitch_charts(made, words))


def pages_of(drawings: Sequence[Drawing], known: Words) -> tuple[Page | None, tuple[Page, ...]]:
    """What stands below the introduction, None for nothing, and the pages after it.

    Small drawings share pages, and so do charts; cloth has its own.
    """
    small = [d for d in drawings if on_paper(d) and not _is_page(d)]
    first, rest = sharing(small, TILE, known.of("templates"), INTRODUCTION)
    whole = [d for d in drawings if _is_page(d)]
    charts = [d for d in whole if d.name.startswith("buttons-")]
    cloths = [d for d in whole if d not in charts]
    return None if first is None else page(first), tuple(page(d) for d in (*rest, *cloths, *together(charts)))


def _is_page(drawing: Drawing) -> bool:
    return (drawing.width, drawing.height) == PAGE


def on_paper(drawing: Drawing) -> bool:
    """Whether a drawing is shown whole; what no printer's paper holds is cut up like the sheets."""
    return _is_page(drawing) or (drawing.width <= TILE[0] and drawing.height <= TILE[1] - HEAD)


def page(drawing: Drawing) -> Page:
    """A drawing as a page of the guide, at its own size."""
    return Page(drawing.title or drawing.name, svg(drawing), drawing.width, drawing.height)


def tiles(templates: Sequence[Drawing], words: Words) -> Iterator[Tile]:
    """Parts of each template that fit on paper, from where its cuts begin; empty ones are left out.

    They lie across where that makes fewer.
    """
    for number, drawing in enumerate(templates):
        cuts = [s.path.flattened for s in drawing.strokes if s.operation in ("outline", "opening")]
        if not cuts:
            continue
        upright, across = _tiled(cuts, *TILE), _tiled(cuts, TILE[1], TILE[0])
        turned = len(across) < len(upright)
        found = across if turned else upright
        for n, (x, y) in enumerate(found, start=1):
            label = words.of("one_of", n=str(n), all=str(len(found)))
            yield Tile(number, x, float(drawing.height - y), label, turned)


def _tiled(cuts: Sequence[Array], wide: float, high: float) -> list[tuple[float, float]]:
    """Left upper corners of parts ``wide`` × ``high`` mm that hold all cuts, row by row."""
    every = np.concatenate(cuts)
    # From the upper left corner of all that is cut, with a little paper around it.
    left, top = every[:, 0].min() - EDGE, every[:, 1].max() + EDGE
    boxes = [(p.min(axis=0), p.max(axis=0)) for p in cuts]
    columns = math.ceil((every[:, 0].max() + EDGE - left) / wide)
    rows = math.ceil((top - every[:, 1].min() + EDGE) / high)
    found = []
    for row in range(rows):
        for column in range(columns):
            x, y = left + column * wide, top - row * high
            if any(a[0] < x + wide and b[0] > x and a[1] < y and b[1] > y - high for a, b in boxes):
                found.append((float(x), float(y)))
    return found
