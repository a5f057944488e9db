"""Drawings of a cushion: batting to cut, the cloth as it is marked, and the order of the stitches."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from laminature.drawings.grain import grain_arrow
from laminature.drawings.numbers import numbers_beside
from laminature.drawings.squares import measuring_squares
from laminature.drawings.words import BODY, wrapped
from laminature.geometry.lettering import text_width
from laminature.geometry.path import Path, Point, circle, polyline
from laminature.model.cushion import Cloth, Fold, Upholstery
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.words import Words

#: Board round a batting outline, mm.
AROUND = 5.0
#: ISO 216 A4, mm: the least page of a template. Larger cloth gets a larger page.
PAGE = (210.0, 297.0)
#: Around what is drawn, and below it: paper that is shorter than A4 still holds all of it.
MARGIN, BOTTOM = 15.0, 25.0
HEAD = 20.0
FOOT = 30.0
#: Half the arms of a cross that marks a button, mm.
ARM = 1.0
#: A chart is drawn at most this much larger than the cushion.
LARGEST = 6.0


def batting_drawings(made: Upholstery, words: Words) -> tuple[Drawing, ...]:
    """One drawing for each layer of batting, true size, in the order of gluing."""
    found = []
    many = len(made.batting.outlines)
    for n, region in enumerate(made.batting.outlines, start=1):
        x0, y0, x1, y1 = region.bounds
        shift = (AROUND - x0, AROUND - y0)
        name = f"batting-{n}"
        size = 2.4
        strokes = [Stroke("outline", _moved(region.outline, shift), name)]
        strokes += [
            Stroke("opening", _moved(o, shift), f"{name}-{k}") for k, o in enumerate(region.openings, start=1)
        ]
        count = words.of("one_of", n=str(n), all=str(many))
        width, height = x1 - x0 + 2.0 * AROUND, y1 - y0 + 2.0 * AROUND
        texts: tuple[Text, ...] = (Text(count, width / 2.0, height / 2.0 - size / 2.0, size, "middle"),)
        if text_width(count, size) > x1 - x0 - 2.0:
            texts = ()
        thickness = f"{made.batting.thickness:g}"
        title = words.of(
            "batting_drawing", name=made.name.capitalize(), n=str(n), all=str(many), thickness=thickness
        )
        found.append(Drawing(name, width, height, tuple(strokes), texts, title))
    return tuple(found)


def cloth_drawing(made: Upholstery, words: Words) -> Drawing:
    """The cloth at true size on a page: cut line, panel's edge, marks, folds, centre lines and the warp."""
    cloth = made.cloth
    points = cloth.cut.flattened
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    width = max(PAGE[0], x1 - x0 + 2.0 * MARGIN)
    height = max(PAGE[1], y1 - y0 + HEAD + FOOT + MARGIN + BOTTOM)
    shift = (width / 2.0 - (x0 + x1) / 2.0, height - MARGIN - HEAD - y1)
    strokes = [
        Stroke("outline", _moved(cloth.cut, shift), "cloth"),
        Stroke("score", _moved(cloth.edge, shift), "panel-edge"),
        *_centre_lines((x0, y0, x1, y1), shift),
        *_marks(cloth.marks, shift),
        *_folds(cloth, shift),
    ]
    wide, high = (f"{v:.0f}" for v in cloth.buy)
    told = [
        words.of("cloth_cut", width=wide, height=high),
        words.of("cloth_lines") + (" " + words.of("cloth_folds") if cloth.folds else ""),
    ]
    name = words.of("cloth_drawing", name=made.name.capitalize())
    warp = (words.of("warp"), (width - MARGIN - 7.0, height - MARGIN - 8.0))
    return _page("cloth", name, width, height, strokes, told, warp)


def stitch_charts(made: Upholstery, words: Words) -> tuple[Drawing, ...]:
    """The order of the buttons, seen from the front and, mirrored, from the back; none without buttons."""
    if not made.buttoning.points:
        return ()
    return tuple(_chart(made, side, words) for side in ("front", "back"))


def _chart(made: Upholstery, side: str, words: Words) -> Drawing:
    x0, y0, x1, y1 = made.outline.bounds
    room = (PAGE[0] - 2.0 * MARGIN, PAGE[1] - HEAD - FOOT - MARGIN - BOTTOM)
    factor = min(LARGEST, room[0] / (x1 - x0), room[1] / (y1 - y0))
    flip = -1.0 if side == "back" else 1.0
    matrix = ((factor * flip, 0.0), (0.0, factor))
    middle = (x0 + x1) / 2.0
    shift = (PAGE[0] / 2.0 - factor * flip * middle, PAGE[1] - MARGIN - HEAD - factor * y1)

    def at(p: Point) -> Point:
        return (factor * flip * p[0] + shift[0], factor * p[1] + shift[1])

    strokes = [Stroke("outline", made.outline.outline.mapped(matrix, shift), "panel")]
    ways: list[tuple[Point, Point]] = []
    points, order = made.buttoning.points, made.stitching.order
    radius = max(1.2, made.stitching.bead / 2.0 * factor)
    starts = {first for first, _, _ in made.stitching.needlefuls}
    for n, k in enumerate(order):
        x, y = at(points[k])
        strokes.append(Stroke("marking", circle(radius, (x, y)), f"button-{n + 1}"))
        if n in starts:
            strokes.append(Stroke("marking", circle(radius + 0.7, (x, y)), f"start-{n + 1}"))
        if n > 0 and n not in starts:
            ways.append((at(points[order[n - 1]]), (x, y)))
            line = _between(*ways[-1], radius + 0.5)
            if line is not None:
                strokes.append(Stroke("score", line, f"way-{n}", open=True))
    rings = [(at(points[k]), radius + (0.7 if n in starts else 0.0)) for n, k in enumerate(order)]
    texts = numbers_beside(rings, ways)
    told = [
        words.of(f"chart_{side}_about", share=f"{100 * factor:.0f}"),
        words.of(
            "chart_thread",
            lengths=words.some("length", len(made.stitching.needlefuls)),
            thread=f"{made.stitching.thread:.0f}",
            bead=f"{made.stitching.bead:g}",
        ),
    ]
    title = words.of(f"chart_{side}", name=made.name.capitalize())
    return _page(f"buttons-{side}", title, *PAGE, strokes, told, None, texts, squares=False)


