"""From layers to sheets: what may be turned how, what fits at all, then one pass per board."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from laminature.errors import GeometryError
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.check import Key, faults
from laminature.sheets.grain import axis_of, crosses, ways
from laminature.sheets.greedy import Filler, Place, Shape, fits, turned

Progress = Callable[[float, str], None]

#: Side of a cell in which places are sought, mm.
CELL = 1.0
#: The same for kits of no more than FEW shapes, where time allows finer cells.
FINE_CELL = 0.5
FEW = 30
#: No grid has more cells than this along a side, whatever the sheet's size.
MOST_CELLS = 1000


@dataclass(frozen=True)
class _Item:
    """A polygon of a layer, as a shape to be placed."""

    layer: Layer
    piece: int
    shape: Shape

    @property
    def key(self) -> Key:
        return (self.layer.part, self.layer.index, self.piece)


def lay_out(
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    spacing: float,
    margin: float,
    progress: Progress | None = None,
    *,
    offcuts: Sequence[Offcut] = (),  # noqa: ARG001
) -> tuple[tuple[Sheet, ...], tuple[Finding, ...]]:
    """Lay every layer on sheets of its board; the same layers always give the same sheets.

    ``spacing`` mm are kept between shapes (0 lets them touch), ``margin`` mm at the
    sheets' borders. Shapes are laid into the openings of others where they fit.
    ``progress`` gets the share done and a few words; what it raises ends the work.

    What fits on no sheet is told in a finding ``part-too-large`` and left out; the rest
    is laid out. A finding ``layout-fault`` says that the exact check found the layout
    wrong. Raises GeometryError for an outline that is none, or a negative spacing or
    margin, and KeyError for a layer of a board that is not in ``boards``.
    """
    if not (spacing >= 0.0 and margin >= 0.0):
        raise GeometryError(f"spacing ({spacing:g} mm) and margin ({margin:g} mm) must be zero or more")
    items = _items(layers, boards)
    decided, large = _settle_ways(items, boards, margin)
    left_out = {item.key for item in large}
    rest = [item for item in items if item.key not in left_out]
    sheets: list[Sheet] = []
    done = 0
    for name in dict.fromkeys(item.layer.board for item in rest):
        board = boards[name]
        mine = [item for item in rest if item.layer.board == name]

        def told(share: float, first: int = done, count: int = len(mine), title: str = board.title) -> None:
            if progress is not None:
                progress((first + share * count) / len(rest), f"laying out {title}")

        shapes = [item.shape for item in mine]
        width, height = _room(board, margin)
        cell = _cell(shapes, max(width, height), spacing)
        filler = Filler(shapes, width, height, spacing=spacing, cell=cell)
        places = filler.run(filler.biggest_first(), decided, told)
        sheets += _sheets(mine, places, board, margin, first=len(sheets) + 1)
        done += len(mine)
    if progress is not None:
        progress(1.0, "sheets laid out")
    findings = (
        *_too_large(large, boards, margin),
        *faults(sheets, layers, boards, spacing, margin, left_out=left_out),
    )
    return tuple(sheets), findings


def _items(layers: Sequence[Layer], boards: Mapping[str, Board]) -> list[_Item]:
    """Every polygon of every layer with the turns its grain rule allows."""
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    axis = {
        part: axis_of(f for x in own for f in x.cut)
        for part, own in by_part.items()
        if any(x.cut for x in own)
    }
    count = {part: max(x.index for x in own) for part, own in by_part.items()}
    items = []
    for layer in layers:
        board = boards[layer.board]
        crossing = crosses(layer.index, count[layer.part])
        bonded = layer.grain in ("alike", "crossed") and board.grain != "none"
        for piece, flat in enumerate(layer.cut):
            if flat.is_empty or not flat.is_valid:
                raise GeometryError(f"layer {layer.label} of {layer.part} has an outline that cannot be cut")
            turns = ways(layer.grain, board.grain, axis[layer.part], crossing, layer.mirrored)
            name = layer.label if piece == 0 else f"{layer.label}-{piece + 1}"
            bond = layer.part if bonded else ""
            items.append(_Item(layer, piece, Shape(name, flat, turns, layer.mirrored, bond)))
    return items


def _room(board: Board, margin: float) -> tuple[float, float]:
    return board.sheet_width - 2.0 * margin, board.sheet_height - 2.0 * margin


def _settle_ways(
    items: Sequence[_Item], boards: Mapping[str, Board], margin: float
) -> tuple[dict[str, int], list[_Item]]:
    """Bonds that only one group of turns can serve, and the items that fit in none.

    A layer that fits both ways must not decide for a fellow that fits only one.
    """
    fitting = {item.key: _fitting_ways(item, _room(boards[item.layer.board], margin)) for item in items}
    decided: dict[str, int] = {}
    large = [item for item in items if not fitting[item.key]]
    by_bond: dict[str, list[_Item]] = {}
    for item in items:
        if item.shape.bond and fitting[item.key]:
            by_bond.setdefault(item.shape.bond, []).append(item)
    for bond, mine in by_bond.items():
        serves = [sum(way in fitting[item.key] for item in mine) for way in range(2)]
        if min(serves) < len(mine):
            way = serves.index(max(serves))
            decided[bond] = way
            large += [item for item in mine if way not in fitting[item.key]]
    return decided, large


def _fitting_ways(item: _Item, room: tuple[float, float]) -> set[int]:
    found = set()
    for way, turns in enumerate(item.shape.ways):
        for turn in turns:
            x0, y0, x1, y1 = turned(item.shape.flat, turn, item.shape.mirrored).bounds
            if fits(x1 - x0, y1 - y0, *room):
                found.add(way)
    return found


def _sheets(
    items: Sequence[_Item], places: Sequence[Place], board: Board, margin: float, *, first: int
) -> list[Sheet]:
    """The sheets that these places fill, numbered from ``first``, placements in the order of the layers."""
    by_sheet: dict[int, list[Placement]] = {}
    for at in sorted(places, key=lambda p: p.shape):
        layer, piece = items[at.shape].layer, items[at.shape].piece
        by_sheet.setdefault(at.sheet, []).append(
            Placement(layer.part, layer.index, at.x + margin, at.y + margin, at.turn, layer.mirrored, piece)
        )
    return [
        Sheet(f"sheet-{first + n}", board.name, board.sheet_width, board.sheet_height, tuple(by_sheet[n]))
        for n in sorted(by_sheet)
    ]


def _cell(shapes: Sequence[Shape], longest: float, spacing: float) -> float:
    """Fine for few shapes and for thin ones, coarse for huge sheets, mm."""
    thinnest: float = min(
        min(s.flat.bounds[2] - s.flat.bounds[0], s.flat.bounds[3] - s.flat.bounds[1]) for s in shapes
    )
    wanted = min(FINE_CELL if len(shapes) <= FEW else CELL, thinnest + spacing)
    return max(wanted, longest / MOST_CELLS)


def _too_large(items: Sequence[_Item], boards: Mapping[str, Board], margin: float) -> list[Finding]:
    """One finding per part, with the largest of its layers that fit nowhere."""
    by_part: dict[str, list[_Item]] = {}
    for item in items:
        by_part.setdefault(item.layer.part, []).append(item)
    return [_one_too_large(part, mine, boards, margin) for part, mine in by_part.items()]


def _one_too_large(part: str, items: Sequence[_Item], boards: Mapping[str, Board], margin: float) -> Finding:
    worst = max(items, key=lambda item: (item.shape.outer_area, -item.layer.index))
    board = boards[worst.layer.board]
    width, height = _room(board, margin)
    x0, y0, x1, y1 = worst.shape.flat.bounds
    if width <= 0.0 or height <= 0.0:
        room = f"the margins of {margin:g} mm leave nothing of a sheet of {board.title}"
    else:
        room = f"a sheet of {board.title} has room for {width:.1f} × {height:.1f} mm inside its margins"
    free = fits(x1 - x0, y1 - y0, width, height) or fits(y1 - y0, x1 - x0, width, height)
    if free:
        remedy = 'Turned against the grain it fits: set grain = "free" for it, or use a larger sheet.'
    else:
        remedy = "Use a larger sheet, a smaller margin or a smaller scale, or make the part of two."
    return Finding(
        "part-too-large",
        "stop",
        f"Layer {worst.shape.name} of {part} is {x1 - x0:.1f} × {y1 - y0:.1f} mm, but {room}.",
        remedy,
        part,
        worst.layer.index,
    )
