"""The map of a sheet, for the bench: every layer named, what is cut mirrored, what falls out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from laminature.drawings.grain import grain_arrow, grain_of
from laminature.drawings.kept import dashes, kept_strokes
from laminature.drawings.labels import Spots, spot_for, spot_on_sheet
from laminature.drawings.leaders import Tag, tagged
from laminature.drawings.placed import Placed, border_paths, moved, placed_layers, shrunk
from laminature.drawings.words import wrapped
from laminature.geometry.flat import Flat, Shape, rectangle
from laminature.geometry.lettering import shortened, text_paths, text_width
from laminature.geometry.path import Path, Point, circle, polyline
from laminature.geometry.room import hatched, room_for, without_boxes
from laminature.model.board import Board
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.layer import Layer
from laminature.model.offcut import Remainder
from laminature.model.sheet import Sheet

#: ISO 216 A4, mm; what is drawn also fits on 8½ × 11 in paper.
PAGE = (210.0, 297.0)
MARGIN = 14.0
#: Columns for labels at both sides, and bands for title and legend, mm.
COLUMN = 20.0
HEAD = 16.0
FOOT = 42.0
LINE = 5.6
#: Heights of letters, mm.
LABELS = (2.6, 2.2, 1.9)
#: And of those of small pieces in a frame, where they stand under them.
SMALL_LABELS = (1.6, 1.3)
BODY = 2.3
NUMBERS = (1.6, 1.3)
Box = tuple[float, float, float, float]
#: Radius of the small ring at a bridge, mm.
RING = 0.35
#: Lines of hatching, mm apart.
HATCH = 1.6
#: Of more small shapes with one label than this only one is labelled, with their number.
MANY = 4


def map_drawing(
    sheet: Sheet,
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    order: Sequence[str] = (),
    remainders: Sequence[Remainder] = (),
) -> Drawing:
    """A page that tells what lies where on ``sheet``, drawn as large as an A4 page allows.

    Hatched layers are cut mirrored, seen from below; a star marks a layer that carries no label; a cross
    marks what falls out. ``order`` holds the names of outlines in the order of cutting, told by small numbers
    in rings. ``remainders`` are drawn dashed, with the name and size of each. Labels that do not fit stand
    beside their layer or beside the sheet, with a leader.
    Raises KeyError for a layer or board that is not given.
    """
    wide = sheet.width > sheet.height
    width, height = (PAGE[1], PAGE[0]) if wide else PAGE
    room_w, room_h = width - 2 * (MARGIN + COLUMN), height - 2 * MARGIN - HEAD - _foot(bool(remainders))
    factor = min(1.0, room_w / sheet.width, room_h / sheet.height)
    origin = ((width - factor * sheet.width) / 2.0, height - MARGIN - HEAD - factor * sheet.height)
    frame = rectangle(*origin, origin[0] + factor * sheet.width, origin[1] + factor * sheet.height)
    placed = placed_layers(sheet, layers)
    border = frame if sheet.outline is None else shrunk(sheet.outline, factor, origin)
    strokes = [Stroke("notes", path, name) for name, path in border_paths(border)]
    texts: list[Text] = []
    far: list[Tag] = []
    alike: dict[str, list[int]] = {}
    starred: list[Placed] = []
    spots: Spots = {}
    shapes = [shrunk(one.flat, factor, origin) for one in placed]
    frames = [Flat(s.exterior) for one, s in zip(placed, shapes, strict=True) if one.layer.role == "frame"]
    # Where no label of a piece in a frame may stand: on pieces, on the frame's border, on other labels.
    taken: list[Shape] = [
        s.exterior if one.layer.role == "frame" else s for one, s in zip(placed, shapes, strict=True)
    ]
    numbers = {name: n for n, name in enumerate(order, start=1)}
    for one, shape in zip(placed, shapes, strict=True):
        label = one.layer.label + ("+" if one.layer.role == "spare" else "")
        frame_only = one.layer.role == "frame"
        if not frame_only and spot_on_sheet(one, spots) is None:
            starred.append(one)
            label += "*"
        to = (((factor, 0.0), (0.0, factor)), origin)
        strokes += [
            Stroke("marking", one.outline.mapped(*to), f"{one.name}-outline"),
            *_numbered(f"{one.name}-opening", [o.mapped(*to) for o in one.openings]),
        ]
        strokes += _numbered(f"{one.name}-bridge", [circle(RING, moved(p, *to)) for p in one.bridges])
        if not frame_only:
            strokes += _falling(one, shape, [s for s in shapes if s is not shape])
        spot = spot_for(shape, label, sizes=LABELS)
        hatching = shape
        if spot is not None:
            strokes += [
                Stroke("marking", p, f"{one.name}-label-{n}", open=not p.closed)
                for n, p in enumerate(spot.strokes(label), start=1)
            ]
            hatching = without_boxes(shape, [spot.box(label)])
            taken.append(rectangle(*spot.box(label)))
            if one.name in numbers:
                ring, box = _ringed(one.name, str(numbers[one.name]), hatching)
                strokes += ring
                taken += [rectangle(*b) for b in box]
                hatching = without_boxes(hatching, box)
        else:
            number = f" ({numbers[one.name]})" if one.name in numbers else ""
            gathered = any(f.covers(shape) for f in frames)
            under = _under(shape, label, taken) if gathered else None
            if under is not None:
                texts.append(under[0])
                taken.append(under[1])
            else:
                far.append(Tag(label + number, shape))
                alike.setdefault(label, []).append(len(far) - 1)
        if one.mirrored:
            strokes += _numbered(f"{one.name}-hatch", hatched(hatching, HATCH))
    far = _counted(far, alike)
    kept = kept_strokes(remainders, factor, origin)
    strokes += kept
    leaders, tags = tagged(
        far, frame, shapes, top=height - MARGIN - HEAD, bottom=MARGIN + _foot(bool(remainders))
    )
    strokes += leaders
    head, titles = _head(sheet, boards[sheet.board], factor, width, height)
    strokes += head
    texts += [*titles, *tags]
    legend_strokes, legend_texts = _legend(placed, starred, width, bool(numbers), bool(remainders))
    return Drawing(
        f"{sheet.name}-map",
        width,
        height,
        (*strokes, *legend_strokes),
        (*texts, *legend_texts),
        f"Map of {sheet.name}",
    )


def _foot(kept: bool) -> float:
    """Height of the legend's band, mm: offcuts take a line of it."""
    return FOOT + (LINE if kept else 0.0)


