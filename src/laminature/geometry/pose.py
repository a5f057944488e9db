"""Where a part stands: a rotation and a shift, from its own frame to the piece's."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Vector = tuple[float, float, float]
Array = NDArray[np.float64]


@dataclass(frozen=True)
class Pose:
    """A rigid motion. ``x``, ``y``, ``z`` are the part's own axes seen in the piece.

    The axes are unit vectors, at right angles and right-handed; ``origin`` is where
    the part's (0, 0, 0) lies, in mm. Build one with :func:`pose` or :func:`facing`,
    which check that.
    """

    origin: Vector = (0.0, 0.0, 0.0)
    x: Vector = (1.0, 0.0, 0.0)
    y: Vector = (0.0, 1.0, 0.0)
    z: Vector = (0.0, 0.0, 1.0)

    @cached_property
    def matrix(self) -> Array:
        """The 3 × 3 rotation; its columns are the part's axes."""
        return np.array([self.x, self.y, self.z]).T

    @cached_property
    def shift(self) -> Array:
        """The origin as an array of shape (3,), mm."""
        return np.array(self.origin)

    def to_piece(self, points: Array) -> Array:
        """Bring points (…, 3) from the part's frame into the piece's."""
        return points @ self.matrix.T + self.shift

    def to_part(self, points: Array) -> Array:
        """Bring points (…, 3) from the piece's frame into the part's."""
        return (points - self.shift) @ self.matrix

    def then(self, outer: Pose) -> Pose:
        """The pose followed by ``outer``: used to turn or move a whole piece."""
        rotation = outer.matrix @ self.matrix
        return _from_arrays(outer.to_piece(self.shift), rotation)

    def moved(self, dx: float = 0.0, dy: float = 0.0, dz: float = 0.0) -> Pose:
        """The same pose, shifted in the piece's frame, mm."""
        ox, oy, oz = self.origin
        return Pose((ox + dx, oy + dy, oz + dz), self.x, self.y, self.z)


def facing(origin: Sequence[float], x: Sequence[float], y: Sequence[float]) -> Pose:
    """The pose whose part lies with its x axis along ``x`` and its y axis towards ``y``.

    ``x`` need not be of unit length; ``y`` is squared up against it; the stack grows
    along x × y. Raises ValueError if the two are parallel or zero.
    """
    ax = np.asarray(x, dtype=float)
    ay = np.asarray(y, dtype=float)
    nx = float(np.linalg.norm(ax))
    if not nx > 0.0:
        raise ValueError("a pose needs an x axis that is not zero")
    ax = ax / nx
    ay = ay - ax * float(ax @ ay)
    ny = float(np.linalg.norm(ay))
    if not ny > 1e-9:
        raise ValueError("a pose needs a y axis that is not parallel to its x axis")
    ay = ay / ny
    return _from_arrays(np.asarray(origin, dtype=float), np.column_stack([ax, ay, np.cross(ax, ay)]))


def turned(axis: Sequence[float], degrees: float, origin: Sequence[float] = (0.0, 0.0, 0.0)) -> Pose:
    """A rotation by ``degrees`` about ``axis`` through ``origin`` (right-hand rule)."""
    a = np.asarray(axis, dtype=float)
    a = a / float(np.linalg.norm(a))
    cosine, sine = cos_sin(degrees)
    cross = np.array([[0.0, -a[2], a[1]], [a[2], 0.0, -a[0]], [-a[1], a[0], 0.0]])
    rotation = np.eye(3) + sine * cross + (1.0 - cosine) * (cross @ cross)
    o = np.asarray(origin, dtype=float)
    return _from_arrays(o - rotation @ o, rotation)


def cos_sin(degrees: float) -> tuple[float, float]:
    """Cosine and sine of an angle in degrees, exact at every quarter turn.

    ``math.cos(math.pi / 2)`` is 6e-17, which is enough to make a right angle oblique.
    """
    quarter, rest = divmod(degrees, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
    return math.cos(math.radians(degrees)), math.sin(math.radians(degrees))


def _from_arrays(origin: Array, rotation: Array) -> Pose:
    def as_tuple(v: Array) -> Vector:
        return (float(v[0]), float(v[1]), float(v[2]))

    return Pose(as_tuple(origin), *(as_tuple(rotation[:, i]) for i in range(3)))
