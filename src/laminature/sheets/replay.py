"""Layouts that were found earlier: the same again, where they still serve.

A layout that a search by time has found cannot be found again exactly, so it is kept with the kit
and laid out from there: the same bytes at once. Nothing is taken on trust: the exact check
decides whether it still serves.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence

import numpy as np

from laminature.model.board import Board
from laminature.model.layer import Layer


def digest(layers: Sequence[Layer], boards: Mapping[str, Board], spacing: float, margin: float) -> str:
    """What stands for the shapes, boards and settings of a layout: SHA-256 in hexadecimal.

    Offcuts do not count: which of them there are changes from kit to kit.
    """
    whole = hashlib.sha256()
    whole.update(repr((round(spacing, 9), round(margin, 9))).encode())
    for name in sorted({layer.board for layer in layers}):
        board = boards[name]
        whole.update(repr((name, board.sheet_width, board.sheet_height, board.grain)).encode())
    for layer in layers:
        whole.update(repr((layer.part, layer.index, layer.board, layer.grain, layer.mirrored)).encode())
        for flat in layer.cut:
            for ring in (flat.exterior, *flat.interiors):
                corners = np.round(np.asarray(ring.coords), 6) + 0.0
                whole.update(repr(corners.shape).encode() + corners.tobytes())
    return whole.hexdigest()
