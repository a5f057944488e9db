"""The rendered picture: the right pixels, and the same ones every time."""

import math
import struct
import zlib
from dataclasses import replace

import numpy as np
import pytest

from laminature.drawings.depth import camera, seen
from laminature.drawings.faces import faces
from laminature.drawings.picture import GROUND, picture
from laminature.errors import WriterError
from laminature.geometry.flat import mapped, pieces, rectangle
from laminature.geometry.pose import Pose, turned
from laminature.geometry.region import box, disc
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.stack import stack
from laminature.writers.png import png

SLAB = Board("slab", "Slab", 5.0, 300, 200)


def block(name="block", pose=None, shape=None, count=2):
    """A part of ``count`` layers of 5 mm, 10 × 10 mm unless ``shape`` says otherwise."""
    made = Part(name, name, box(0, 0, 10, 10), stack(SLAB, count), pose or Pose())
    bounds = made.stack.bounds
    flats = pieces(shape or made.outline.flat)
    layers = tuple(
        Layer(name, "A", k + 1, "slab", bounds[k], bounds[k + 1], flats, flats) for k in range(count)
    )
    return made, layers


def view_of(made, layers, direction, shape=(400, 500)):
    scene = faces([made], layers, {})
    view = camera(direction, scene.start, shape, room=0.1)
    return scene, view, seen(scene, view)


@pytest.mark.parametrize("direction", [(0.0, 0.0), (-35.0, 25.0), (20.0, 60.0)])
def test_a_cube_covers_the_area_of_its_shadow(direction):
    _, view, sight = view_of(*block(), direction)
    # A cube of side s seen along d shows s² (|dx| + |dy| + |dz|).
    expected = 100 * np.abs(view.away).sum() * view.scale**2
    assert (sight.face >= 0).sum() == pytest.approx(expected, rel=0.01)


def test_depth_is_that_of_the_nearest_face():
    scene, _, sight = view_of(*block(), (0.0, 0.0))
    on = sight.face >= 0
    np.testing.assert_allclose(sight.depth[on], 0.0, atol=1e-9)
    assert np.isinf(sight.depth[~on]).all()
    np.testing.assert_allclose(scene.normal[sight.face[on]], [[0, -1, 0]] * on.sum(), atol=1e-12)


def test_a_near_part_hides_a_far_one():
    near, far = block("near"), block("far", Pose((0.0, 20.0, 0.0)))
    parts, layers = [near[0], far[0]], near[1] + far[1]
    scene = faces(parts, layers, {})
    sight = seen(scene, camera((0.0, 0.0), scene.start, (300, 300), room=0.1))
    assert set(np.unique(scene.part[sight.face[sight.face >= 0]])) == {0}


def test_an_opening_is_seen_through():
    ring = rectangle(0, 0, 10, 10).difference(rectangle(3, 3, 7, 7))
    _, view, sight = view_of(*block(shape=ring), (0.0, 90.0))
    assert (sight.face >= 0).sum() == pytest.approx(84 * view.scale**2, rel=0.01)


def test_a_hidden_side_between_alike_layers_is_no_face():
    assert (faces([block()[0]], block()[1], {}).layer == -1).sum() == 2
    stepped = block(shape=rectangle(0, 0, 10, 10))[1][:1] + block(shape=rectangle(1, 1, 9, 9))[1][1:]
    assert (faces([block()[0]], stepped, {}).layer == -1).sum() == 4


def test_turning_the_piece_and_the_viewer_together_changes_nothing():
    plain = view_of(*block(), (10.0, 30.0))[2]
    spun = view_of(*block(pose=turned((0, 0, 1), 40)), (50.0, 30.0))[2]
    assert ((plain.face >= 0) != (spun.face >= 0)).mean() < 1e-3


def test_the_picture_has_card_ink_and_ground():
    pixels = picture([block()[0]], block()[1], 160, 120)
    assert pixels.shape == (120, 160, 3)
    assert pixels.dtype == np.uint8
    np.testing.assert_allclose(pixels[2, 2] / 255, GROUND, atol=0.01)
    assert pixels.min() < 70  # ink
    assert pixels[30:38, 72:80].min() > 200  # the top, lit, without lines


def test_exploded_parts_move_apart_from_the_middle():
    low, high = block("low"), block("high", Pose((0.0, 0.0, 10.0)))
    parts, layers = [low[0], high[0]], low[1] + high[1]

    def ground_in_the_middle(exploded):
        pixels = picture(parts, layers, 120, 160, azimuth=0.0, elevation=0.0, exploded=exploded)
        return (np.abs(pixels[70:90, 60] / 255 - GROUND).sum(axis=1) < 0.02).any()

    assert not ground_in_the_middle(0.0)
    assert ground_in_the_middle(1.0)


def test_the_same_piece_gives_the_same_bytes():
    made, layers = block(pose=turned((0, 0, 1), 30))
    first, second = (png(picture([made], layers, 120, 90)) for _ in range(2))
    assert first == second


def test_a_png_holds_its_pixels():
    pixels = np.arange(5 * 7 * 3, dtype=np.uint8).reshape(5, 7, 3) * 2
    data = png(pixels)
    assert data.startswith(b"\x89PNG\r\n\x1a\n")
    found, at = {}, 8
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        body = data[at + 8 : at + 8 + length]
        assert struct.unpack(">I", data[at + 8 + length : at + 12 + length])[0] == zlib.crc32(kind + body)
        found[kind] = body
        at += 12 + length
    assert struct.unpack(">II", found[b"IHDR"][:8]) == (7, 5)
    rows = np.frombuffer(zlib.decompress(found[b"IDAT"]), dtype=np.uint8).reshape(5, 22)
    assert set(rows[:, 0]) == {2}
    np.testing.assert_array_equal(np.cumsum(rows[:, 1:], axis=0, dtype=np.uint8).reshape(5, 7, 3), pixels)


@pytest.mark.parametrize(
    "pixels", [np.zeros((3, 3), np.uint8), np.zeros((3, 3, 3)), np.zeros((0, 3, 3), np.uint8)]
)
def test_what_is_no_picture_is_refused(pixels):
    with pytest.raises(WriterError, match="red, green and blue"):
        png(pixels)


def test_a_square_seen_from_straight_above_is_square():
    _, view, sight = view_of(*block(), (0.0, 90.0))
    rows, columns = np.nonzero(sight.face >= 0)
    assert math.isclose(np.ptp(rows), np.ptp(columns), abs_tol=1)
    assert np.ptp(rows) + 1 == pytest.approx(10 * view.scale, abs=1)


def test_layers_whose_curves_differ_by_a_hair_show_no_specks():
    made, layers = block(shape=disc(10).flat)
    hair = mapped(disc(10).flat, turned((0, 0, 1), 0.5).matrix[:2, :2])
    other = (layers[0], replace(layers[1], regions=(hair,)))
    alike, near = (picture([made], some, 200, 150).astype(int) for some in (layers, other))
    on_the_edge = np.abs(alike - near)[75:, 50:150].max(axis=2)
    assert (on_the_edge > 40).sum() == 0
