"""A polygon's edges as arrays, for questions asked of many lines at once."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from laminature.geometry.flat import Flat

Array = NDArray[np.float64]


def edges(shape: Flat) -> tuple[Array, Array]:
    """Starts and ends of all edges, openings too: two arrays of shape (m, 2), mm."""
    rings = shapely.get_rings(shape)
    points, ring = shapely.get_coordinates(rings, return_index=True)
    same = ring[1:] == ring[:-1]
    return points[:-1][same], points[1:][same]