def _counted(far: Sequence[Tag], alike: Mapping[str, Sequence[int]]) -> list[Tag]:
    """The labels beside their shapes; of many alike, such as washers, only the first, with their number."""
    many = {label: mine for label, mine in alike.items() if len(mine) > MANY}
    dropped = {k for mine in many.values() for k in mine[1:]}
    firsts = {mine[0]: f"{label} ×{len(mine)}" for label, mine in many.items()}
    return [Tag(firsts.get(k, tag.text), tag.shape) for k, tag in enumerate(far) if k not in dropped]


def _straight(shape: Flat) -> Path:
    """The border of a polygon without curves."""
    return polyline(shape.exterior.coords[:-1])


def _falling(one: Placed, shape: Flat, others: Sequence[Flat]) -> list[Stroke]:
    """A cross in every opening of ``shape`` whose board falls out."""
    strokes: list[Stroke] = []
    for n, ring in enumerate(shape.interiors, start=1):
        hole = Flat(ring)
        for other in others:
            if other.intersects(hole):
                hole = hole.difference(Flat(other.exterior))
        at = room_for(hole, 1.6, 1.6, 0.2)
        if at is not None:
            strokes += _numbered(f"{one.name}-falls-{n}", _cross(at, 0.8))
    return strokes


def _ringed(name: str, number: str, room: Shape) -> tuple[list[Stroke], list[Box]]:
    """A number in a ring, and the room it takes; nothing where the shape has no room for it."""
    for size in NUMBERS:
        radius = math.hypot(text_width(number, size), size) / 2.0 + 0.4
        at = room_for(room, 2.0 * radius, 2.0 * radius, 0.2)
        if at is not None:
            x, y = at
            paths = (circle(radius, at), *text_paths(number, size, (x, y - size / 2.0), "middle"))
            return _numbered(f"{name}-order", paths), [(x - radius, y - radius, x + radius, y + radius)]
    return [], []


def _under(shape: Flat, label: str, taken: Sequence[Shape]) -> tuple[Text, Flat] | None:
    """The label of a piece in a frame just under it, and the room it takes; None where there is none."""
    x0, y0, x1, _ = shape.bounds
    x = (x0 + x1) / 2.0
    for size in SMALL_LABELS:
        half, y = text_width(label, size) / 2.0 + 0.4, y0 - 0.35 - size
        room = rectangle(x - half, y - 0.2, x + half, y + size + 0.2)
        if not any(room.intersects(other) for other in taken):
            return Text(label, x, y, size, "middle"), room
    return None


def _cross(at: Point, half: float) -> tuple[Path, ...]:
    x, y = at
    return (
        polyline([(x - half, y - half), (x + half, y + half)], closed=False),
        polyline([(x - half, y + half), (x + half, y - half)], closed=False),
    )


def _numbered(name: str, paths: Sequence[Path]) -> list[Stroke]:
    operation = "notes" if name.endswith("hatch") else "marking"
    return [
        Stroke(operation, p, f"{name}-{n}", open=not p.closed)  # type: ignore[arg-type]
        for n, p in enumerate(paths, start=1)
    ]


