"""Small pieces gathered in a frame of board, so that they are lifted out and carried together.

Their bridges tie them to the frame, whose border is cut last. On the sheet the frame is one shape: a
rectangle with room for each piece. It is laid out like any other, and then every piece gets its place.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from laminature.geometry.flat import Flat, grown, pieces, rectangle
from laminature.geometry.pose import cos_sin
from laminature.model.board import Board, Grain
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.check import placed
from laminature.sheets.grain import axis_of, crosses, ways

Findings = tuple[Finding, ...]
LaidOut = tuple[tuple[Sheet, ...], Findings]
Lay = Callable[[tuple[Layer, ...]], LaidOut]
Check = Callable[[tuple[Sheet, ...]], Findings]

#: Board outside the outermost pieces, mm (common practice, no source).
BAR = 3.0
#: A frame is so much wider than it is high, so that its long axis, which follows the grain, is plain.
WIDER = 1.1
#: No frame is wider or higher than this, mm.
LARGEST = 120.0
#: So many widths are tried.
WIDTHS = 60
#: How frames are called on the sheet, and their first letters.
NAME = "frame-"


@dataclass(frozen=True)
class Gathered:
    """What is laid out: ``layers`` without those that lie in ``frames``, and the frames.

    ``inside`` gives for each frame the places of its pieces in the frame's own plane.
    """

    layers: tuple[Layer, ...]
    frames: tuple[Layer, ...] = ()
    inside: Mapping[str, tuple[Placement, ...]] | None = None


def gathered(
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    cutter: str,
    spacing: float,
    margin: float,
    below: float | None,
) -> Gathered:
    """The layers with those of small parts gathered in frames, one or more for each board.

    ``spacing`` and ``margin`` are those of the sheets, mm; a frame is never too large for them. A part is
    small if all its layers are one polygon each whose longer side is below ``below`` mm (None: what its board
    says). Raises KeyError for a board that is not given.
    """
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    small = [own for own in by_part.values() if all(_is_small(x, boards[x.board], below) for x in own)]
    by_board: dict[str, list[_Piece]] = {}
    for own in small:
        count = max(x.index for x in layers if x.of == own[0].of)
        axis = axis_of(f for x in own for f in x.cut)
        for layer in own:
            by_board.setdefault(layer.board, []).append(_piece(layer, axis, count, boards[layer.board]))
    frames: list[Layer] = []
    inside: dict[str, tuple[Placement, ...]] = {}
    free = (n for n in itertools.count(1) if f"{NAME}{n}" not in by_part)
    for name, mine in by_board.items():
        board = boards[name]
        largest = min(LARGEST, board.sheet_width - 2.0 * margin, board.sheet_height - 2.0 * margin)
        most = max(max(p.size) for p in mine) + 2.0 * (spacing + BAR)
        if len(mine) < 2 or most * WIDER > largest:
            continue
        for shelf in _packed(mine, board.smallest_web(cutter), spacing, largest):
            frame = _frame(next(free), board, shelf, spacing)
            frames.append(frame)
            inside[frame.part] = tuple(p.at for p in shelf)
    held = {(p.part, p.layer) for places in inside.values() for p in places}
    return Gathered(tuple(x for x in layers if (x.part, x.index) not in held), tuple(frames), inside)


def laid_out(
    found: Gathered,
    lay: Callable[[tuple[Layer, ...]], LaidOut],
    check: Callable[[tuple[Sheet, ...]], Findings],
) -> LaidOut:
    """Sheets of all layers, laid out by ``lay`` with frames as shapes of their own, and what is found.

    Where there are frames, ``check`` looks once more at the sheets with every piece in its place.
    """
    sheets, told = lay((*found.layers, *found.frames))
    if not found.frames:
        return sheets, told
    sheets = spread_out(sheets, found)
    return sheets, told if any(f.grade == "stop" for f in told) else (*told, *check(sheets))


def drawn_in(sheets: Sequence[Sheet], found: Gathered) -> tuple[Sheet, ...]:
    """The sheets as they were laid out: without the pieces that lie in frames."""
    held = {(p.part, p.layer) for places in (found.inside or {}).values() for p in places}
    return tuple(
        replace(s, placements=tuple(p for p in s.placements if (p.part, p.layer) not in held)) for s in sheets
    )


def spread_out(sheets: Sequence[Sheet], found: Gathered) -> tuple[Sheet, ...]:
    """The sheets with a placement for every piece in a frame, after that of the frame."""
    inside = found.inside or {}
    return tuple(
        replace(
            sheet,
            placements=tuple(
                one
                for at in sheet.placements
                for one in (at, *(_within(at, piece) for piece in inside.get(at.part, ())))
            ),
        )
        for sheet in sheets
    )


@dataclass(frozen=True)
class _Piece:
    """A layer as it is turned in a frame, ``flat``, and where it lies there."""

    layer: Layer
    flat: Flat
    at: Placement

    @property
    def size(self) -> tuple[float, float]:
        x0, y0, x1, y1 = self.flat.bounds
        return x1 - x0, y1 - y0


def _is_small(layer: Layer, board: Board, below: float | None) -> bool:
    if len(layer.cut) != 1 or layer.carried:
        return False
    x0, y0, x1, y1 = layer.cut[0].bounds
    return bool(max(x1 - x0, y1 - y0) < (board.small if below is None else below))


def _piece(layer: Layer, axis: float, count: int, board: Board) -> _Piece:
    """Turned as its grain wants it in a frame along whose x the grain runs; all of a part alike."""
    grain: Grain = "none" if board.grain == "none" else "x"
    turn = ways(layer.grain, grain, axis, crosses(layer.index, count), layer.mirrored)[0][0]
    lying = Placement(layer.part, layer.index, 0.0, 0.0, turn, layer.mirrored)
    flat = placed(layer, lying)
    x0, y0, _, _ = flat.bounds
    return _Piece(layer, flat, replace(lying, x=-float(x0), y=-float(y0)))


def _packed(found: Sequence[_Piece], web: float, spacing: float, largest: float) -> list[list[_Piece]]:
    """Pieces in rows, the highest first, in frames of the width that takes the least board."""
    apart, edge = 2.0 * spacing + web, spacing + BAR
    order = sorted(found, key=lambda p: -round(p.size[1], 3))
    least = max(p.size[0] for p in found) + 2.0 * edge
    widths = [least + (largest - least) * k / WIDTHS for k in range(WIDTHS + 1)]
    tries = [_rows(order, width, largest / WIDER, apart, edge) for width in widths]
    return min(tries, key=lambda frames: round(sum(math.prod(_size(f, edge)) for f in frames), 3))


def _rows(
    order: Sequence[_Piece], width: float, height: float, apart: float, edge: float
) -> list[list[_Piece]]:
    """Frames no wider than ``width``; one is full when it would be higher than ``height``."""
    frames: list[list[_Piece]] = [[]]
    x = y = edge
    row = 0.0
    for piece in order:
        w, h = piece.size
        if x > edge and x + w + edge > width:
            x, y, row = edge, y + row + apart, 0.0
        if y > edge and y + h + edge > height:
            frames.append([])
            x, y, row = edge, edge, 0.0
        frames[-1].append(replace(piece, at=replace(piece.at, x=piece.at.x + x, y=piece.at.y + y)))
        x += w + apart
        row = max(row, h)
    return frames


def _size(shelf: Sequence[_Piece], edge: float) -> tuple[float, float]:
    """Width and height of a frame: its long axis has to be plain."""
    corners = [(p.flat.bounds[2] + p.at.x, p.flat.bounds[3] + p.at.y) for p in shelf]
    high = max(y for _, y in corners) + edge
    return max(max(x for x, _ in corners) + edge, WIDER * high), high


def _frame(number: int, board: Board, shelf: Sequence[_Piece], spacing: float) -> Layer:
    lying = [placed(p.layer, p.at) for p in shelf]
    wide, high = _size(shelf, spacing + BAR)
    rooms = [pieces(grown(Flat(f.exterior), spacing))[0].exterior for f in lying]
    flat = Flat(rectangle(0.0, 0.0, wide, high).exterior, rooms)
    return Layer(
        f"{NAME}{number}",
        NAME,
        number,
        board.name,
        0.0,
        board.caliper,
        (flat,),
        (flat,),
        grain="free" if board.grain == "none" else "along",
        role="frame",
    )


def _within(frame: Placement, piece: Placement) -> Placement:
    """A piece's place on the sheet, from its place in a frame and the frame's own."""
    cosine, sine = cos_sin(frame.turn)
    return replace(
        piece,
        x=frame.x + cosine * piece.x - sine * piece.y,
        y=frame.y + sine * piece.x + cosine * piece.y,
        turn=(piece.turn + frame.turn) % 360.0,
    )
