"""What of a guide is printed at true size: small templates that share pages, and sheets cut up into tiles."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.cushion import PAGE, batting_drawings, cloth_drawing, stitch_charts
from laminature.drawings.grain import grain_of
from laminature.drawings.sharing import HEAD, sharing, together
from laminature.model.board import Grain
from laminature.model.drawing import Drawing
from laminature.model.guide import Page, Tile
from laminature.model.words import Words
from laminature.pipeline.build import Build
from laminature.pipeline.reading import guide_words
from laminature.writers.guide import TILE
from laminature.writers.prose import counted
from laminature.writers.svg import svg

Array = NDArray[np.float64]
#: What the introduction of the templates takes of their first page, mm: more, but no squares stand below.
INTRODUCTION = 70.0
#: Paper around what is cut, on templates, mm.
EDGE = 2.0


@dataclass(frozen=True)
class OfSheet:
    """What tiles of a sheet tell: labels of the layers that are cut mirrored, and how the grain runs."""

    mirrored: Mapping[tuple[str, int], str]
    grain: Grain


def of_sheets(build: Build) -> dict[str, OfSheet]:
    """What is told of each sheet on its tiles, by the sheet's name."""
    labels = {(x.part, x.index): x.label for x in build.sheet_layers}
    return {
        sheet.name: OfSheet(
            {(p.part, p.layer): labels[p.part, p.layer] for p in sheet.placements if p.mirrored},
            grain_of(sheet, build.boards[sheet.board]),
        )
        for sheet in build.sheets
    }


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


def tiles(
    templates: Sequence[Drawing], words: Words, sheets: Mapping[str, OfSheet] = MappingProxyType({})
) -> Iterator[Tile]:
    """Parts of each template that fit on paper, from where its cuts begin; empty ones are left out.

    They lie across where that makes fewer. ``sheets`` tell of those templates that are sheets, by name.
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
            of = sheets.get(drawing.name)
            if of is None:
                yield Tile(number, x, float(drawing.height - y), label, turned)
                continue
            wide, high = TILE[::-1] if turned else TILE
            flipped = _within(drawing, of.mirrored, (x, y - high, x + wide, y))
            told = words.of("tile_mirrored", labels=counted(flipped)) if flipped else ""
            yield Tile(number, x, float(drawing.height - y), label, turned, told, of.grain)


def _within(
    drawing: Drawing, wanted: Mapping[tuple[str, int], str], box: tuple[float, float, float, float]
) -> list[str]:
    """The labels of layers whose outlines reach into a box, in the drawing's order."""
    found = []
    for stroke in drawing.strokes:
        cut = stroke.operation == "outline" and stroke.layer is not None
        label = wanted.get((stroke.part, stroke.layer or 0)) if cut else None
        if label is not None:
            (x0, y0), (x1, y1) = stroke.path.flattened.min(axis=0), stroke.path.flattened.max(axis=0)
            if x0 < box[2] and x1 > box[0] and y0 < box[3] and y1 > box[1]:
                found.append(label)
    return found


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
