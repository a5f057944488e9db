"""How the layers of a part lie on each other: fanned apart, from the first below to the last on top."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.bodies import Body
from laminature.drawings.hidden import see
from laminature.drawings.labels import spot_for
from laminature.drawings.looking import looking
from laminature.drawings.page import Page, wide_for
from laminature.geometry.flat import mapped
from laminature.geometry.lettering import text_width
from laminature.geometry.outer import outer
from laminature.geometry.path import Path, polyline
from laminature.geometry.pose import Pose, turned
from laminature.geometry.solid import Slab
from laminature.geometry.visible import View
from laminature.model.drawing import Drawing, Text
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.words import Words

Array = NDArray[np.float64]

#: From where layers are looked at, degrees.
VIEW = (-28.0, 30.0)
#: Layers are this far apart on the page, mm: a share of a layer's own height as seen, within these bounds.
CLOSEST, WIDEST, SHARE = 6.0, 20.0, 0.55
#: Layers are drawn at most so many times as large as they are.
MOST = 3.0
#: Height of capitals of notes, from a layer to its note, and the border, mm.
LETTERS, AWAY, BORDER = 2.4, 4.0, 2.5
#: Heights of the capitals drawn on a layer, mm at miniature scale, largest first.
ON_LAYER = (4.0, 3.0, 2.2, 1.6)


def stack_diagram(
    part: Part,
    layers: Sequence[Layer],
    words: Words,
    *,
    room: tuple[float, float] = (90.0, 80.0),
) -> Drawing:
    """The layers of ``part`` in their order, one over the other, each with its label and how it lies.

    Labels are drawn on the layers too: grey and seen through where they are on the lower face. A face that is
    glued on last is tinted. Raises KeyError for a part without layers.
    """
    mine = sorted(
        (x for x in layers if x.part == part.name and x.role in ("layer", "key", "cushion")),
        key=lambda x: x.index,
    )
    if not mine:
        raise KeyError(part.name)
    notes = [_note(x, mine, words) for x in mine]
    column = max(text_width(n, LETTERS) for n in notes) + AWAY + 2.0
    x0, y0, x1, y1 = part.outline.bounds
    turn = turned((0.0, 0.0, 1.0), -90.0) if y1 - y0 > x1 - x0 else Pose()
    look = looking(*VIEW)
    flat = look.flat(turn.to_piece(_corners(mine)))
    size = np.ptp(flat, axis=0)
    between, factor = _fitted(size, room, column, len(mine))
    lift = between / factor / float(look.up[2])
    every = [_plate(x, turn, k * lift) for k, x in enumerate(mine)]
    seen = see(every, look, ways=_corner_lines(flat, lift, turn, mine))
    width = factor * float(size[0]) + column + 2.0 * BORDER
    height = factor * float(size[1]) + between * (len(mine) - 1) + 2.0 * BORDER
    low = flat.min(axis=0)
    shift = (BORDER - factor * float(low[0]), BORDER - factor * float(low[1]))
    page = Page(width, height, factor, shift, wide_for(width, height))
    page.show(seen, lambda n: every[n].tone)
    _notes(page, notes, every, look)
    return page.done(f"stack-{part.letter or part.name}", part.title)


def _fitted(size: Array, room: tuple[float, float], column: float, count: int) -> tuple[float, float]:
    """How far layers are apart on the page and how large they are drawn, so that all has room."""
    wide = (room[0] - column - 2.0 * BORDER) / float(size[0])
    factor = min(MOST, max(0.2, wide))
    for _ in range(40):
        between = min(WIDEST, max(CLOSEST, SHARE * factor * float(size[1])))
        if factor * float(size[1]) + between * (count - 1) + 2.0 * BORDER <= room[1]:
            break
        factor *= 0.93
    return between, factor


def _plate(layer: Layer, turn: Pose, lift: float) -> Body:
    """One layer as a body of its own, its label on it."""
    skin = outer((Slab(layer.regions, layer.lower, layer.upper),))
    pose = Pose((0.0, 0.0, lift)).then(turn)
    marks = _label(layer, turn, lift)
    faint = layer.label_face == "lower"
    return Body(layer.label, layer.letter, skin, pose, "new" if layer.last else "card", marks, faint)


def _label(layer: Layer, turn: Pose, lift: float) -> Array | None:
    """The strokes of the label on the upper face; mirrored where it is written on the lower one."""
    mirror = layer.label_face == "lower"
    matrix = (
        (float(turn.matrix[0, 0]), float(turn.matrix[0, 1])),
        (float(turn.matrix[1, 0]), float(turn.matrix[1, 1])),
    )
    if layer.label_face is None or not layer.regions:
        return None
    placed = mapped(layer.regions[0], matrix)
    if mirror:
        placed = mapped(placed, ((-1.0, 0.0), (0.0, 1.0)))
    spot = spot_for(placed, layer.label, (), ON_LAYER)
    if spot is None:
        return None
    strokes = [_raised(p, layer.upper + lift, mirror) for p in spot.strokes(layer.label)]
    return np.concatenate(strokes)


def _raised(path: Path, height: float, mirror: bool) -> Array:
    points = path.flatten(0.02)
    if path.closed:
        points = np.concatenate([points, points[:1]])
    if mirror:
        points = points * np.array([-1.0, 1.0])
    lines = np.stack([points[:-1], points[1:]], axis=1)
    return np.concatenate([lines, np.full((len(lines), 2, 1), height)], axis=2)


def _corner_lines(flat: Array, lift: float, turn: Pose, layers: Sequence[Layer]) -> Array:
    """Chain lines from layer to layer at the corners that are furthest left and right as seen."""
    corners = turn.to_piece(_corners(layers))
    found = []
    for k in (int(np.argmin(flat[:, 0])), int(np.argmax(flat[:, 0]))):
        x, y, _ = corners[k]
        for low, high, n in zip(layers, layers[1:], range(len(layers)), strict=False):
            found.append([(x, y, low.upper + n * lift), (x, y, high.lower + (n + 1) * lift)])
    return np.array(found, dtype=float).reshape(-1, 2, 3)


def _corners(layers: Sequence[Layer]) -> Array:
    """The corners of the lowest layer on its lower face and of the others as flat, (n, 3)."""
    rings = [np.asarray(f.exterior.coords)[:, :2] for x in layers for f in x.regions]
    plane = np.concatenate(rings)
    low, high = layers[0].lower, layers[-1].upper
    return np.concatenate([np.column_stack([plane, np.full(len(plane), z)]) for z in (low, high)])


def _note(layer: Layer, layers: Sequence[Layer], words: Words) -> str:
    said = []
    if layer.label_face:
        said.append(words.of("label_up" if layer.label_face == "upper" else "label_down"))
    if len({x.board for x in layers}) > 1:
        said.append(layer.board)
    if layer.last:
        said.append(words.of("glued_last"))
    return ": ".join([layer.label, ", ".join(said)] if said else [layer.label])


def _notes(page: Page, notes: Sequence[str], every: Sequence[Body], look: View) -> None:
    """The notes in a column to the right, each level with the rightmost corner of its layer."""
    ends = []
    for body in every:
        own = body.skin.points
        top = look.flat(body.pose.to_piece(own[own[:, 2] > own[:, 2].max() - 1e-6]))
        ends.append(page.at(top[int(np.argmax(top[:, 0]))]))
    x = max(e[0] for e in ends) + AWAY
    for note, end in zip(notes, ends, strict=True):
        line = polyline([(end[0] + 0.8, end[1]), (x, end[1])], closed=False)
        page.stroke("dimension", line)
        page.texts.append(Text(note, x + 1.0, end[1] - LETTERS / 2.0, LETTERS))
