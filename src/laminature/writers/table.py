"""parts.csv: every kind of part with its count and sizes, for a spreadsheet (RFC 4180)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence

from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece

COLUMNS = (
    "part",
    "letter",
    "count",
    "names",
    "layers",
    "board",
    "thickness mm",
    "thickness full-size mm",
    "width mm",
    "height mm",
    "width full-size mm",
    "height full-size mm",
)
#: What a spreadsheet takes for a formula when a cell begins with it, also in full width, and line starts.
_DANGEROUS = "=+-@\t\r\n＝＋－＠"
_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


def parts_csv(piece: Piece, layers: Sequence[Layer], scale: float) -> bytes:
    """The bytes of a table with a row for each letter; alike parts share one and are counted.

    ``scale`` is the n of 1:n. Sizes are those of the finished part in its own plane, in mm, at
    miniature scale and full-size; decimals have a point. Text that a spreadsheet would run as a
    formula gets an apostrophe in front.
    """
    kinds: dict[str, list[Part]] = {}
    for part in piece.parts:
        kinds.setdefault(part.letter or part.name, []).append(part)
    by_part: dict[str, list[Layer]] = {}
    for layer in layers:
        by_part.setdefault(layer.part, []).append(layer)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for parts in kinds.values():
        first = parts[0]
        width, height = _size(first, by_part.get(first.name, ()))
        writer.writerow(
            [
                safe_cell(first.title or first.name),
                safe_cell(first.letter),
                len(parts),
                safe_cell(" ".join(p.name for p in parts)),
                first.stack.count,
                safe_cell(" + ".join(dict.fromkeys(first.stack.boards))),
                _mm(first.thickness),
                _mm(first.thickness * scale),
                _mm(width),
                _mm(height),
                _mm(width * scale),
                _mm(height * scale),
            ]
        )
    return out.getvalue().encode("utf-8", "replace")


def safe_cell(text: str) -> str:
    """Text that no spreadsheet takes for a formula: where it would, an apostrophe stands in front.

    Control characters are left out. What comes after leading spaces counts as the
    beginning, because some programs strip them.
    """
    plain = _CONTROL.sub("", text)
    if not plain.strip():
        return ""
    runs = plain[0] in _DANGEROUS or plain.lstrip()[0] in _DANGEROUS
    return "'" + plain if runs else plain


def _size(part: Part, layers: Sequence[Layer]) -> tuple[float, float]:
    """Width and height over all layers, tabs included; of the outline where there are none."""
    bounds = [flat.bounds for layer in layers for flat in layer.regions] or [part.outline.bounds]
    x0, y0 = min(b[0] for b in bounds), min(b[1] for b in bounds)
    x1, y1 = max(b[2] for b in bounds), max(b[3] for b in bounds)
    return x1 - x0, y1 - y0


def _mm(value: float) -> str:
    return f"{value:.2f}"