def _page(
    name: str,
    title: str,
    width: float,
    height: float,
    strokes: Iterable[Stroke],
    words: Sequence[str],
    warp: tuple[str, Point] | None,
    texts: Sequence[Text] = (),
    squares: bool = True,
) -> Drawing:
    drawn = list(strokes)
    written = [Text(title, MARGIN, height - MARGIN - 5.0, 5.0), *texts]
    # Right below what is drawn, so that the page's foot is free.
    low = min(float(s.path.flattened[:, 1].min()) for s in drawn)
    y = max(BOTTOM + FOOT, low - 4.0) - 4.0
    room = width - 2.0 * MARGIN - (65.0 if squares else 0.0)
    for line in (part for text in words for part in wrapped(text, room, 4)):
        written.append(Text(line, MARGIN, y, BODY))
        y -= 4.2
    if squares:
        squared, labels = measuring_squares(width - MARGIN - 30.0, y + 4.0 - FOOT, -30.0)
        drawn += squared
        written += labels
    if warp is not None:
        label, (x, y) = warp
        drawn += [
            Stroke("notes", p, f"warp-{n}", open=True)
            for n, p in enumerate(grain_arrow("y", (x, y)), start=1)
        ]
        written.append(Text(label, x - 3.0, y - 1.0, BODY, "end"))
    return Drawing(name, width, height, tuple(drawn), tuple(written), title)


def _centre_lines(bounds: tuple[float, float, float, float], shift: Point) -> list[Stroke]:
    x0, y0, x1, y1 = bounds
    lines = [[(0.0, y0), (0.0, y1)], [(x0, 0.0), (x1, 0.0)]]
    return [
        Stroke(
            "notes",
            polyline([(x + shift[0], y + shift[1]) for x, y in line], closed=False),
            f"centre-{n}",
            open=True,
        )
        for n, line in enumerate(lines, start=1)
    ]


def _marks(points: Sequence[Point], shift: Point) -> list[Stroke]:
    strokes = []
    for n, (px, py) in enumerate(points, start=1):
        x, y = px + shift[0], py + shift[1]
        for k, (dx, dy) in enumerate(((ARM, 0.0), (0.0, ARM)), start=1):
            arm = polyline([(x - dx, y - dy), (x + dx, y + dy)], closed=False)
            strokes.append(Stroke("marking", arm, f"mark-{n}-{k}", open=True))
    return strokes


def _folds(cloth: Cloth, shift: Point) -> list[Stroke]:
    strokes = []
    for n, fold in enumerate(cloth.folds, start=1):
        a, b = _shifted(fold.start, shift), _shifted(fold.end, shift)
        line = _between(a, b, ARM + 0.4)
        if line is not None:
            strokes.append(Stroke("marking", line, f"fold-{n}", open=True))
            strokes.append(Stroke("marking", _tick(a, b, fold), f"fold-{n}-tick", open=True))
    for n, (start, end) in enumerate(cloth.corners, start=1):
        line = polyline([_shifted(start, shift), _shifted(end, shift)], closed=False)
        strokes.append(Stroke("marking", line, f"corner-{n}", open=True))
    return strokes


def _tick(a: Point, b: Point, fold: Fold) -> Path:
    """A short line from the fold's middle towards the side to which it opens."""
    x, y = (a[0] + b[0]) / 2.0, (a[1] + b[1]) / 2.0
    return polyline([(x, y), (x + 1.2 * fold.towards[0], y + 1.2 * fold.towards[1])], closed=False)


def _between(a: Point, b: Point, off: float) -> Path | None:
    """The line from ``a`` to ``b``, shorter by ``off`` mm at both ends; None where nothing is left."""
    long = math.dist(a, b)
    if long <= 2.0 * off + 0.2:
        return None
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    return polyline([(a[0] + off * ux, a[1] + off * uy), (b[0] - off * ux, b[1] - off * uy)], closed=False)


def _moved(path: Path, shift: Point) -> Path:
    return path.mapped(((1.0, 0.0), (0.0, 1.0)), shift)


def _shifted(p: Point, shift: Point) -> Point:
    return (p[0] + shift[0], p[1] + shift[1])
