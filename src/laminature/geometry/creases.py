"""Which edges of a mesh are drawn as lines: those where its faces meet at an angle."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
#: Faces that meet at more than this are drawn with an edge, cosine of the angle.
SHARP = 0.9
#: Corners that agree to so many places of a millimetre are one.
PLACES = 5


def face_normals(corners: Array) -> Array:
    """The unit normals of triangles (m, 3, 3); zero for one without area."""
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    size = np.linalg.norm(normal, axis=1, keepdims=True)
    return np.asarray(normal / np.where(size > 0.0, size, 1.0))


def sharp_edges(corners: Array) -> Array:
    """Ends (2k, 3) of the edges of triangles (m, 3, 3) that meet at an angle, or where only one is.

    Edges come in the order of their first triangles, each from its lesser end, rounded to 0.00001 mm.
    """
    start = np.round(corners.reshape(-1, 3), PLACES)
    end = np.round(corners[:, [1, 2, 0]].reshape(-1, 3), PLACES)
    backwards = _after(start, end)[:, None]
    both = np.where(backwards, np.hstack([end, start]), np.hstack([start, end]))
    _, first, inverse, times = np.unique(
        both, axis=0, return_index=True, return_inverse=True, return_counts=True
    )
    normal = face_normals(corners)
    # Triangles edge by edge: the first two of each edge stand at its beginning and right after it.
    triangle = np.argsort(inverse.reshape(-1), kind="stable") // 3
    begin = np.cumsum(times) - times
    one, two = triangle[begin], triangle[np.minimum(begin + 1, len(triangle) - 1)]
    level = np.einsum("ij,ij->i", normal[one], normal[two]) >= SHARP
    drawn = np.sort(first[(times != 2) | ~level])
    return np.asarray(both[drawn]).reshape(-1, 3)


def _after(one: Array, other: Array) -> NDArray[np.bool_]:
    """Which rows of ``one`` come after those of ``other``, compared number by number."""
    rows, first = np.arange(len(one)), (one != other).argmax(axis=1)
    return np.asarray(one[rows, first] > other[rows, first])
