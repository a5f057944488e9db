"""From layers to sheets: what may be turned how, what fits at all, then a layout for each board."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from laminature.errors import GeometryError
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.check import faults
from laminature.sheets.greedy import Layout
from laminature.sheets.items import Item, items_of, settle_ways, too_large
from laminature.sheets.room import Room, full_room, offcut_room
from laminature.sheets.search import Problem, first

Progress = Callable[[float, str], None]


def lay_out(
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    spacing: float,
    margin: float,
    progress: Progress | None = None,
    *,
    offcuts: Sequence[Offcut] = (),
    seconds: float = 0.0,
    start: Sequence[Sheet] = (),
) -> tuple[tuple[Sheet, ...], tuple[Finding, ...]]:
    """Lay every layer on sheets of its board; the same layers always give the same sheets.

    ``spacing`` mm are kept between shapes (0 lets them touch), ``margin`` mm at the
    sheets' borders. Shapes are laid into the openings of others where they fit, and on
    ``offcuts`` of their board, the smallest first, before full sheets are taken.
    ``progress`` gets the share done and a few words; what it raises ends the work.

    What fits on no sheet is told in a finding ``part-too-large`` and left out; the rest
    is laid out. A finding ``layout-fault`` says that the exact check found the layout
    wrong. Raises GeometryError for an outline that is none, or a negative spacing or
    margin, and KeyError for a layer of a board that is not in ``boards``.
    """
    if not (spacing >= 0.0 and margin >= 0.0):
        raise GeometryError(f"spacing ({spacing:g} mm) and margin ({margin:g} mm) must be zero or more")
    items = items_of(layers)
    rooms = {
        name: (full_room(boards[name], margin), _odd_rooms(name, offcuts, margin))
        for name in dict.fromkeys(layer.board for layer in layers)
    }
    decided, large = settle_ways(items, rooms)
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

        full, odd = rooms[name]
        layout = first(Problem([item.shape for item in mine], full, odd, spacing), decided, told)
        decided |= layout.ways
        large += [mine[k] for k in layout.left]
        sheets += _sheets(mine, layout, board, odd, margin, first=len(sheets) + 1)
        done += len(mine)
    if progress is not None:
        progress(1.0, "sheets laid out")
    left_out = {item.key for item in large}
    findings = (
        *too_large(large, boards, margin),
        *faults(sheets, layers, boards, spacing, margin, left_out=left_out, offcuts=offcuts),
    )
    return tuple(sheets), findings


def _odd_rooms(board: str, offcuts: Sequence[Offcut], margin: float) -> tuple[Room, ...]:
    """The rooms of a board's offcuts, the smallest first, without those that the margin eats."""
    mine = sorted((o for o in offcuts if o.board == board), key=lambda o: (o.outline.area, o.name))
    rooms = (offcut_room(o, margin) for o in mine)
    return tuple(room for room in rooms if room.width > 0.0 and room.height > 0.0)


def _sheets(
    items: Sequence[Item], layout: Layout, board: Board, odd: Sequence[Room], margin: float, *, first: int
) -> list[Sheet]:
    """The sheets that these places fill, numbered from ``first``, placements in the order of the layers."""
    by_sheet: dict[int, list[Placement]] = {}
    for at in sorted(layout.places, key=lambda p: p.shape):
        layer, piece = items[at.shape].layer, items[at.shape].piece
        by_sheet.setdefault(at.sheet, []).append(
            Placement(layer.part, layer.index, at.x + margin, at.y + margin, at.turn, layer.mirrored, piece)
        )
    made = []
    for n, number in enumerate(sorted(by_sheet)):
        offcut = odd[number].offcut if number < len(odd) else None
        full = Sheet(f"sheet-{first + n}", board.name, board.sheet_width, board.sheet_height)
        sheet = _of_offcut(full, offcut) if offcut is not None else full
        made.append(replace(sheet, placements=tuple(by_sheet[number])))
    return made


def _of_offcut(sheet: Sheet, offcut: Offcut) -> Sheet:
    outline = offcut.outline
    _, _, width, height = outline.bounds
    return replace(sheet, width=width, height=height, offcut=offcut.name, outline=outline, grain=offcut.grain)
