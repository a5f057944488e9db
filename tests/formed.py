"""Pieces made from forms on a plain bench, and how large they have become."""

import itertools

import numpy as np

from laminature.geometry.flat import Flat
from laminature.model.board import Board
from laminature.model.fit import HAND_STACKED
from laminature.model.form import Workshop
from laminature.model.stack import layers_for, stack

BOARD = Board("chipboard-22", "Chipboard, 22 points", 0.5588, 300.0, 300.0)


def workshop(scale=12.0, board=BOARD, **more):
    return Workshop(
        scale,
        board,
        HAND_STACKED,
        lambda wanted: stack(board, layers_for(board, wanted)),
        lambda count: stack(board, count),
        **more,
    )


def extent(part):
    """Least and greatest corner of a part's box, placed in the piece, mm."""
    x0, y0, x1, y1 = part.outline.bounds
    box = np.array(list(itertools.product((x0, x1), (y0, y1), (0.0, part.thickness))))
    placed = part.pose.to_piece(box)
    return placed.min(axis=0), placed.max(axis=0)


def bounds(piece):
    """Least and greatest corner of all parts' boxes together, mm."""
    ends = [extent(p) for p in piece.parts]
    return np.min([low for low, _ in ends], axis=0), np.max([high for _, high in ends], axis=0)


def whole(piece):
    """The size of the box about all parts, mm."""
    low, high = bounds(piece)
    return high - low


def corners(part):
    """Every corner of a part's outline, below and above, in the piece, mm."""
    ring = np.asarray(part.outline.flat.exterior.coords)
    both = [np.column_stack([ring, np.full(len(ring), z)]) for z in (0.0, part.thickness)]
    return part.pose.to_piece(np.vstack(both))


def seen_from_above(part):
    """A standing panel's plan."""
    x0, _, x1, _ = part.outline.bounds
    box = np.array([(x0, 0, 0), (x1, 0, 0), (x1, 0, part.thickness), (x0, 0, part.thickness)], dtype=float)
    return Flat(part.pose.to_piece(box)[:, :2])
