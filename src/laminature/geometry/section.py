"""Section values of a flat region: area, centroid and second moments, by the exact polygon formulas."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from laminature.geometry.flat import Flat


@dataclass(frozen=True)
class Section:
    """``area`` in mm², ``centroid`` in mm; ``ix``, ``iy``, ``ixy`` about axes through the centroid, mm⁴.

    ``ix`` is the integral of y², ``iy`` of x², ``ixy`` of x·y.
    """

    area: float
    centroid: tuple[float, float]
    ix: float
    iy: float
    ixy: float


def section(shape: Flat) -> Section:
    """Section values of ``shape``, its openings taken out.

    Green's theorem over the edges, as handbooks of structural engineering give it. Points are
    taken relative to the region's corner first: far from the origin the sums would lose digits.
    """
    x0, y0, _, _ = shape.bounds
    area = first_x = first_y = ix = iy = ixy = 0.0
    for n, ring in enumerate((shape.exterior, *shape.interiors)):
        points = np.asarray(ring.coords) - (x0, y0)
        x, y = points[:-1, 0], points[:-1, 1]
        p, q = points[1:, 0], points[1:, 1]
        cross = x * q - p * y
        sign = (1.0 if cross.sum() > 0.0 else -1.0) * (1.0 if n == 0 else -1.0)
        area += sign * float(cross.sum()) / 2
        first_x += sign * float(((x + p) * cross).sum()) / 6
        first_y += sign * float(((y + q) * cross).sum()) / 6
        ix += sign * float(((y * y + y * q + q * q) * cross).sum()) / 12
        iy += sign * float(((x * x + x * p + p * p) * cross).sum()) / 12
        ixy += sign * float(((x * q + 2 * x * y + 2 * p * q + p * y) * cross).sum()) / 24
    cx, cy = first_x / area, first_y / area
    return Section(
        area,
        (cx + x0, cy + y0),
        ix - area * cy * cy,
        iy - area * cx * cx,
        ixy - area * cx * cy,
    )
