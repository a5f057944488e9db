"""The sheets of a build for the page: what lies where, in which order it is cut, and what is left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from laminature.drawings.grain import grain_of
from laminature.drawings.labels import spot_for
from laminature.drawings.placed import Placed, border_paths, placed_layers, turning
from laminature.errors import BuildError
from laminature.geometry.flat import Flat, mapped
from laminature.geometry.path import Path, Point
from laminature.model.drawing import Drawing
from laminature.model.sheet import Placement, Sheet
from laminature.pipeline.build import Build
from laminature.sheets.route import Route
from laminature.writers.svg import path_data

#: Heights of labels, mm, the largest that fits; the last is taken where none does.
_SIZES = (4.0, 3.0, 2.3, 1.6, 1.2)
_DEGREES = {"x": 0.0, "y": 90.0, "none": None}


def sheets(build: Build) -> dict[str, Any]:
    """Every sheet with its strokes and labels, the use of each board, and the remainders worth keeping.

    Lengths are mm, y runs downwards. Where a beam is too wide for what it has to cut, the sheets are shown
    as they are meant, so that the places can be seen. Raises BuildError where a layer fits on no sheet.
    """
    try:
        drawings = build.drawings
    except BuildError:
        if build.design.cutting.kerf == 0.0:
            raise
        build = _as_meant(build)
        drawings = build.drawings
    shown = []
    areas: dict[str, list[tuple[float, float]]] = {}
    for sheet, drawing, route in zip(build.sheets, drawings, build.routes, strict=True):
        placed = placed_layers(sheet, build.sheet_layers)
        whole = float(sheet.width * sheet.height if sheet.outline is None else sheet.outline.area)
        used = sum(float(one.flat.area) for one in placed if one.layer.role != "frame")
        areas.setdefault(sheet.board, []).append((used, whole))
        shown.append(
            _sheet(build, sheet, drawing, route, placed) | {"used": used / whole, "left": 1.0 - used / whole}
        )
    return {
        "sheets": shown,
        "boards": [_board(build, name, of) for name, of in areas.items()],
        "remainders": _remainders(build),
    }


def _as_meant(build: Build) -> Build:
    """The same without a kerf."""
    design = build.design
    return Build(
        replace(design, cutting=replace(design.cutting, kerf=0.0)),
        memory=build.memory,
        offcuts=build.offcuts,
        kept=build.kept,
        keep=build.keep,
        first_offcut=build.first_offcut,
        rates=build.rates,
    )


def _sheet(
    build: Build, sheet: Sheet, drawing: Drawing, route: Route, placed: Sequence[Placed]
) -> dict[str, Any]:
    height = sheet.height
    order: dict[str, int] = {}
    for stroke in route.strokes:
        if stroke.operation in ("outline", "opening"):
            order.setdefault(stroke.whole, len(order) + 1)
    strokes, labels, layers, drops = [], [], [], []
    for one, at_place in zip(placed, sheet.placements, strict=True):
        layer = one.layer
        holes = [(f"{one.name}-{n}", path) for n, path in enumerate(one.openings, start=1)]
        falls = [_inside(Flat(ring)) for ring in one.flat.interiors] if one.openings else []
        drops += falls
        for op, name, path in [("outline", one.name, one.outline), *(("opening", *hole) for hole in holes)]:
            strokes.append(
                {
                    "op": op,
                    "d": path_data(path, height),
                    "name": name,
                    "part": layer.of,
                    "layer": layer.index,
                    "order": order.get(name, 0),
                    "at": _down(path.start, height),
                }
            )
        text = layer.label + ("+" if layer.role == "spare" else "")
        spot = spot_for(one.flat, text, one.marks, _SIZES)
        at = _inside(one.flat) if spot is None else spot.at
        if layer.role != "frame":
            labels.append(
                {
                    "text": text,
                    "letter": layer.letter,
                    "part": layer.of,
                    "layer": layer.index,
                    "at": _down(at, height),
                    "size": _SIZES[-1] if spot is None else spot.size,
                }
            )
        layers.append(
            {
                "id": one.name,
                "label": text,
                "part": layer.of,
                "letter": layer.letter,
                "layer": layer.index,
                "mirrored": one.mirrored,
                "d": "".join(path_data(p, height) for p in (one.outline, *one.openings)),
                "at": _down(at, height),
                "drops": [_down(p, height) for p in falls],
                "to": _to(at_place, height),
                "order": order.get(one.name, 0),
            }
        )
    for stroke in drawing.strokes:
        # Labels are told as such, larger than they are marked on the board.
        if stroke.operation in ("score", "marking") and "-label-" not in stroke.name:
            strokes.append(
                {
                    "op": stroke.operation,
                    "d": path_data(stroke.path, height),
                    "name": stroke.name,
                    "part": stroke.part,
                    "layer": stroke.layer,
                    "order": 0,
                    "at": _down(stroke.path.start, height),
                }
            )
    board = build.boards[sheet.board]
    ways = [_down(s.path.start, height) for s in route.strokes if s.operation in ("outline", "opening")]
    return {
        "name": sheet.name,
        "title": drawing.title or sheet.name,
        "board": board.title,
        "width": sheet.width,
        "height": height,
        "outline": None if sheet.outline is None else border(sheet.outline, height),
        "offcut": sheet.offcut or None,
        "grain": _DEGREES[grain_of(sheet, board)],
        "strokes": strokes,
        "labels": labels,
        "layers": layers,
        "drops": [_down(p, height) for p in drops],
        "route": "M" + "L".join(f"{x:.2f} {y:.2f}" for x, y in ways) if ways else "",
        "facts": build.facts(sheet, route),
    }


def _board(build: Build, name: str, areas: Sequence[tuple[float, float]]) -> dict[str, Any]:
    used, whole = (sum(values) for values in zip(*areas, strict=True))
    count = len(areas)
    share = used / whole
    words = f"{count} sheet{'s' if count > 1 else ''}, {share:.0%} of {'them' if count > 1 else 'it'} used."
    return {
        "title": build.boards[name].title,
        "sheets": count,
        "used": share,
        "left": 1.0 - share,
        "words": words,
    }


def _remainders(build: Build) -> list[dict[str, Any]]:
    heights = {sheet.name: sheet.height for sheet in build.sheets}
    told = []
    for left in build.remainders:
        shape = mapped(left.offcut.outline, ((1.0, 0.0), (0.0, 1.0)), left.at)
        x0, y0, x1, y1 = shape.bounds
        fell = f", falls out of {left.fell_from}" if left.fell_from else ""
        told.append(
            {
                "title": left.offcut.name,
                "sheet": left.sheet,
                "d": border(shape, heights[left.sheet]),
                "words": f"{x1 - x0:.0f} × {y1 - y0:.0f} mm{fell}",
            }
        )
    return told


def border(shape: Flat, height: float) -> str:
    """The rings of a shape as path data, turned over from a frame with y upwards."""
    paths: list[Path] = [path for _, path in border_paths(shape)]
    return "".join(path_data(path, height) for path in paths)


def _inside(shape: Flat) -> Point:
    spot = shape.representative_point()
    return (float(spot.x), float(spot.y))


def _to(at: Placement, height: float) -> list[float]:
    """From the plane of a layer's part to the sheet as it is shown, as SVG's matrix(a b c d e f)."""
    (xx, xy), (yx, yy) = turning(at)
    return [round(v, 6) for v in (xx, -yx, xy, -yy, at.x, height - at.y)]


def _down(p: Point, height: float) -> list[float]:
    return [round(float(p[0]), 3), round(float(height - p[1]), 3)]
