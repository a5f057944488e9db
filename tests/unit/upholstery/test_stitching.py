"""Thread: how much, in which lengths; and which bead stands for a button."""

import itertools
import math

import pytest

from laminature.geometry.region import box
from laminature.model.cushion import Buttoning
from laminature.model.design import CushionSpec
from laminature.upholstery.beads import bead_findings, bead_for
from laminature.upholstery.buttons import button_layout
from laminature.upholstery.order import sewing_order, travel
from laminature.upholstery.seams import seam_stitches
from laminature.upholstery.stitching import make_stitching, needlefuls


def test_each_button_takes_twice_the_depth_and_a_knot_and_each_thread_two_tails():
    row = Buttoning("row", points=((-5.0, 0.0), (0.0, 0.0), (5.0, 0.0)), rings=(1, 0, 1))
    made = make_stitching(row, 1.5, 6.0)
    # From the middle to one end and back over it to the other: 5 + 10.
    assert made.order[0] == 1
    assert made.travel == pytest.approx(15.0)
    assert made.thread == pytest.approx(3 * (12.0 + 10.0) + 15.0 + 240.0)
    assert made.needlefuls == ((0, 3, pytest.approx(321.0)),)
    assert made.bead == 1.5


def test_threads_are_no_longer_than_comfortable_and_as_few_as_can_be():
    parts = needlefuls([22.0] * 20, [8.0] * 19, 450.0, 240.0)
    # 240 + 22 n + 8 (n - 1) <= 450 gives n <= 7: three threads.
    assert len(parts) == 3
    assert all(length <= 450.0 for _, _, length in parts)
    assert [parts[0][0], *(end for _, end, _ in parts)][-1] == 20
    assert all(a[1] == b[0] for a, b in itertools.pairwise(parts))


def test_a_new_thread_begins_where_the_way_is_long():
    parts = needlefuls([22.0] * 8, [8.0, 8.0, 60.0, 8.0, 8.0, 8.0, 8.0], 450.0, 240.0)
    assert [(a, b) for a, b, _ in parts] == [(0, 3), (3, 8)]


def test_a_button_that_takes_more_than_a_thread_is_served_alone():
    assert needlefuls([500.0, 500.0], [5.0], 450.0, 240.0) == ((0, 1, 740.0), (1, 2, 740.0))


def test_no_buttons_take_no_thread():
    made = make_stitching(Buttoning("plain"), 1.5, 6.0)
    assert (made.order, made.needlefuls, made.travel, made.thread) == ((), (), 0.0, 0)


def test_seams_are_sewn_from_the_middle_outwards_each_with_its_own_thread():
    layout, _ = button_layout(box(-20, -10, 20, 10), CushionSpec(pattern="channels", columns=5), 12.0)
    made = make_stitching(layout, 1.5, 6.0)
    assert sorted(made.order) == [0, 1, 2, 3]
    assert {made.order[0], made.order[1]} == {1, 2}
    # 16 mm between the ends in 5 stitches: six places, two knots, two tails.
    assert made.needlefuls[0] == (0, 1, pytest.approx(6 * 6.0 + 16.0 + 20.0 + 240.0))


def test_stitches_of_a_seam_go_down_at_both_ends():
    places = seam_stitches(((0.0, 0.0), (0.0, 20.0)))
    assert len(places) % 2 == 0
    assert places[0] == pytest.approx((0.0, 2.0))
    assert places[-1] == pytest.approx((0.0, 18.0))
    assert seam_stitches(((0.0, 0.0), (0.0, 3.0))) == (pytest.approx((0.0, 1.5)),)


def test_the_order_begins_in_the_middle_and_goes_once_round_each_ring():
    layout, _ = button_layout(
        box(-12, -12, 12, 12), CushionSpec(pattern="square", spacing=(8.0, 8.0), margin=4.0), 12.0
    )
    order = sewing_order(layout.points, layout.rings)
    # 3 x 3 buttons 8 mm apart: eight steps between neighbours are the least there can be.
    assert order[0] == 4
    assert travel(layout.points, order) == pytest.approx(64.0)


def test_points_without_rings_between_them_still_keep_the_order():
    points = [(0.0, 0.0), (30.0, 0.0), (1.0, 0.0)]
    assert sewing_order(points, [0, 3, 0]) == (0, 2, 1)


def test_beads_are_those_sold_nearest_to_the_button():
    assert bead_for(CushionSpec(), 12.0) == 1.5
    assert bead_for(CushionSpec(), 6.0) == 3.0
    assert bead_for(CushionSpec(button=2.3), 12.0) == 2.2
    assert bead_for(CushionSpec(bead=1.7), 12.0) == 1.7


def test_a_bead_far_off_its_button_is_told_in_lignes():
    assert bead_findings(CushionSpec(), 12.0) == ()
    (said,) = bead_findings(CushionSpec(), 24.0)
    assert said.code == "bead-off-scale"
    # 1.5 mm at 1:24 is 36 mm: 36 / 0.635 = 56.7 lignes.
    assert "57 lignes (36 mm)" in said.message
    assert "30 lignes" in said.message
    assert not math.isclose(bead_for(CushionSpec(), 24.0), 19.05 / 24.0)
