"""Parts in the same place, and loose parts without room to move."""

import math

import numpy as np
import pytest

from laminature.checks.overlap import overlapping_parts, running_clearances
from laminature.geometry.flat import rectangle
from laminature.geometry.overlap import overlaps
from laminature.geometry.pose import Pose, facing, turned
from laminature.geometry.region import box, disc
from laminature.geometry.solid import Slab, meeting, sideways_gaps, stacked

from .by_hand import THICK, checked, codes, part, upright


def test_a_board_standing_on_another_only_touches_it():
    found = overlapping_parts(checked(part("top"), part("leg", pose=upright(0, 20, THICK))))
    assert found == ()


def test_a_board_pushed_half_a_millimetre_into_another_is_told_with_its_volume_and_place():
    given = checked(part("top"), part("leg", box(5, 0, 25, 30), upright(0, 20, THICK - 0.5)))
    (found,) = overlapping_parts(given)
    assert (found.code, found.grade, found.part) == ("overlap", "stop", "top")
    # 20 mm wide, one thickness deep, half a millimetre high.
    assert f"{20 * THICK * 0.5:.3g} mm³" in found.message
    x, y, z = found.point
    assert 5 < x < 25
    assert 20 - THICK < y < 20
    assert THICK - 0.5 < z < THICK


def test_a_tab_in_a_slot_with_clearance_is_no_overlap():
    slot = rectangle(0, 0, 40, 30).difference(rectangle(9.9, 10, 20.1, 10 + THICK + 0.2))
    leg = part("leg", box(5, 0, 25, 30), upright(0, 10.1 + THICK, THICK))
    tab = leg.outline.flat.union(rectangle(10, -THICK, 20, 0))
    assert overlapping_parts(checked(part("top"), leg, carved={"top": slot, "leg": tab})) == ()
    wide = leg.outline.flat.union(rectangle(10, -THICK, 20.2, 0))
    (found,) = overlapping_parts(checked(part("top"), leg, carved={"top": slot, "leg": wide}))
    assert f"{0.1 * THICK * THICK:.3g} mm³" in found.message


def test_boards_lying_on_each_other_touch_and_a_sunken_one_overlaps():
    lying = part("lower"), part("upper", pose=Pose((10.0, 0.0, THICK)))
    assert overlapping_parts(checked(*lying)) == ()
    (found,) = overlapping_parts(checked(part("lower"), part("upper", pose=Pose((10.0, 0.0, THICK - 0.01)))))
    assert f"{30 * 30 * 0.01:.3g} mm³" in found.message


def test_an_oblique_board_is_found_too():
    lean = facing((0, 10, THICK - 0.2), (1, 0, 0), (0, 1, 2))
    (found,) = overlapping_parts(checked(part("top"), part("back", box(0, 0, 20, 30), lean)))
    assert found.code == "overlap"
    away = facing((0, 10, THICK + math.cos(math.radians(63)) * THICK), (1, 0, 0), (0, 1, 2))
    assert overlapping_parts(checked(part("top"), part("back", box(0, 0, 20, 30), away))) == ()


def test_the_shared_volume_does_not_depend_on_where_the_piece_is():
    a, b = Slab((rectangle(0, 0, 20, 10),), 0, 2), Slab((disc(4).flat,), 0, 3)
    for outer in (Pose(), turned((1, 2, 3), 77, (5, 6, 7)), turned((0, 1, 0), 90)):
        one = stacked([a], outer)
        two = stacked([b], facing((10, 5, 1), (1, 0, 0), (0, 0, 1)).then(outer))
        (shared,) = overlaps([one, two], meeting([one, two]))
        # The disc stands across the board: 3 mm of y, 2 mm of height, chords of the disc in x.
        chords = 2 * 16 * math.asin(1 / 4) + 2 * math.sqrt(15)
        assert shared.volume == pytest.approx(3 * chords, rel=1e-3)


def test_layers_with_the_same_region_are_taken_as_one_slab():
    shape = rectangle(0, 0, 10, 10)
    solid = stacked([Slab((shape,), k, k + 1.0) for k in range(4)] + [Slab((), 4, 5)], Pose())
    assert [(s.lower, s.upper) for s in solid.slabs] == [(0, 4)]


def test_boxes_that_are_apart_are_never_compared():
    here = stacked([Slab((rectangle(0, 0, 10, 10),), 0, 1)], Pose())
    # Its box in the piece's frame meets the first one's, its own box does not.
    there = stacked([Slab((rectangle(0, 0, 10, 10),), 0, 1)], facing((14, 7, 0), (1, 1, 0), (-1, 1, 0)))
    assert meeting([here, there]) == []
    assert meeting([here, stacked(there.slabs, Pose((9.0, 9.0, 0.0)))]) == [(0, 1)]
    assert meeting([here]) == []


@pytest.mark.parametrize(("room", "expected"), [(0.25, []), (0.2, ["clearance-small"])])
def test_a_loose_seat_needs_its_running_clearance(room, expected):
    frame = box(0, 0, 60, 60).flat.difference(rectangle(10, 10, 50, 50))
    seat = part("seat", box(10 + room, 10.5, 49.5, 49.5), Pose(), group="seat")
    given = checked(part("frame", box(0, 0, 60, 60)), seat, carved={"frame": frame})
    found = running_clearances(given)
    assert codes(found) == expected
    assert all(f.part == "seat" and "0.20 mm" in f.message for f in found)


def test_a_lid_may_rest_on_its_box():
    lid = part("lid", box(0, 0, 40, 30), Pose((0.0, 0.0, THICK)), group="lid")
    assert running_clearances(checked(part("box"), lid)) == ()


def test_parts_of_one_group_need_no_clearance():
    assert running_clearances(checked(part("one"), part("two", pose=Pose((40.1, 0.0, 0.0))))) == ()


def test_the_gap_is_measured_sideways_at_each_height():
    one = stacked([Slab((rectangle(0, 0, 10, 10),), 0, 5)], Pose())
    two = stacked(
        [Slab((rectangle(12, 0, 20, 10),), 0, 2), Slab((rectangle(10.5, 0, 20, 10),), 2, 4)], Pose()
    )
    above = stacked([Slab((rectangle(0, 0, 10, 10),), 5, 6)], Pose())
    stairs = stacked([Slab((rectangle(12 - k / 10, 0, 20, 10),), k, k + 1) for k in range(40)], Pose())
    tall = stacked([Slab((rectangle(0, 0, 7, 10),), 0, 40)], Pose())
    gaps = sideways_gaps([one, two, above, stairs, tall], [(0, 1), (0, 2), (3, 4)])
    assert gaps == pytest.approx([0.5, np.inf, 1.1], abs=1e-7)
