"""An offcut of the maker's for the page: a small drawing and its facts."""

from __future__ import annotations

from typing import Any

from laminature.model.board import Board
from laminature.model.offcut import Offcut
from laminature.pipeline.showing.sheets import border

#: A small drawing leaves out what is smaller than this share of its longer side.
_FINEST = 1.0 / 150.0


def offcut(one: Offcut, board: Board | None, *, suits: bool, chosen: bool) -> dict[str, Any]:
    """Name, board, size, outline and grain of an offcut; lengths are mm, y runs downwards.

    ``board`` is what is known of its board, ``suits`` whether the piece has layers of it. ``area`` is cm²,
    ``grain`` degrees from its width.
    """
    width, height = (float(side) for side in one.outline.bounds[2:])
    small = one.outline.simplify(max(width, height) * _FINEST)
    return {
        "name": one.name,
        "board": one.board if board is None else board.title,
        "known": board is not None,
        "width": round(width, 1),
        "height": round(height, 1),
        "area": round(float(one.outline.area) / 100.0, 1),
        "grain": {"x": 0.0, "y": 90.0, "none": None}[one.grain],
        "d": border(one.outline if small.is_empty else small, height),
        "origin": one.origin,
        "suits": suits,
        "chosen": chosen,
    }
