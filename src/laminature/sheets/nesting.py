"""From layers to sheets: what may be turned how, what fits at all, then a layout for each board."""

from __future__ import annotations

import math
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
from laminature.sheets.improving import improved
from laminature.sheets.items import Item, Rooms, items_of, largest_of_each, settle_ways
from laminature.sheets.pressing import SEED
from laminature.sheets.room import Room, full_room, offcut_room
from laminature.sheets.search import Problem, first
from laminature.sheets.shapes import Place

Progress = Callable[[float, str], None]
Layouts = dict[str, Layout]


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
    seed: int = SEED,
) -> tuple[tuple[Sheet, ...], tuple[Finding, ...]]:
    """Lay every layer on sheets of its board; the same layers always give the same sheets.

    ``spacing`` mm are kept between shapes (0 lets them touch), ``margin`` mm at the
    sheets' borders. Shapes are laid into the openings of others where they fit, and on
    ``offcuts`` of their board, the smallest first, before full sheets are taken.
    ``progress`` gets the share done and a few words; what it raises ends the work.

    With ``seconds`` more than 0, better layouts are sought for about so long; what is found then depends
    on the machine. ``start`` is an earlier layout of the same layers: where it still serves and is better,
    it is taken as it is, and a search begins from there. Another ``seed`` makes other random choices in it.

    What fits on no sheet is told in a finding ``part-too-large`` and left out; the rest
    is laid out. A finding ``layout-fault`` says that the exact check found the layout
    wrong. Raises GeometryError for an outline that is none, or a negative spacing or
    margin, and KeyError for a layer of a board that is not in ``boards``.
    """
    if not (0.0 <= spacing < math.inf and 0.0 <= margin < math.inf):
        raise GeometryError(f"spacing ({spacing:g} mm) and margin ({margin:g} mm) must be zero or more")
    items = items_of(layers)
    rooms = {
        name: (full_room(boards[name], margin), _odd_rooms(name, offcuts, margin))
        for name in dict.fromkeys(layer.board for layer in layers)
    }
    decided, large = settle_ways(items, rooms)
    work = _Work(_without(items, large), rooms, boards, spacing, margin)

    def checked(layouts: Layouts) -> tuple[tuple[Sheet, ...], tuple[Finding, ...]]:
        over = [*large, *(work.mine[name][k] for name in layouts for k in layouts[name].left)]
        # An earlier layout is taken as it was written, to the last digit.
        same = earlier is not None and all(layouts[name] is earlier[name] for name in layouts)
        sheets = tuple(start) if same else work.sheets(layouts)
        left_out = {item.key for item in over}
        wrong = faults(sheets, layers, boards, spacing, margin, left_out=left_out, offcuts=offcuts)
        return sheets, (*largest_of_each(over, boards, margin), *wrong)

    plain = work.first(decided, _within(progress, 0.0, 0.1 if seconds > 0.0 else 1.0))
    best = plain
    earlier: Layouts | None = None
    if start and not faults(start, layers, boards, spacing, margin, offcuts=offcuts):
        earlier = work.earlier(start)
        best = min(plain, earlier, key=work.worth)
    if seconds > 0.0:
        best = work.improved(best, decided, seconds, _within(progress, 0.1, 1.0), seed)
    made = checked(best)
    if best is not plain and any(f.code == "layout-fault" for f in made[1]):
        made = checked(plain)
    if progress is not None:
        progress(1.0, "sheets laid out")
    return made


class _Work:
    """The shapes of each board and the rooms there are for them."""

    def __init__(
        self, items: Sequence[Item], rooms: Rooms, boards: Mapping[str, Board], spacing: float, margin: float
    ) -> None:
        self.boards = boards
        self.margin = margin
        self.mine = {
            name: [item for item in items if item.layer.board == name]
            for name in dict.fromkeys(item.layer.board for item in items)
        }
        self.problems = {
            name: Problem([item.shape for item in mine], *rooms[name], spacing)
            for name, mine in self.mine.items()
        }

    def first(self, decided: Mapping[str, int], told: Progress) -> Layouts:
        """The layouts that are made unasked. What a bond takes on one board holds on the others."""
        ways = dict(decided)
        made: Layouts = {}
        for name, problem in self.problems.items():
            made[name] = first(problem, ways, self._share(name, told))
            ways |= made[name].ways
        return made

    def improved(
        self, found: Layouts, decided: Mapping[str, int], seconds: float, told: Progress, seed: int
    ) -> Layouts:
        """Better layouts; each board gets its share of the time."""
        count = sum(len(mine) for mine in self.mine.values())
        made: Layouts = {}
        for name, problem in self.problems.items():
            elsewhere = {
                item.shape.bond for other, mine in self.mine.items() if other != name for item in mine
            }
            fixed = {b: w for b, w in found[name].ways.items() if b in elsewhere} | dict(decided)
            time = seconds * len(self.mine[name]) / count
            made[name] = improved(problem, found[name], fixed, time, self._share(name, told), seed)
        return made

    def _share(self, name: str, told: Progress) -> Callable[[float, str], None]:
        sizes = {n: len(mine) for n, mine in self.mine.items()}
        before = sum(sizes[n] for n in list(sizes)[: list(sizes).index(name)])
        whole, title = sum(sizes.values()), self.boards[name].title

        def say(share: float, words: str = "") -> None:
            told((before + share * sizes[name]) / whole, f"laying out {title}" + (words and f", {words}"))

        return say

    def worth(self, layouts: Layouts) -> tuple[float, ...]:
        """Less is better: the ranks of all boards together."""
        ranks = [problem.rank(layouts[name]) for name, problem in self.problems.items()]
        return tuple(round(sum(column), 6) for column in zip(*ranks, strict=True))

    def earlier(self, sheets: Sequence[Sheet]) -> Layouts:
        """Sheets of an earlier kit, which the exact check has passed, as layouts."""
        made: Layouts = {}
        for name, problem in self.problems.items():
            number = {item.key: k for k, item in enumerate(self.mine[name])}
            odd = {room.offcut.name: k for k, room in enumerate(problem.odd) if room.offcut is not None}
            places: list[Place] = []
            full = len(problem.odd)
            for sheet in (s for s in sheets if s.board == name and s.placements):
                at = odd[sheet.offcut] if sheet.offcut else full
                full += not sheet.offcut
                places += [
                    Place(number[p.part, p.layer, p.piece], at, p.x - self.margin, p.y - self.margin, p.turn)
                    for p in sheet.placements
                ]
            made[name] = problem.standing(places)
        return made

    def sheets(self, layouts: Layouts) -> tuple[Sheet, ...]:
        """The sheets of all boards, numbered through."""
        made: list[Sheet] = []
        for name, layout in layouts.items():
            board, odd = self.boards[name], self.problems[name].odd
            made += _sheets(self.mine[name], layout, board, odd, self.margin, first=len(made) + 1)
        return tuple(made)


def _within(progress: Progress | None, low: float, high: float) -> Progress:
    def told(share: float, words: str) -> None:
        if progress is not None:
            progress(low + (high - low) * share, words)

    return told


def _without(items: Sequence[Item], some: Sequence[Item]) -> list[Item]:
    keys = {item.key for item in some}
    return [item for item in items if item.key not in keys]


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
