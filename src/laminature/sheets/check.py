"""The last look at a layout before anything is written: exact, whoever made it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from laminature.geometry.flat import Flat
from laminature.geometry.nearness import reaches_out, too_close
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.grain import bonded, ways_of
from laminature.sheets.shapes import same_turn, turned

#: Placed outlines may lie outside the margin by this for rounding, mm.
EDGE = 1e-6

Key = tuple[str, int, int]
Known = Mapping[tuple[str, int], Layer]


def placed(layer: Layer, placement: Placement) -> Flat:
    """The polygon that ``placement`` speaks of, where it lies on its sheet."""
    return turned(layer.cut[placement.piece], placement.turn, placement.mirrored, placement.x, placement.y)


def faults(
    sheets: Sequence[Sheet],
    layers: Sequence[Layer],
    boards: Mapping[str, Board],
    spacing: float,
    margin: float,
    *,
    left_out: Collection[Key] = (),
    offcuts: Sequence[Offcut] = (),
) -> tuple[Finding, ...]:
    """What is wrong with a layout: nothing, if it is as asked.

    Every polygon of every layer must lie once on a sheet of its board, mirrored as its
    layer says, turned as its grain allows, within ``margin`` mm of the border, and ``spacing`` mm from
    every other. A sheet is a full one of its board, or one of ``offcuts``, each used once.
    ``left_out`` names (part, layer, piece) that are not expected, because a finding says so already.
    """
    known = {(layer.part, layer.index): layer for layer in layers}
    wanted = Counter((x.part, x.index, n) for x in layers for n in range(len(x.cut)))
    for key in left_out:
        wanted[key] = 0
    found = Counter((p.part, p.layer, p.piece) for sheet in sheets for p in sheet.placements)
    out = [
        _fault(f"is on the sheets {found[key]} times instead of {wanted[key]}", key)
        for key in sorted(wanted | found)
        if found[key] != wanted[key]
    ]
    by_name = {offcut.name: offcut for offcut in offcuts}
    used = Counter(sheet.offcut for sheet in sheets if sheet.offcut)
    for sheet in sheets:
        out += _wrong_sheet(sheet, boards[sheet.board], by_name, used)
        out += _faults_on(sheet, known, spacing, margin)
    return (*out, *_against_grain(sheets, layers, boards))


def _wrong_sheet(
    sheet: Sheet, board: Board, by_name: Mapping[str, Offcut], used: Mapping[str, int]
) -> list[Finding]:
    """Whether the sheet is a board that there is."""
    if not sheet.offcut:
        plain = sheet.outline is None and sheet.grain in (None, board.grain)
        if plain and (sheet.width, sheet.height) == (board.sheet_width, board.sheet_height):
            return []
        return [_sheet_fault(f"{sheet.name} is not like a sheet of {board.title}.")]
    offcut = by_name.get(sheet.offcut)
    if offcut is None or sheet.outline is None:
        return [_sheet_fault(f"{sheet.name} is an offcut {sheet.offcut!r} that there is not.")]
    if used[sheet.offcut] > 1:
        return [_sheet_fault(f"The offcut {sheet.offcut} is used for {used[sheet.offcut]} sheets.")]
    like = (sheet.board, sheet.grain) == (offcut.board, offcut.grain)
    if like and sheet.outline.symmetric_difference(offcut.outline).area < EDGE:
        return []
    return [_sheet_fault(f"{sheet.name} is not like the offcut {sheet.offcut}.")]


def _faults_on(sheet: Sheet, known: Known, spacing: float, margin: float) -> list[Finding]:
    out: list[Finding] = []
    there = [p for p in sheet.placements if (p.part, p.layer) in known]
    there = [p for p in there if p.piece < len(known[p.part, p.layer].cut)]
    flats: list[Flat] = []
    for p in there:
        layer = known[p.part, p.layer]
        key = (p.part, p.layer, p.piece)
        flats.append(placed(layer, p))
        if layer.board != sheet.board:
            out.append(_fault(f"wants {layer.board} but lies on {sheet.name} of {sheet.board}", key))
        if layer.mirrored != p.mirrored:
            out.append(_fault(f"is mirrored wrongly on {sheet.name}", key))
        if _outside(flats[-1], sheet, margin):
            out.append(_fault(f"reaches beyond the margin of {sheet.name}", key))
    for one, two, gap in too_close(flats, spacing):
        a, b = there[one], there[two]
        message = f"is {gap:.4f} mm from layer {b.layer} of {b.part} on {sheet.name}, not {spacing:g} mm"
        out.append(_fault(message, (a.part, a.layer, a.piece)))
    return out


def _outside(shape: Flat, sheet: Sheet, margin: float) -> bool:
    x0, y0, x1, y1 = shape.bounds
    beyond = (
        min(x0, y0) < margin - EDGE or x1 > sheet.width - margin + EDGE or y1 > sheet.height - margin + EDGE
    )
    return beyond or (sheet.outline is not None and reaches_out(shape, sheet.outline, margin, EDGE))


def _against_grain(
    sheets: Sequence[Sheet], layers: Sequence[Layer], boards: Mapping[str, Board]
) -> list[Finding]:
    """Layers that are turned otherwise than their rule allows, or otherwise than the rest of their part."""
    allowed = ways_of(layers)
    tied = {layer.part for layer in layers if bonded(layer)}
    left: dict[str, set[int]] = {}
    out: list[Finding] = []
    for sheet in sheets:
        grain = sheet.grain or boards[sheet.board].grain
        for p in sheet.placements:
            if (p.part, p.layer) not in allowed:
                continue
            groups = allowed[p.part, p.layer][grain]
            fitting = {n for n, turns in enumerate(groups) if any(same_turn(p.turn, turn) for turn in turns)}
            if p.part in tied and grain != "none" and fitting:
                fitting &= left.get(p.part, fitting)
                left[p.part] = fitting or left[p.part]
            if not fitting:
                out.append(_fault(f"lies against its grain on {sheet.name}", (p.part, p.layer, p.piece)))
    return out


def _sheet_fault(message: str) -> Finding:
    return Finding("layout-fault", "stop", message, _REMEDY)


def _fault(what: str, key: Key) -> Finding:
    part, layer, piece = key
    which = f"Layer {layer} of {part}" + (f" (piece {piece + 1})" if piece else "")
    return Finding("layout-fault", "stop", f"{which} {what}.", _REMEDY, part, layer)


_REMEDY = "The layout cannot be trusted: do not cut it, and report it with the design file."
