"""The last look at a layout before anything is written: exact, whoever made it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence

from laminature.geometry.flat import Flat
from laminature.geometry.nearness import too_close
from laminature.model.board import Board
from laminature.model.finding import Finding
from laminature.model.layer import Layer
from laminature.model.sheet import Placement, Sheet
from laminature.sheets.greedy import turned

#: Placed outlines may lie outside the margin by this for rounding, mm.
EDGE = 1e-6

Key = tuple[str, int, int]


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
) -> tuple[Finding, ...]:
    """What is wrong with a layout: nothing, if it is as asked.

    Every polygon of every layer must lie once on a sheet of its board, mirrored as its
    layer says, within ``margin`` mm of the border, and ``spacing`` mm from every other.
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
    for sheet in sheets:
        out += _faults_on(sheet, known, boards[sheet.board], spacing, margin)
    return tuple(out)


def _faults_on(
    sheet: Sheet, known: Mapping[tuple[str, int], Layer], board: Board, spacing: float, margin: float
) -> list[Finding]:
    out: list[Finding] = []
    if (sheet.width, sheet.height) != (board.sheet_width, board.sheet_height):
        out.append(
            Finding("layout-fault", "stop", f"{sheet.name} is not as large as a sheet of {board.title}.")
        )
    there = [p for p in sheet.placements if (p.part, p.layer) in known]
    flats: list[Flat] = []
    for p in there:
        layer = known[p.part, p.layer]
        key = (p.part, p.layer, p.piece)
        flats.append(placed(layer, p))
        if layer.board != sheet.board:
            out.append(_fault(f"wants {layer.board} but lies on {sheet.name} of {sheet.board}", key))
        if layer.mirrored != p.mirrored:
            out.append(_fault(f"is mirrored wrongly on {sheet.name}", key))
        x0, y0, x1, y1 = flats[-1].bounds
        if (
            min(x0, y0) < margin - EDGE
            or x1 > sheet.width - margin + EDGE
            or y1 > sheet.height - margin + EDGE
        ):
            out.append(_fault(f"reaches beyond the margin of {sheet.name}", key))
    for one, two, gap in too_close(flats, spacing):
        a, b = there[one], there[two]
        message = f"is {gap:.4f} mm from layer {b.layer} of {b.part} on {sheet.name}, not {spacing:g} mm"
        out.append(_fault(message, (a.part, a.layer, a.piece)))
    return out


def _fault(what: str, key: Key) -> Finding:
    part, layer, piece = key
    which = f"Layer {layer} of {part}" + (f" (piece {piece + 1})" if piece else "")
    return Finding(
        "layout-fault",
        "stop",
        f"{which} {what}.",
        "The layout cannot be trusted: do not cut it, and report it with the design file.",
        part,
        layer,
    )
