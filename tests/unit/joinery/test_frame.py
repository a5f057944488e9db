"""The closed form at the angles whose sines everybody knows.

Worked by hand from the two lines in the module's head; manifold3d holds the same forms to
solids at any angle in tests/referees/test_shadows.py.
"""

import itertools
from math import sqrt

import numpy as np
import pytest

from laminature.joinery.contacts import find_contacts
from laminature.joinery.frame import Plane, frame

from .panels import board, plate

#: Both parts are 2 mm thick, of four layers of 0.5 mm.
THICK = 2.0


def meeting(lean):
    above, below = plate(), board(lean=lean)
    (c,) = find_contacts((above, below))
    return frame(above, below, c.origin, c.along, c.entering_way)


@pytest.mark.parametrize(
    ("lean", "half", "skew", "foot_half"),
    [
        (0.0, 1.0, 0.0, 1.0),
        # sin 60° = √3/2, cos 60° = 1/2
        (30.0, 2 / sqrt(3), 1 / sqrt(3), 2 / sqrt(3)),
        # sin 45° = cos 45°
        (45.0, sqrt(2), 1.0, sqrt(2)),
    ],
    ids=["90°", "60°", "45°"],
)
def test_how_far_the_face_is_and_how_wide_the_foot(lean, half, skew, foot_half):
    f = meeting(lean)
    assert (f.half, f.skew, f.foot_half) == pytest.approx((half, skew, foot_half), abs=1e-9)
    assert f.near == "lower"


def test_a_square_slot_is_the_thickness_and_the_clearance_in_every_layer():
    f = meeting(0.0)
    for layer in range(1, 5):
        assert f.sweep(layer, 0.1) == pytest.approx((-1.1, 1.1), abs=1e-12)


def test_at_45_degrees_a_slot_widens_by_the_layer_and_wanders_with_it():
    f = meeting(45.0)
    strips = [f.sweep(layer, 0.1) for layer in range(1, 5)]
    # (T/2 + clearance)/sin on both sides, and a layer's 0.5 mm · cot 45°.
    assert [b - a for a, b in strips] == pytest.approx([2 * 1.1 * sqrt(2) + 0.5] * 4, abs=1e-5)
    steps = [abs(after[0] - before[0]) for before, after in itertools.pairwise(strips)]
    assert steps == pytest.approx([0.5] * 3, abs=1e-5)


def test_a_square_shoulder_is_one_line_and_a_tab_ends_at_its_depth():
    f = meeting(0.0)
    assert [f.reach(k, 0.0) for k in range(1, 5)] == pytest.approx([-1.0] * 4, abs=1e-12)
    assert [f.reach(k, 1.5) for k in range(1, 5)] == pytest.approx([0.5] * 4, abs=1e-12)


def test_at_45_degrees_the_layers_step_by_their_thickness_and_none_passes_the_face():
    f = meeting(45.0)
    reaches = sorted(f.reach(k, 0.0) for k in range(1, 5))
    # The outermost layer's corner comes first: half and skew before the line.
    assert reaches == pytest.approx([-sqrt(2) - 1.0 + 0.5 * i for i in range(4)], abs=1e-9)


def test_depth_is_counted_from_the_face_that_is_met():
    f = meeting(0.0)
    assert [f.depth(k) for k in range(5)] == pytest.approx([0.0, 0.5, 1.0, 1.5, 2.0])
    assert list(f.receiver_order) == [1, 2, 3, 4]


def test_the_lead_in_cuts_a_tabs_two_far_corners_and_never_more_than_a_third_of_it():
    plane = Plane((0.0, 0.0), (1.0, 0.0), (0.0, 1.0))
    points = plane.tongue(0.0, 9.0, 0.0, 2.0, 0.3)
    expected = [(0, 0), (9, 0), (9, 1.7), (8.7, 2), (0.3, 2), (0, 1.7)]
    assert np.allclose(points, expected)
    assert plane.tongue(0.0, 0.6, 0.0, 2.0, 0.3)[3] == pytest.approx((0.4, 2.0))
    assert plane.tongue(0.0, 9.0, 0.0, 2.0, 0.0) == plane.rectangle(0.0, 9.0, 0.0, 2.0)
