"""Section values against handbook closed forms; mass, rest and board against outside sources."""

import math

import numpy as np
import pytest
import trimesh

from laminature.geometry.flat import flat, mapped, rectangle
from laminature.geometry.pose import turned
from laminature.geometry.region import disc
from laminature.geometry.rest import footprint, settled, tilt
from laminature.geometry.section import section
from laminature.geometry.solid import Slab, slab_solid, stacked
from laminature.model.board import Board
from laminature.model.stack import stack


def test_an_angle_section_has_its_handbook_values():
    # Closed forms for two joined rectangles, as in tables of section properties (VALUES: L-shape).
    values = section(flat([(0, 0), (4, 0), (4, 1), (1, 1), (1, 5), (0, 5)]))
    assert values.area == pytest.approx(8)
    assert values.centroid == pytest.approx((1.25, 1.75))
    assert (values.ix, values.iy, values.ixy) == pytest.approx((18.1667, 10.1667, -7.5), abs=5e-5)


def test_a_rectangle_has_b_h_cubed_over_twelve():
    values = section(rectangle(20, 30, 80, 130))
    assert (values.ix, values.iy, values.ixy) == pytest.approx(
        (60 * 100**3 / 12, 100 * 60**3 / 12, 0), abs=1e-6
    )
    assert (values.ix, values.iy) == pytest.approx((5.0e6, 1.8e6))


def test_a_ring_has_pi_over_four_r_to_the_fourth():
    ring = disc(20, (7, 8)).flat.difference(disc(12, (7, 8)).flat)
    values = section(ring)
    assert values.area == pytest.approx(math.pi * (400 - 144), rel=2e-4)
    assert values.centroid == pytest.approx((7, 8))
    assert values.ix == pytest.approx(math.pi / 4 * (20**4 - 12**4), rel=3e-4)


def test_second_moments_turn_as_mohrs_circle_says():
    shape = flat([(0, 0), (4, 0), (4, 1), (1, 1), (1, 5), (0, 5)])
    here = section(shape)
    a = math.radians(30)
    there = section(mapped(shape, [(math.cos(a), -math.sin(a)), (math.sin(a), math.cos(a))], (100, -50)))
    mean, half = (here.ix + here.iy) / 2, (here.ix - here.iy) / 2
    assert there.ix == pytest.approx(mean + half * math.cos(2 * a) + here.ixy * math.sin(2 * a))
    assert there.ixy == pytest.approx(-half * math.sin(2 * a) + here.ixy * math.cos(2 * a))


BOX = np.array([(x, y, z) for x in (0.0, 1.0) for y in (0.0, 2.0) for z in (0.0, 3.0)])


def directions(count):
    """Directions spread evenly over the sphere (a golden spiral)."""
    k = np.arange(count) + 0.5
    z, turn = 1 - 2 * k / count, math.pi * (1 + 5**0.5) * k
    r = np.sqrt(1 - z * z)
    return np.column_stack([r * np.cos(turn), r * np.sin(turn), z])


def shares(points, centre, count=6000):
    """How often a body let go in any direction comes to rest on each of its faces."""
    found = {}
    for way in directions(count):
        down = tuple(np.round(settled(points, centre, tuple(way)), 6) + 0.0)
        found[down] = found.get(down, 0) + 1 / count
    return found


def test_a_box_comes_to_rest_on_its_faces_as_often_as_their_solid_angles():
    # Solid angle of a rectangle a × b seen from a distance h over its middle, over the whole sphere.
    def share(a, b, h):
        return 4 * math.atan(a * b / (2 * h * math.sqrt(4 * h * h + a * a + b * b))) / (4 * math.pi)

    found = shares(BOX, BOX.mean(axis=0))
    assert len(found) == 6
    for down, often in found.items():
        axis = int(np.argmax(np.abs(down)))
        a, b = (s for n, s in enumerate((1, 2, 3)) if n != axis)
        assert often == pytest.approx(share(a, b, (1, 2, 3)[axis] / 2), abs=0.004)
    assert share(2, 3, 0.5) == pytest.approx(0.322511, abs=1e-6)


def test_a_lopsided_body_rests_as_trimesh_says():
    # Corner weights cut off: some of its faces cannot hold it and roll on to the next.
    points = np.array(
        [(0, 0, 0), (6, 0, 0), (6, 2, 0), (0, 2, 0), (0, 0, 1), (0, 2, 1), (9, 1, 4)], dtype=float
    )
    body = trimesh.convex.convex_hull(points)
    poses, often = trimesh.poses.compute_stable_poses(body, sigma=0.0, n_samples=1, threshold=0.0)
    theirs = {}
    for pose, chance in zip(poses, often, strict=True):
        down = tuple(np.round(pose[:3, :3].T @ (0, 0, -1), 4) + 0.0)
        theirs[down] = theirs.get(down, 0.0) + chance
    ours = shares(points, body.center_mass)
    assert len(ours) < len(body.facets_normal) + len(body.faces)
    for down, often_here in ours.items():
        known = min(theirs, key=lambda d: math.dist(d, down))
        assert math.dist(known, down) < 1e-3
        assert often_here == pytest.approx(theirs[known], abs=0.01)


def test_a_footprint_is_the_hull_of_the_feet():
    foot = footprint(BOX)
    margin, _ = foot.margin(np.array([0.5, 1.0]))
    assert margin == pytest.approx(0.5)
    assert foot.margin(np.array([-0.3, 1.0]))[0] == pytest.approx(-0.3)
    assert footprint(BOX @ turned((1, 0, 0), 30).matrix.T) is None
    assert tilt(np.array([0.0, math.sin(0.3), -math.cos(0.3)])) == pytest.approx(math.degrees(0.3))


def test_the_centre_of_a_stack_is_trimeshs():
    pose = turned((1, 2, 0), 40, (3, 4, 5))
    lower = flat([(0, 0), (40, 0), (40, 10), (10, 10), (10, 50), (0, 50)])
    upper = disc(4, (5, 20)).flat
    volume, moment = 0.0, np.zeros(3)
    for shape, low, high in ((lower, 0, 2), (upper, 2, 5)):
        values = section(shape)
        share = values.area * (high - low)
        volume += share
        moment += share * pose.to_piece(np.array([*values.centroid, (low + high) / 2]))
    meshes = []
    for shape, low, high in ((lower, 0, 2), (upper, 2, 5)):
        made = slab_solid(shape, low, high, pose).to_mesh64()
        meshes.append(trimesh.Trimesh(made.vert_properties, made.tri_verts, process=False))
    assert sum(m.volume for m in meshes) == pytest.approx(volume)
    centre = sum(m.volume * m.center_mass for m in meshes) / volume
    np.testing.assert_allclose(moment / volume, centre, atol=1e-9)
    points = stacked([Slab((lower,), 0, 2), Slab((upper,), 2, 5)], pose).points
    np.testing.assert_allclose(
        [points.min(axis=0), points.max(axis=0)], trimesh.util.concatenate(meshes).bounds, atol=1e-9
    )


def test_four_layers_of_22_points_stand_for_a_little_over_an_inch():
    # A point of caliper is 0.001 in by definition; four layers at one inch to the foot: common
    # practice, no source.
    board = Board("card", "22-point card", caliper=22 * 0.001 * 25.4, sheet_width=300, sheet_height=200)
    assert board.caliper == pytest.approx(0.5588, abs=1e-12)
    assert stack(board, 4).thickness * 12 / 25.4 == pytest.approx(1.056)
