"""Edges that are drawn: every crease once, nothing across a face or along a curve."""

import math

import numpy as np

from laminature.geometry.creases import face_normals, sharp_edges
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.prism import prism


def corners(mesh):
    return mesh.vertices[mesh.faces]


def lines(mesh):
    return sharp_edges(corners(mesh)).reshape(-1, 2, 3)


def test_a_box_has_twelve_edges_each_from_its_lesser_end():
    found = lines(prism(rectangle(0, 0, 3, 2), 0.0, 1.0))
    assert len(found) == len({tuple(line.ravel()) for line in found}) == 12
    assert all(tuple(a) < tuple(b) for a, b in found)
    assert sum(np.linalg.norm(b - a) for a, b in found) == 4 * (3 + 2 + 1)


def test_a_curve_has_no_upright_edges():
    turn = np.linspace(0.0, 2.0 * math.pi, 60, endpoint=False)
    disc = flat(np.column_stack([np.cos(turn), np.sin(turn)]))
    found = lines(prism(disc, 0.0, 1.0))
    assert len(found) == 120
    assert np.all(found[:, 0, 2] == found[:, 1, 2])


def test_an_edge_of_one_triangle_alone_is_drawn_and_one_within_a_face_is_not():
    square = np.array([[[0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0, 0, 0], [1, 1, 0], [0, 1, 0]]], dtype=float)
    assert len(sharp_edges(square)) == 8


def test_a_triangle_without_area_has_no_normal():
    assert not face_normals(np.zeros((1, 3, 3))).any()
