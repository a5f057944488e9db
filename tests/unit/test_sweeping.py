"""What a solid meets when it is moved away along a straight line."""

import math

import numpy as np
import pytest

from laminature.geometry.flat import flat, rectangle
from laminature.geometry.pose import Pose, facing, turned
from laminature.geometry.region import disc
from laminature.geometry.solid import Slab, Solid
from laminature.geometry.sweeping import meets, span

UP, DOWN, RIGHT, LEFT = (0.0, 0.0, 1.0), (0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (-1.0, 0.0, 0.0)


def block(x0, y0, z0, x1, y1, z1, pose=None) -> Solid:
    return Solid((Slab((rectangle(x0, y0, x1, y1),), z0, z1),), pose or Pose())


def hit(one, two, way) -> bool:
    found = meets([one, two], way)
    # Whoever moves: it is the same meeting, seen from the other.
    back = meets([one, two], tuple(-v for v in way))
    assert found[0, 1] == back[1, 0]
    return bool(found[0, 1])


def test_a_block_meets_what_stands_in_its_way_and_nothing_else():
    one, two = block(0, 0, 0, 10, 10, 2), block(5, 5, 8, 15, 15, 9)
    assert hit(one, two, UP)
    assert not hit(one, two, DOWN)
    assert not hit(one, two, RIGHT)
    # 5 to the right and 6 up it is still beneath; 1 up for 10 to the right it is past before.
    assert hit(one, two, (5 / math.hypot(5, 6), 0.0, 6 / math.hypot(5, 6)))
    assert not hit(one, two, (10 / math.hypot(10, 1), 0.0, 1 / math.hypot(10, 1)))


def test_blocks_that_lie_on_each_other_or_side_by_side_only_touch():
    low, high, beside = block(0, 0, 0, 10, 10, 2), block(0, 0, 2, 10, 10, 4), block(10, 0, 0, 20, 10, 2)
    assert hit(low, high, UP)
    assert not hit(low, high, DOWN)
    assert not hit(low, high, RIGHT)
    assert not hit(low, beside, UP)
    assert hit(low, beside, RIGHT)


@pytest.mark.parametrize("degrees", [0.0, 17.0, 90.0, 211.0])
def test_a_tab_comes_straight_out_of_its_slot_but_not_sideways(degrees):
    around = turned((1.0, 2.0, 3.0), degrees)
    slotted = flat([(0, 0), (20, 0), (20, 20), (0, 20)], [[(8, 5), (8, 15), (10.2, 15), (10.2, 5)]])
    plate = Solid((Slab((slotted,), 0.0, 3.0),), around)
    # A board of 2 mm with a tab 9.8 mm wide and 3 mm long, its shoulders on the plate.
    tab = flat([(0, 3), (0, 12), (20, 12), (20, 3), (14.9, 3), (14.9, 0), (5.1, 0), (5.1, 3)])
    board = Solid((Slab((tab,), 0.0, 2.0),), facing((8.1, 0, 0), (0, 1, 0), (0, 0, 1)).then(around))
    out, along, across = (tuple(float(v) for v in around.matrix[:, k]) for k in (2, 1, 0))
    assert not hit(board, plate, out)
    assert hit(board, plate, tuple(-v for v in out))
    assert hit(board, plate, along)
    assert hit(board, plate, across)


def test_a_pin_leaves_a_round_hole_along_its_axis_only():
    ring = Solid(
        (Slab((flat(disc(10.0).flat.exterior.coords, [disc(2.0).flat.exterior.coords]),), 0, 3),), Pose()
    )
    pin = Solid((Slab((disc(1.95).flat,), -5.0, 8.0),), Pose())
    assert not hit(pin, ring, UP)
    assert not hit(pin, ring, DOWN)
    for degrees in range(0, 360, 40):
        assert hit(pin, ring, (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)), 0.0))
    # Within the clearance of 0.05 mm over 3 mm it may lean by no more than 1°.
    lean = math.radians(2.0)
    assert hit(pin, ring, (math.sin(lean), 0.0, math.cos(lean)))


def test_all_pairs_are_told_at_once():
    solids = [block(0, 0, 4 * k, 10, 10, 4 * k + 2) for k in range(5)]
    assert (meets(solids, UP) == np.triu(np.ones((5, 5), dtype=bool), 1)).all()
    assert not meets(solids, LEFT).any()
    assert meets(solids[:1], UP).tolist() == [[False]]


def test_how_far_solids_reach_along_a_way():
    assert span([block(0, 0, 1, 10, 10, 2), block(0, 0, 4, 1, 1, 6)], UP) == (1.0, 6.0)
    assert span([block(0, 0, 1, 10, 10, 2)], LEFT) == (-10.0, 0.0)
