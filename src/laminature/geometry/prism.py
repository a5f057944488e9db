"""Prisms: flat regions raised between two heights, as closed meshes of triangles.

The triangulation is manifold3d's, which adds no points; outsides lie to the left of every
triangle's edges walked in order.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import manifold3d
import numpy as np
from numpy.typing import NDArray

from laminature.errors import GeometryError
from laminature.geometry.flat import Flat
from laminature.geometry.pose import Pose
from laminature.geometry.solid import Slab, stacked

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Mesh:
    """Triangles: ``vertices`` (n, 3) in mm, ``faces`` (m, 3) counting vertices from 0, outsides ccw."""

    vertices: Array
    faces: NDArray[np.int64]

    @property
    def volume(self) -> float:
        """The space enclosed, mm³: the sum of the tetrahedra over its triangles (Gauss's theorem)."""
        a, b, c = (self.vertices[self.faces[:, i]] for i in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def prism(shape: Flat, lower: float, upper: float) -> Mesh:
    """The region ``shape``, openings and all, raised from height ``lower`` to ``upper``, mm.

    Raises GeometryError unless ``lower`` is below ``upper`` and the region has an area.
    """
    if not lower < upper:
        raise GeometryError(f"a layer from {lower:g} to {upper:g} mm has no thickness")
    if shape.is_empty or not shape.area > 0.0:
        raise GeometryError("a region without area cannot be raised to a solid")
    rings = [np.asarray(r.coords)[:-1, :2] for r in (shape.exterior, *shape.interiors)]
    rings = [r if _turns_left(r) == (k == 0) else r[::-1] for k, r in enumerate(rings)]
    plane = np.concatenate(rings)
    count = len(plane)
    top = np.asarray(manifold3d.triangulate([np.ascontiguousarray(r) for r in rings]), dtype=np.int64)
    sides, start = [], 0
    for ring in rings:
        here = np.arange(start, start + len(ring))
        after = np.roll(here, -1)
        sides.append(np.column_stack([here, after, after + count]))
        sides.append(np.column_stack([here, after + count, here + count]))
        start += len(ring)
    vertices = np.concatenate([np.column_stack([plane, np.full(count, z)]) for z in (lower, upper)])
    return Mesh(vertices, np.concatenate([top[:, ::-1], top + count, *sides]))


def pile(slabs: Sequence[Slab]) -> Mesh:
    """Slabs glued to one closed mesh, without the faces that they share.

    Raises GeometryError where there is nothing to pile up.
    """
    bodies = []
    for slab in stacked(slabs, Pose()).slabs:
        for shape in slab.flats:
            one = prism(shape, slab.lower, slab.upper)
            mesh = manifold3d.Mesh64(one.vertices, np.ascontiguousarray(one.faces, dtype=np.uint64))
            body = manifold3d.Manifold(mesh)
            if body.status() != manifold3d.Error.NoError:
                raise GeometryError(f"a layer cannot be raised to a solid ({body.status().name})")
            bodies.append(body)
    if not bodies:
        raise GeometryError("a part without layers has no solid")
    whole = (
        bodies[0] if len(bodies) == 1 else manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    )
    joined = whole.to_mesh64()
    points = np.array(joined.vert_properties, dtype=np.float64)[:, :3]
    return Mesh(points, np.array(joined.tri_verts, dtype=np.int64))


def _turns_left(ring: Array) -> bool:
    x, y = ring[:, 0], ring[:, 1]
    return bool((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() > 0.0)
