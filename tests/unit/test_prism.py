"""Prisms and piles: closed, turned outwards, of the right volume."""

import math

import numpy as np
import pytest

from laminature.errors import GeometryError
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.prism import pile, prism
from laminature.geometry.region import disc
from laminature.geometry.solid import Slab

PLATE = flat([(0, 0), (40, 0), (40, 20), (0, 20)], [[(5, 5), (15, 5), (15, 8), (5, 8)]])


def directed_edges(faces):
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def closed(mesh):
    """Every edge is walked once in each direction: no gap, and all faces turned the same way."""
    edges = directed_edges(mesh.faces)
    ahead = {tuple(e) for e in edges}
    return len(ahead) == len(edges) and ahead == {(b, a) for a, b in ahead}


@pytest.mark.parametrize("shape", [PLATE, rectangle(0, 0, 3, 4), disc(25.0).flat])
def test_a_prism_is_closed_and_has_area_times_height(shape):
    mesh = prism(shape, 0.5, 2.75)
    assert closed(mesh)
    assert mesh.volume == pytest.approx(shape.area * 2.25, rel=1e-12)
    assert mesh.vertices.dtype == np.float64
    assert mesh.vertices[:, 2].min() == 0.5


def test_rings_walked_the_wrong_way_make_the_same_prism():
    wrong = type(PLATE)(list(PLATE.exterior.coords)[::-1], [list(r.coords)[::-1] for r in PLATE.interiors])
    assert prism(wrong, 0, 1).volume == pytest.approx(PLATE.area)


def test_a_pile_has_no_faces_inside():
    slabs = [
        Slab((PLATE,), 0.0, 0.5588),
        Slab((PLATE,), 0.5588, 1.1176),
        Slab((rectangle(0, 0, 40, 20),), 1.1176, 1.6764),
        Slab((rectangle(5, 0, 30, 20),), 1.6764, 2.2352),
    ]
    mesh = pile(slabs)
    assert closed(mesh)
    assert mesh.volume == pytest.approx(sum(s.flats[0].area * (s.upper - s.lower) for s in slabs), rel=1e-9)
    # Alike slabs are one: no corners are left at the height between the first two.
    assert not np.isclose(mesh.vertices[:, 2], 0.5588).any()


def test_a_stepped_disc_has_the_volume_of_its_steps():
    mesh = pile([Slab((disc(30.0).flat,), 0, 0.5), Slab((disc(29.0).flat,), 0.5, 1.0)])
    assert closed(mesh)
    assert mesh.volume == pytest.approx(math.pi * 0.5 * (900 + 841), rel=2e-4)


def test_layers_in_two_pieces_are_kept():
    mesh = pile([Slab((rectangle(0, 0, 1, 1), rectangle(5, 0, 6, 1)), 0, 1)])
    assert closed(mesh)
    assert mesh.volume == pytest.approx(2.0)


def test_nothing_is_no_solid():
    with pytest.raises(GeometryError, match="no thickness"):
        prism(PLATE, 1.0, 1.0)
    with pytest.raises(GeometryError, match="without area"):
        prism(type(PLATE)(), 0.0, 1.0)
    with pytest.raises(GeometryError, match="without layers"):
        pile([])
