"""The map of a sheet, for the bench: every layer named, what is cut mirrored, what falls out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from laminature.drawings.beside import AWAY, SIZE, Tag
from laminature.drawings.kept import kept_strokes
from laminature.drawings.labels import Spots, spot_for, spot_on_sheet
from laminature.drawings.leaders import tagged
from laminature.drawings.map_legend import HATCH, MARGIN, cross, foot, map_head, map_legend, numbered
from laminature.drawings.placed import Placed, border_paths, moved, placed_layers, shrunk
from laminature.geometry.flat import Flat, Shape, rectangle
from laminature.geometry.lettering import text_paths, text_width
from laminature.geometry.path import circle
from laminature.geometry.room import hatched, room_for, without_boxes
from laminature.model.board import Board
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.layer import Layer
from laminature.model.offcut import Remainder
from laminature.model.sheet import Sheet
from laminature.model.words import Words

#: ISO 216 A4, mm; what is drawn also fits on 8½ × 11 in paper.
PAGE = (210.0, 297.0)
#: Columns for labels at both sides, and the band for the title, mm.
COLUMN = 20.0
HEAD = 16.0
#: What printers leave white at an edge, mm (common practice, no source): labels may reach so far.
PRINTED = 6.0
#: From the sheet and its labels to the legend, mm.
GAP = 5.0
#: Heights of letters, mm.
LABELS = (2.6, 2.2, 1.9)
#: And of those of small pieces in a frame, where they stand under them.
SMALL_LABELS = (1.6, 1.3)
NUMBERS = (1.6, 1.3)
Box = tuple[float, float, float, float]
#: Radius of the small ring at a bridge, mm.
RING = 0.35
#: Of more small shapes with one label than this only one is labelled, with their number.
MANY = 4


def map_drawing(
    sheet: Sheet,
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    words: Words,
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
    placed = placed_layers(sheet, layers)
    numbers = {name: n for n, name in enumerate(order, start=1)}
    column = _column(placed, numbers)
    room_w, room_h = width - 2 * (MARGIN + column), height - 2 * MARGIN - HEAD - foot(remainders)
    factor = min(1.0, room_w / sheet.width, room_h / sheet.height)
    origin = ((width - factor * sheet.width) / 2.0, height - MARGIN - HEAD - factor * sheet.height)
    frame = rectangle(*origin, origin[0] + factor * sheet.width, origin[1] + factor * sheet.height)
    border = frame if sheet.outline is None else shrunk(sheet.outline, factor, origin)
    strokes = [Stroke("notes", path, name) for name, path in border_paths(border)]
    texts: list[Text] = []
    far: list[Tag] = []
    alike: dict[str, list[int]] = {}
    starred: list[Placed] = []
    spots: Spots = {}
    shapes = [shrunk(one.flat, factor, origin) for one in placed]
    frames = [Flat(s.exterior) for one, s in zip(placed, shapes, strict=True) if one.layer.role == "frame"]
    # What no leader may cross, and where no label of a piece in a frame may stand besides: on pieces, on the
    # frame's border.
    written: list[Shape] = []
    taken: list[Shape] = [
        s.exterior if one.layer.role == "frame" else s for one, s in zip(placed, shapes, strict=True)
    ]
    for one, shape in zip(placed, shapes, strict=True):
        label = one.layer.label + ("+" if one.layer.role == "spare" else "")
        frame_only = one.layer.role == "frame"
        if not frame_only and spot_on_sheet(one, spots) is None:
            starred.append(one)
            label += "*"
        to = (((factor, 0.0), (0.0, factor)), origin)
        strokes += [
            Stroke("marking", one.outline.mapped(*to), f"{one.name}-outline"),
            *numbered(f"{one.name}-opening", [o.mapped(*to) for o in one.openings]),
        ]
        strokes += numbered(f"{one.name}-bridge", [circle(RING, moved(p, *to)) for p in one.bridges])
        if not frame_only:
            crosses = _falling(one, shape, [s for s in shapes if s is not shape])
            strokes += crosses
            written += [rectangle(*_box(s)) for s in crosses]
        spot = spot_for(shape, label, sizes=LABELS)
        hatching = shape
        if spot is not None:
            strokes += [
                Stroke("marking", p, f"{one.name}-label-{n}", open=not p.closed)
                for n, p in enumerate(spot.strokes(label), start=1)
            ]
            hatching = without_boxes(shape, [spot.box(label)])
            written.append(rectangle(*spot.box(label)))
            if one.name in numbers:
                ring, box = _ringed(one.name, str(numbers[one.name]), hatching)
                strokes += ring
                written += [rectangle(*b) for b in box]
                hatching = without_boxes(hatching, box)
        else:
            number = f" ({numbers[one.name]})" if one.name in numbers else ""
            gathered = any(f.covers(shape) for f in frames)
            under = _under(shape, label, [*taken, *written]) if gathered else None
            if under is not None:
                texts.append(under[0])
                written.append(under[1])
            else:
                far.append(Tag(label + number, shape))
                alike.setdefault(label, []).append(len(far) - 1)
        if one.mirrored:
            strokes += numbered(f"{one.name}-hatch", hatched(hatching, HATCH))
    far = _counted(far, alike)
    kept, names = kept_strokes(remainders, factor, origin)
    strokes += kept
    lowest = MARGIN + foot(remainders)
    leaders, tags = tagged(far, frame, shapes, [*written, *names], top=height - MARGIN - HEAD, bottom=lowest)
    strokes += leaders
    head, titles = map_head(sheet, boards[sheet.board], factor, (width, height), words)
    strokes += head
    texts += [*titles, *tags]
    below = max(lowest, min([origin[1], *(t.y for t in tags)]) - GAP)
    legend_strokes, legend_texts = map_legend(placed, starred, (width, below), order, remainders, words)
    return Drawing(
        f"{sheet.name}-map",
        width,
        height,
        (*strokes, *legend_strokes),
        (*texts, *legend_texts),
        words.of("map_title", sheet=sheet.name),
    )


def _column(placed: Sequence[Placed], numbers: Mapping[str, int]) -> float:
    """Room at both sides for the longest label that may stand there, with its number."""
    longest = (f"{one.layer.label}+* ({numbers.get(one.name, '')})" for one in placed)
    wanted = max((text_width(text, SIZE) for text in longest), default=0.0) + AWAY
    return max(COLUMN, wanted - (MARGIN - PRINTED))


def _counted(far: Sequence[Tag], alike: Mapping[str, Sequence[int]]) -> list[Tag]:
    """The labels beside their shapes; of many alike, such as washers, only the first, with their number."""
    many = {label: mine for label, mine in alike.items() if len(mine) > MANY}
    dropped = {k for mine in many.values() for k in mine[1:]}
    firsts = {mine[0]: f"{label} ×{len(mine)}" for label, mine in many.items()}
    return [Tag(firsts.get(k, tag.text), tag.shape) for k, tag in enumerate(far) if k not in dropped]


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
            strokes += numbered(f"{one.name}-falls-{n}", cross(at, 0.8))
    return strokes


def _box(stroke: Stroke) -> Box:
    (x0, y0), (x1, y1) = stroke.path.flattened.min(axis=0), stroke.path.flattened.max(axis=0)
    return (float(x0), float(y0), float(x1), float(y1))


def _ringed(name: str, number: str, room: Shape) -> tuple[list[Stroke], list[Box]]:
    """A number in a ring, and the room it takes; nothing where the shape has no room for it."""
    for size in NUMBERS:
        radius = math.hypot(text_width(number, size), size) / 2.0 + 0.4
        at = room_for(room, 2.0 * radius, 2.0 * radius, 0.2)
        if at is not None:
            x, y = at
            paths = (circle(radius, at), *text_paths(number, size, (x, y - size / 2.0), "middle"))
            return numbered(f"{name}-order", paths), [(x - radius, y - radius, x + radius, y + radius)]
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
