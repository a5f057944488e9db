"""The skins of a covered cushion: closed, facing outwards, smooth, and not too many triangles."""

import math

import numpy as np
import pytest

from laminature.geometry.region import box, disc, regular
from laminature.upholstery.mesh import cushion_mesh
from laminature.upholstery.skin import ball, joined
from laminature.upholstery.surface import solve_surface

from ...buttonings import PLAIN, channels, circle, diamonds, squares

CASES = {
    "seat": (box(-45.0, -22.0, 45.0, 22.0), diamonds(6, 3, 13.0, 12.0), "deep", 0.9),
    "stool": (disc(20.0), circle(6, 10.0), "deep", 0.9),
    "hexagon": (regular(6, 50.0), circle(6, 11.0), "pulled-in", 0.0),
    "channels": (box(-25.0, -20.0, 25.0, 20.0), channels((-15.0, -5.0, 5.0, 15.0), 20.0), "pulled-in", 0.9),
    "plain": (box(-45.0, -22.0, 45.0, 22.0), PLAIN, "pulled-in", 0.0),
}


def made(name):
    outline, buttoning, manner, cord = CASES[name]
    surface = solve_surface(outline, buttoning, 4.0, 0.6, 1.6, 2.5, manner)
    return cushion_mesh(outline, buttoning, surface, manner, 1.1, 1.6, cord)


def volume(shell):
    a, b, c = (shell.vertices[shell.faces[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def open_edges(shell):
    """Edges of triangles that are not walked once each way, after points in one place are made one."""
    _, same = np.unique(shell.vertices.round(9), axis=0, return_inverse=True)
    faces = same.ravel()[shell.faces]
    ways = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    forth, back = ({tuple(e) for e in w.tolist()} for w in (ways, ways[:, ::-1]))
    return forth ^ back


@pytest.mark.parametrize("name", CASES)
def test_the_cloth_is_closed_and_encloses_crown_and_board(name):
    outline, buttoning, manner, _ = CASES[name]
    cloth = made(name).cloth
    assert not open_edges(cloth)
    surface = solve_surface(outline, buttoning, 4.0, 0.6, 1.6, 2.5, manner)
    under = float(np.nansum(surface.heights)) * surface.cell**2
    assert volume(cloth) == pytest.approx(under + 1.1 * outline.flat.area, rel=0.01)


@pytest.mark.parametrize("name", CASES)
def test_normals_are_unit_vectors_on_the_outside(name):
    mesh = made(name)
    for shell in (mesh.cloth, mesh.beads, mesh.piping):
        if not len(shell.faces):
            continue
        assert np.linalg.norm(shell.normals, axis=1) == pytest.approx(np.ones(len(shell.normals)), abs=1e-9)
        a, b, c = (shell.vertices[shell.faces[:, k]] for k in range(3))
        flat = np.cross(b - a, c - a)
        size = np.linalg.norm(flat, axis=1)
        mean = shell.normals[shell.faces].mean(axis=1)
        agree = (flat * mean).sum(axis=1) / np.maximum(size, 1e-15)
        assert (agree[size > 1e-6] > 0.3).all()


@pytest.mark.parametrize("name", CASES)
def test_a_cushion_takes_at_most_about_twenty_thousand_triangles(name):
    mesh = made(name)
    assert len(mesh.cloth.faces) < 18_000
    assert len(mesh.cloth.faces) + len(mesh.beads.faces) + len(mesh.piping.faces) < 23_000


def test_two_hundred_buttons_are_no_more_than_a_few_times_as_many():
    outline, buttoning = box(-90.0, -65.0, 90.0, 65.0), squares(20, 10, 8.5, 12.0)
    surface = solve_surface(outline, buttoning, 4.0, 0.6, 1.6, 2.5, "deep")
    mesh = cushion_mesh(outline, buttoning, surface, "deep", 1.1, 1.6, 0.9)
    assert len(mesh.cloth.faces) + len(mesh.beads.faces) < 60_000


def test_there_is_a_bead_at_each_button_and_piping_where_asked():
    seat, plain = made("seat"), made("plain")
    assert len(seat.beads.faces) == 80 * 17
    assert len(plain.beads.faces) == len(plain.piping.faces) == 0
    x, y, z = seat.piping.vertices.T
    assert x.max() == pytest.approx(45.0 + 0.9, abs=1e-6)
    assert (y.max(), z.max()) == pytest.approx((22.9, 0.45), abs=1e-6)


def test_the_mesh_stands_on_the_panels_lower_face_and_reaches_the_crown():
    z = made("plain").cloth.vertices[:, 2]
    assert (z.min(), z.max()) == pytest.approx((-1.1, 4.0), abs=0.01)


def test_a_ball_is_round_and_two_are_one_skin():
    one = ball(np.array([1.0, 2.0, 3.0]), 2.0)
    assert volume(one) == pytest.approx(4.0 / 3.0 * math.pi * 8.0, rel=0.13)
    assert np.linalg.norm(one.vertices - [1.0, 2.0, 3.0], axis=1) == pytest.approx(np.full(42, 2.0))
    both = joined([one, ball(np.zeros(3), 1.0)])
    assert volume(both) == pytest.approx(volume(one) * 9.0 / 8.0)
    assert len(joined([]).faces) == 0
