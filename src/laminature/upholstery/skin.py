"""Skins of triangles: patches between lines of points, tubes, balls, and their smooth normals."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from laminature.model.cushion import Shell

Array = NDArray[np.float64]
Faces = NDArray[np.int64]
#: Points round a tube.
AROUND = 8


def empty() -> Shell:
    """A skin of nothing."""
    return Shell(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros((0, 3), dtype=np.int64))


def joined(shells: list[Shell]) -> Shell:
    """Several skins as one."""
    if not shells:
        return empty()
    starts = np.cumsum([0, *(len(s.vertices) for s in shells)])
    return Shell(
        np.concatenate([s.vertices for s in shells]),
        np.concatenate([s.normals for s in shells]),
        np.concatenate([s.faces + k for s, k in zip(shells, starts, strict=False)]),
    )


def smooth_normals(vertices: Array, faces: Faces) -> Array:
    """Unit vectors at the vertices: the mean of their triangles', each by its angle there."""
    corner = vertices[faces]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-15)[:, None]
    total = np.zeros_like(vertices)
    for k in range(3):
        a, b = corner[:, (k + 1) % 3] - corner[:, k], corner[:, (k + 2) % 3] - corner[:, k]
        size = np.linalg.norm(a, axis=1) * np.linalg.norm(b, axis=1)
        angle = np.arccos(np.clip((a * b).sum(axis=1) / np.maximum(size, 1e-15), -1.0, 1.0))
        np.add.at(total, faces[:, k], angle[:, None] * normal)
    unit: Array = total / np.maximum(np.linalg.norm(total, axis=1), 1e-15)[:, None]
    return unit


def between(rows: int, count: int) -> Faces:
    """Triangles between closed lines of ``count`` points each, numbered line by line.

    Seen from outside, the next line lies to the left of each.
    """
    here = np.arange(count)
    after = (here + 1) % count
    found = []
    for row in range(rows - 1):
        low, high = row * count, (row + 1) * count
        found.append(np.column_stack([low + here, low + after, high + after]))
        found.append(np.column_stack([low + here, high + after, high + here]))
    return np.concatenate(found)


def tube(line: Array, out: Array, radius: float) -> Shell:
    """A tube round a closed level line (n, 3); ``out`` (n, 2) points out of it, longer at mitres."""
    turn = 2.0 * np.pi * np.arange(AROUND) / AROUND
    level = np.column_stack([out, np.zeros(len(out))])
    up = np.array([0.0, 0.0, 1.0])
    vertices = np.concatenate([line + radius * (math.cos(t) * level + math.sin(t) * up) for t in turn])
    level = level / np.linalg.norm(level, axis=1)[:, None]
    normals = np.concatenate([math.cos(t) * level + math.sin(t) * up for t in turn])
    count = len(line)
    closed = between(AROUND + 1, count) % (AROUND * count)
    return Shell(vertices, normals, closed)


def ball(centre: Array, radius: float, flat: float = 1.0) -> Shell:
    """A ball of 80 triangles, its height ``flat`` times its width."""
    vertices, faces = _ICOSPHERE
    squeeze = np.array([1.0, 1.0, flat])
    normals = vertices / squeeze
    normals = normals / np.linalg.norm(normals, axis=1)[:, None]
    return Shell(centre + radius * vertices * squeeze, normals, faces)


def _icosphere() -> tuple[Array, Faces]:
    """An icosahedron, each triangle cut in four, its corners on the unit ball."""
    gold = (1.0 + math.sqrt(5.0)) / 2.0
    corners = np.array(
        [(s, t * gold, 0.0) for s in (-1.0, 1.0) for t in (-1.0, 1.0)]
        + [(0.0, s, t * gold) for s in (-1.0, 1.0) for t in (-1.0, 1.0)]
        + [(t * gold, 0.0, s) for s in (-1.0, 1.0) for t in (-1.0, 1.0)]
    )
    corners /= np.linalg.norm(corners[0])
    far = np.linalg.norm(corners[:, None] - corners, axis=2)
    near = (far > 0.1) & (far < 1.2)
    faces = []
    for i in range(12):
        for j in range(i + 1, 12):
            for k in range(j + 1, 12):
                if near[i, j] and near[j, k] and near[i, k]:
                    left = np.linalg.det(corners[[i, j, k]]) > 0.0
                    faces.append((i, j, k) if left else (i, k, j))
    points = list(corners)
    middles: dict[tuple[int, int], int] = {}

    def middle(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        if key not in middles:
            middles[key] = len(points)
            halfway = points[a] + points[b]
            points.append(halfway / np.linalg.norm(halfway))
        return middles[key]

    fine = []
    for i, j, k in faces:
        a, b, c = middle(i, j), middle(j, k), middle(k, i)
        fine += [(i, a, c), (a, j, b), (c, b, k), (a, b, c)]
    return np.array(points), np.array(fine, dtype=np.int64)


_ICOSPHERE = _icosphere()
