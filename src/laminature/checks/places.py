"""From a spot on a layer to its place in the piece."""

from __future__ import annotations

import numpy as np

from laminature.geometry.path import Point
from laminature.geometry.pose import Vector
from laminature.model.layer import Layer
from laminature.model.part import Part


def on_layer(part: Part, layer: Layer, at: Point) -> Vector:
    """The point ``at`` of the part's plane, half-way up in ``layer``, in the piece's frame, mm."""
    return in_piece(part, (at[0], at[1], (layer.lower + layer.upper) / 2))


def in_piece(part: Part, at: Vector) -> Vector:
    """A point of the part's own frame in the piece's, mm."""
    x, y, z = part.pose.to_piece(np.array(at))
    return (float(x), float(y), float(z))


def along(origin: Vector, way: Vector, distance: float) -> Vector:
    """The point ``distance`` mm from ``origin`` along ``way``."""
    return (
        origin[0] + distance * way[0],
        origin[1] + distance * way[1],
        origin[2] + distance * way[2],
    )