def _head(
    sheet: Sheet, board: Board, factor: float, width: float, height: float
) -> tuple[list[Stroke], list[Text]]:
    size = f"{round(sheet.width, 1):g} × {round(sheet.height, 1):g} mm"
    runs = grain_of(sheet, board)
    grain = {"x": " · grain from left to right", "y": " · grain from bottom to top", "none": ""}[runs]
    drawn = "true size" if factor == 1.0 else f"drawn at {100 * factor:.0f} % of its size"
    line = f"{board.title} · {size}{grain} · {drawn}"
    room = width - 2 * MARGIN - 18.0
    arrow = grain_arrow(runs, (width - MARGIN - 7.0, height - MARGIN - 10.0), 14.0 if runs == "x" else 7.0)
    strokes = [Stroke("marking", p, f"grain-{n}", open=True) for n, p in enumerate(arrow, start=1)]
    return strokes, [
        Text(
            shortened(f"Map of {sheet.name}{_offcut(sheet)}", 5.0, room - 32.0),
            MARGIN,
            height - MARGIN - 5.0,
            5.0,
        ),
        Text("for the bench, not for cutting", width - MARGIN, height - MARGIN - 5.0, BODY, "end"),
        Text(shortened(line, BODY, room), MARGIN, height - MARGIN - 11.0, BODY),
    ]


def _offcut(sheet: Sheet) -> str:
    return f", your offcut {sheet.offcut}" if sheet.offcut else ""


def _legend(
    placed: Sequence[Placed], starred: Sequence[Placed], width: float, numbered: bool, kept: bool
) -> tuple[list[Stroke], list[Text]]:
    strokes: list[Stroke] = []
    lines: list[str] = []
    mirrored = [one for one in placed if one.mirrored]
    samples: list[tuple[str, str]] = [
        ("plain", "keep: cut as seen from above; B3 is part B, third layer from below")
    ]
    if mirrored:
        samples.append(("hatched", "keep: cut mirrored, seen from below; turn it over before gluing"))
    if any(one.openings for one in placed):
        samples.append(("cross", "falls out: set it aside (slots too small for a cross fall out as well)"))
    if kept:
        samples.append(("dashed", "an offcut: part it by hand when all is cut, and write its name on it"))
    texts: list[Text] = []
    y = MARGIN + _foot(kept) - 8.0
    for kind, words in samples:
        box = rectangle(MARGIN, y, MARGIN + 7.0, y + 4.0)
        if kind == "dashed":
            middle = ((MARGIN, y + 2.0), (MARGIN + 7.0, y + 2.0))
            strokes += _numbered(f"legend-{kind}", dashes(*middle))
        else:
            strokes.append(Stroke("marking", _straight(box), f"legend-{kind}"))
        if kind == "hatched":
            strokes += _numbered(f"legend-{kind}-hatch", hatched(box, HATCH))
        if kind == "cross":
            strokes += _numbered(f"legend-{kind}", _cross((MARGIN + 3.5, y + 2.0), 0.8))
        texts.append(Text(words, MARGIN + 9.5, y + 0.9, BODY))
        y -= LINE
    if numbered:
        lines.append("Numbers in rings, or in brackets beside a label, say the order of cutting.")
    if mirrored:
        lines += wrapped("Cut mirrored: " + _named(mirrored), width - 2 * MARGIN, 2)
    if starred:
        words = "* No label, as both faces show or the layer is too small; keep it with a slip of paper: "
        lines += wrapped(words + _named(starred), width - 2 * MARGIN, 3)
    lines += _small(placed, width - 2 * MARGIN)
    for line in lines:
        texts.append(Text(line, MARGIN, y + 0.9, BODY))
        y -= 4.0
    return strokes, texts


def _small(placed: Sequence[Placed], width: float) -> list[str]:
    """What is said of pieces on bridges, and of spares."""
    bridged = [one for one in placed if one.bridges]
    spare = [one for one in placed if one.layer.role == "spare"]
    lines = []
    if bridged:
        words = "Held by bridges (small rings), cut them with a knife: "
        lines += wrapped(words + _named(bridged), width, 2)
    if spare:
        lines += wrapped("Spare (+), counted in no stack: " + _named(spare), width, 2)
    return lines


def _named(placed: Sequence[Placed]) -> str:
    """Labels in the order of the sheet, alike ones counted: ``B4 ×2, C1``."""
    count: dict[str, int] = {}
    for one in placed:
        if one.placement.piece == 0:
            count[one.layer.label] = count.get(one.layer.label, 0) + 1
    return ", ".join(label if n == 1 else f"{label} ×{n}" for label, n in count.items())
