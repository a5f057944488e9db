"""From where a drawing is looked at: parallel projections along a direction of view."""

from __future__ import annotations

import math

import numpy as np

from laminature.geometry.pose import cos_sin
from laminature.geometry.visible import View

#: Azimuth and elevation of the isometric view, degrees: all three axes are shortened alike, by √(2/3)
#: (ISO 5456-3, isometric axonometry). From the front and the left.
ISOMETRIC = (-45.0, math.degrees(math.asin(1.0 / math.sqrt(3.0))))
#: The axonometric view of pieces here: nearer to the front than the isometric one, in which corners that
#: stand behind one another at 45 degrees fall on one line. Our own choice.
USUAL = (-34.0, 27.0)
FRONT = (0.0, 0.0)
FROM_LEFT = (-90.0, 0.0)
FROM_RIGHT = (90.0, 0.0)
PLAN = (0.0, 90.0)


def looking(azimuth: float, elevation: float) -> View:
    """The view of somebody who stands ``azimuth`` degrees to the right of straight ahead, at ``elevation``.

    Straight ahead is from −y; elevation is above the level, 90 from above with y pointing up.
    """
    cos_a, sin_a = cos_sin(azimuth)
    cos_e, sin_e = cos_sin(elevation)
    right = np.array([cos_a, sin_a, 0.0])
    ahead = np.array([-sin_a, cos_a, 0.0])
    away = cos_e * ahead - np.array([0.0, 0.0, sin_e])
    return View(right, np.cross(right, away), away)
