"""How a half-built piece rests on the bench while the next part is put on it."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from laminature.geometry.facets import across
from laminature.geometry.flat import convex
from laminature.geometry.pose import Array, Vector
from laminature.geometry.solid import Solid
from laminature.planning.puzzle import Mask, Puzzle, bits

#: What lies this much of the work's width above the bench still carries it: it tilts by some 2° (common
#: practice, no source).
LEVEL = 0.04
#: And this much at least, mm.
NEAR = 0.05


class Resting:
    """Parts of a puzzle, each way up: quick enough to be asked many thousand times."""

    def __init__(self, puzzle: Puzzle) -> None:
        self._points = [_hull(solid) for solid in puzzle.solids]
        self.volume: list[float] = [
            sum(f.area * (s.upper - s.lower) for s in solid.slabs for f in s.flats) for solid in puzzle.solids
        ]
        self._middle = np.array([solid.corners.mean(axis=0) for solid in puzzle.solids])
        self._seen: dict[Vector, tuple[list[Array], Array]] = {}
        self.firmness = lru_cache(maxsize=None)(self._firmness)
        self.weight = lru_cache(maxsize=None)(self._weight)

    def _weight(self, mask: Mask) -> float:
        """Volume of board, mm³."""
        return sum((self.volume[i] for i in bits(mask)), 0.0)

    def _firmness(self, mask: Mask, down: Vector) -> float:
        """How far these parts may be tilted before they tip over, ``down`` down, degrees; 0 if they fall.

        Feet are taken as the box around all that carries, which is kind to odd outlines.
        """
        if down not in self._seen:
            basis = across(down).T
            self._seen[down] = [p @ basis for p in self._points], self._middle @ basis
        points, middles = self._seen[down]
        mine = list(bits(mask))
        all_points = np.concatenate([points[i] for i in mine])
        low = float(all_points[:, 2].max())
        wide = float(np.ptp(all_points[:, :2], axis=0).max())
        feet = all_points[all_points[:, 2] > low - max(NEAR, LEVEL * wide), :2]
        weights = np.array([self.volume[i] for i in mine])
        x, y, depth = weights @ middles[mine] / weights.sum()
        margin = min(*((x, y) - feet.min(axis=0)), *(feet.max(axis=0) - (x, y)))
        return math.degrees(math.atan2(max(0.0, float(margin)), max(1e-9, low - float(depth))))


def _hull(solid: Solid) -> Array:
    """The corners of a stack's convex outline at both its faces: all that it can stand on."""
    own = solid.pose.to_part(solid.points)
    outline = np.asarray(convex(own[:, :2]).exterior.coords)[:-1]
    heights = own[:, 2].min(), own[:, 2].max()
    ends = [np.column_stack([outline, np.full(len(outline), h)]) for h in heights]
    return solid.pose.to_piece(np.concatenate(ends))
