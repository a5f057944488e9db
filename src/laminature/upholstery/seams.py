"""Places at which the seams of channels go through the panel."""

from __future__ import annotations

import math

from laminature.geometry.path import Point
from laminature.model.cushion import Buttoning

#: Length of a stitch in a seam, mm at miniature scale (common practice, no source).
STITCH = 3.0
#: The first and last stitch of a seam keep this far from its ends at the panel's edge, mm (common
#: practice, no source).
END = 2.0


def seam_stitches(seam: tuple[Point, Point], stitch: float = STITCH) -> tuple[Point, ...]:
    """The places of a seam's stitches, evenly about ``stitch`` mm apart, from its start to its end.

    An odd number of steps, so that the thread goes down at both ends; a very short seam has its middle.
    """
    (ax, ay), (bx, by) = seam
    length = math.dist(*seam)
    if length <= 2.0 * END + stitch / 2.0:
        return (((ax + bx) / 2.0, (ay + by) / 2.0),)
    steps = max(1, round((length - 2.0 * END) / stitch))
    steps += 1 - steps % 2
    first, last = END / length, 1.0 - END / length
    shares = [first + (last - first) * k / steps for k in range(steps + 1)]
    return tuple((ax + (bx - ax) * s, ay + (by - ay) * s) for s in shares)


def thread_places(buttoning: Buttoning) -> tuple[Point, ...]:
    """Where thread goes through the panel: under the buttons, or along the seams, seam by seam."""
    if buttoning.seams:
        return tuple(p for seam in buttoning.seams for p in seam_stitches(seam))
    return buttoning.points


def knots(buttoning: Buttoning) -> tuple[Point, ...]:
    """Where thread is tied off behind the panel: at every button, at both ends of every seam."""
    if buttoning.seams:
        ends = (seam_stitches(seam) for seam in buttoning.seams)
        return tuple(p for stitches in ends for p in dict.fromkeys((stitches[0], stitches[-1])))
    return buttoning.points
