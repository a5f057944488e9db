"""What a plane cuts out of a slab of board that stands anywhere in space."""

from __future__ import annotations

import math

import numpy as np

from laminature.geometry.flat import Flat, Flats, chords, mapped
from laminature.geometry.pose import Pose

#: Planes whose normals differ by less than this (sine) are parallel.
PARALLEL = 1e-6
#: A slab that stands this square to the plane (sine) is cut in one strip, others in several.
SQUARE, STRIPS = 0.9, 8


def cut_out(
    regions: Flats, lower: float, upper: float, pose: Pose, own: Pose, height: float, within: float
) -> list[Flat]:
    """A slab of ``regions``, from ``lower`` to ``upper`` in ``pose``, where it is ``within`` mm over a plane.

    The plane is that at ``height`` in the frame ``own``; the polygons come in that frame's x and y. A slab
    that is parallel to it counts where any of it is that near; one that stands on it is cut at that distance,
    in strips along its middle: exact where it stands square, near where it leans.
    """
    turn = pose.matrix.T @ own.matrix
    a, b = float(turn[2, 0]), float(turn[2, 1])
    steep = math.hypot(a, b)
    parallel = steep < PARALLEL
    level = height if parallel else height + within
    origin = pose.to_part(own.to_piece(np.array([0.0, 0.0, level])))
    flat, away = turn[:2, :2], float(origin[2])
    if parallel:
        # Which way the plane's own normal goes through the slab.
        near, far = (lower - away, upper - away) if turn[2, 2] > 0.0 else (away - upper, away - lower)
        if far <= within * 0.1 or near >= within:
            return []
        return [mapped(one, flat.T.tolist(), tuple(-flat.T @ origin[:2])) for one in regions]
    rise, along = np.array([a, b]) / steep, np.array([-b, a]) / steep
    count = 1 if steep > SQUARE else STRIPS
    half = (upper - lower) / count / (2.0 * steep)
    found = []
    for k in range(count):
        middle = rise * (lower + (upper - lower) * (k + 0.5) / count - away) / steep
        start, way = origin[:2] + flat @ middle, flat @ along
        for one in regions:
            x0, y0, x1, y1 = one.bounds
            reach = math.hypot(x1 - x0, y1 - y0)
            shift = float(way @ (np.array([x0 + x1, y0 + y1]) / 2.0 - start))
            ends = [start + (shift + sign * reach) * way for sign in (-1.0, 1.0)]
            line = [(float(x), float(y)) for x, y in ends]
            for chord in chords(one, line[0], line[1]):
                c, d = (float(way @ (np.array(p) - start)) for p in chord)
                corners = [
                    middle + along * u + rise * v for u, v in ((c, -half), (d, -half), (d, half), (c, half))
                ]
                found.append(Flat(corners))
    return found
