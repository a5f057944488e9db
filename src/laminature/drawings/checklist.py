"""Lists to tick off at the bench: what comes off a sheet in its order, and what goes into each stack."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from laminature.drawings.placed import placed_layers
from laminature.geometry.lettering import shortened
from laminature.geometry.path import polyline
from laminature.model.board import Board
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.sheet import Sheet
from laminature.model.words import Words

#: ISO 216 A4, mm; what is drawn also fits on 8½ × 11 in paper.
WIDTH, HEIGHT = 210.0, 297.0
MARGIN = 16.0
HEAD = 22.0
COLUMNS = 2
GAP = 8.0
ROW = 5.2
BOX = 3.0
BODY = 2.3
#: More copies than this are counted instead of given a box each.
MOST_BOXES = 8

#: A row of a list: how many boxes, its words, and whether it heads a block.
Row = tuple[int, str, bool]


def cutting_list(
    sheet: Sheet,
    order: Sequence[str],
    layers: Sequence[Layer],
    parts: Sequence[Part],
    words: Words,
    facts: str = "",
) -> tuple[Drawing, ...]:
    """Pages with the pieces of ``sheet`` in the order in which they come loose, a box before each.

    ``order`` holds the names of their outlines; ``facts`` is a line about lengths and time. Raises KeyError
    for a layer that is not given.
    """
    titles = _titles(parts)
    count = _heights(layers)
    placed = {one.name: one for one in placed_layers(sheet, layers)}
    rows: list[Row] = []
    for n, name in enumerate((name for name in order if name in placed), start=1):
        layer = placed[name].layer
        if layer.role == "frame":
            rows.append((1, f"{n}  {layer.label}  {words.of('list_frame')}", False))
            continue
        what, heights = _what(layer, titles, words), (str(layer.index), str(count[layer.of]))
        told = f"{n}  {layer.label}  {words.of('list_layer', what=what, n=heights[0], all=heights[1])}"
        if placed[name].placement.piece:
            told += words.of("list_piece", n=str(placed[name].placement.piece + 1))
        rows.append((1, told + _remarks(layer, placed[name].mirrored, words), False))
    return _pages(
        f"{sheet.name}-list",
        words.of("list_cutting", sheet=sheet.name),
        (words.of("list_cutting_about", sheet=sheet.name), facts),
        rows,
        words,
    )


def stack_list(
    layers: Sequence[Layer], parts: Sequence[Part], boards: Mapping[str, Board], words: Words
) -> tuple[Drawing, ...]:
    """Pages with every stack, its layers from layer 1 up; a box for each of its copies."""
    titles = _titles(parts)
    layers = [layer for layer in layers if layer.role not in ("spare", "frame")]
    mixed = len({layer.board for layer in layers}) > 1
    alike: dict[str, list[str]] = {}
    for layer in layers:
        mine = alike.setdefault(layer.letter, [])
        if layer.part not in mine:
            mine.append(layer.part)
    rows: list[Row] = []
    for letter, names in alike.items():
        one = sorted((x for x in layers if x.part == names[0]), key=lambda x: x.index)
        copies = len(names)
        title = titles.get(names[0], names[0])
        if copies > 1:
            title = words.of("list_stack_alike", title=title, n=str(copies))
        rows.append((0, f"{letter}  {title}", True))
        for layer in one:
            told = layer.label + (f", {boards[layer.board].title}" if mixed else "")
            if copies > MOST_BOXES:
                told += f" ×{copies}"
            boxes = copies if copies <= MOST_BOXES else 1
            rows.append((boxes, told + _remarks(layer, layer.mirrored, words), False))
        rows += [(0, words.of("list_last_of_all", label=x.label), False) for x in one if x.last]
    about = (words.of("list_stacks_about"), words.of("list_stacks_mirrored"))
    return _pages("stacks", words.of("list_stacks"), about, rows, words)


def _titles(parts: Sequence[Part]) -> dict[str, str]:
    return {p.name: p.title or p.name for p in parts}


def _what(layer: Layer, titles: Mapping[str, str], words: Words) -> str:
    if layer.role == "key":
        return words.of("list_key")
    title = titles.get(layer.of, layer.of)
    return words.of("list_spare", title=title) if layer.role == "spare" else title


def _heights(layers: Sequence[Layer]) -> dict[str, int]:
    found: dict[str, int] = {}
    for layer in layers:
        found[layer.of] = max(found.get(layer.of, 0), layer.index)
    return found


def _remarks(layer: Layer, mirrored: bool, words: Words) -> str:
    true = {
        "mirrored": mirrored,
        "last": layer.last,
        "bridges": bool(layer.bridges),
        "carried": layer.carried,
        "bare": layer.label_face is None,
    }
    return "".join(words.of(f"list_{remark}") for remark, holds in true.items() if holds)


def _pages(
    name: str, title: str, about: Sequence[str], rows: Sequence[Row], words: Words
) -> tuple[Drawing, ...]:
    tall = int((HEIGHT - 2.0 * MARGIN - HEAD) / ROW)
    columns = _columns(rows, tall)
    sheets = [columns[k : k + COLUMNS] for k in range(0, len(columns), COLUMNS)]
    made = []
    for n, page in enumerate(sheets, start=1):
        named = (
            title if len(sheets) == 1 else words.of("page_of", title=title, n=str(n), all=str(len(sheets)))
        )
        strokes, texts = _page(named, about, page)
        ending = "" if n == 1 else f"-{n}"
        made.append(Drawing(name + ending, WIDTH, HEIGHT, tuple(strokes), tuple(texts), named))
    return tuple(made)


def _columns(rows: Sequence[Row], tall: int) -> list[list[Row]]:
    """The rows in columns; a block begins a new one rather than be torn, where it fits into one at all."""
    blocks: list[list[Row]] = []
    for row in rows:
        if row[2] or not blocks:
            blocks.append([])
        blocks[-1].append(row)
    columns: list[list[Row]] = [[]]
    for block in blocks:
        if columns[-1] and len(columns[-1]) + len(block) > tall and len(block) <= tall:
            columns.append([])
        for row in block:
            if len(columns[-1]) == tall:
                columns.append([])
            columns[-1].append(row)
    return [column for column in columns if column]


def _page(
    title: str, about: Sequence[str], columns: Sequence[Sequence[Row]]
) -> tuple[list[Stroke], list[Text]]:
    top = HEIGHT - MARGIN
    strokes: list[Stroke] = []
    room = WIDTH - 2.0 * MARGIN
    texts = [Text(shortened(title, 5.0, room), MARGIN, top - 5.0, 5.0)]
    lines = [line for line in about if line]
    for n, line in enumerate(lines):
        texts.append(Text(shortened(line, BODY, room), MARGIN, top - 11.0 - 4.2 * n, BODY))
    width = (room - GAP * (COLUMNS - 1)) / COLUMNS
    for c, column in enumerate(columns):
        left = MARGIN + c * (width + GAP)
        for r, (boxes, words, heads) in enumerate(column):
            y = top - HEAD - ROW * (r + 1)
            for b in range(boxes):
                x = left + b * (BOX + 1.0)
                box = polyline([(x, y), (x + BOX, y), (x + BOX, y + BOX), (x, y + BOX)])
                strokes.append(Stroke("marking", box, f"box-{c + 1}-{r + 1}-{b + 1}"))
            indent = boxes * (BOX + 1.0) + (1.0 if boxes else 0.0)
            size = 2.7 if heads else BODY
            written = shortened(words, size, width - indent)
            texts.append(Text(written, left + indent, y + (BOX - size) / 2.0, size))
    return strokes, texts
