"""How contacts become joints: kind, cells, depth, ways in."""

from itertools import pairwise

import numpy as np
import pytest

from laminature.geometry.region import box
from laminature.model.joint import JointRule
from laminature.model.part import Rim

from .panels import FIT, LAYER, board, joined, layers, plate

ABOVE = frozenset({"upper"})


def only(joints):
    (joint,) = joints
    return joint


@pytest.mark.parametrize(("count", "deep"), [(3, 2), (4, 3), (6, 5)])
def test_a_joint_under_a_shown_face_is_blind_and_leaves_one_layer(count, deep):
    joint = only(joined(plate(layers=count, show=ABOVE), board())[0])
    assert (joint.kind, joint.depth, joint.through) == ("tabs", deep, False)
    made = layers(plate(layers=count, show=ABOVE), board())
    assert all(made["plate", k].regions[0].interiors for k in range(1, deep + 1))
    assert not made["plate", count].regions[0].interiors


def test_two_layers_cannot_hold_one():
    joints, findings = joined(plate(layers=2, show=ABOVE), board())
    assert (only(joints).kind, only(joints).depth) == ("glue", 0)
    assert [f.code for f in findings] == ["blind-too-shallow"]


def test_a_joint_goes_through_where_the_far_face_is_not_shown_or_where_asked():
    assert only(joined(plate(show=frozenset({"lower"})), board())[0]).through
    rule = JointRule(("plate", "board"), through=True)
    joint = only(joined(plate(), board(), rules=[rule])[0])
    assert (joint.depth, joint.through) == (4, True)


def test_layers_that_a_rim_leaves_open_do_not_count():
    ring = Rim(1, box(-25, -15, 25, 15))
    joint = only(joined(plate(layers=5, show=ABOVE, rim=ring), board(width=30.0))[0])
    assert joint.depth == 3


def test_a_tab_is_three_times_as_wide_as_it_projects_and_a_thickness_from_the_ends():
    joint = only(joined(plate(show=ABOVE), board())[0])
    for cell in joint.cells:
        assert cell.run.length >= 3 * joint.projection - 1e-9
    run = joint.contact.runs[0]
    assert joint.cells[0].run.start - run.start >= 4 * LAYER - 1e-9
    assert run.end - joint.cells[-1].run.end >= 4 * LAYER - 1e-9


def test_an_edge_too_short_for_a_tab_is_glued_and_told():
    joints, findings = joined(plate(show=ABOVE), board(width=6.0))
    assert only(joints).kind == "glue"
    assert [f.code for f in findings] == ["run-too-short"]


def test_the_slot_is_the_tab_and_the_fit():
    made = layers(plate(show=ABOVE), board(), rules=[JointRule(("*", "*"), count=1, width=10.0)])
    (slot,) = made["plate", 1].regions[0].interiors
    x0, y0, x1, y1 = slot.bounds
    assert x1 - x0 == pytest.approx(10.0 + 2 * FIT.along, abs=1e-9)
    assert y1 - y0 == pytest.approx(4 * LAYER + 2 * FIT.across, abs=1e-9)
    top = made["board", 1].regions[0].bounds[3]
    assert top == pytest.approx(30.0 + 3 * LAYER - FIT.end, abs=1e-9)


def test_rules_lie_over_each_other_and_later_ones_win():
    rules = [JointRule(("*", "*"), count=2, width=7.0), JointRule(("board", "pl*"), count=1)]
    joint = only(joined(plate(show=ABOVE), board(), rules=rules)[0])
    assert [c.run.length for c in joint.cells] == [pytest.approx(7.0)]


def test_none_forbids_and_glue_only_glues():
    assert joined(plate(), board(), rules=[JointRule(("*", "*"), "none")])[0] == ()
    assert only(joined(plate(), board(), rules=[JointRule(("*", "*"), "glue")])[0]).depth == 0


def test_entries_from_opposite_faces_share_the_layers():
    under, over = board("under"), board("over", z=32.0)
    joints, _ = joined(plate(show=frozenset()), under, over)
    assert [j.depth for j in joints] == [2, 2]
    alternate = [JointRule(("plate", n), share=(i, 2), through=True) for i, n in enumerate(("under", "over"))]
    joints, _ = joined(plate(show=frozenset()), under, over, rules=alternate)
    assert [j.depth for j in joints] == [4, 4]
    spans = sorted((c.run.start, c.run.end) for j in joints for c in j.cells)
    assert all(a[1] < b[0] for a, b in pairwise(spans))


@pytest.mark.parametrize(
    ("stopped", "front", "back"), [("none", 0, 0), ("front", 1, 0), ("back", 0, 1), ("both", 1, 1)]
)
def test_a_housing_stops_where_asked(stopped, front, back):
    rule = JointRule(("*", "*"), "housing", stopped=stopped, stop_length=3.0)
    joint = only(joined(plate(depth=40.0), board(turn=90.0), rules=[rule])[0])
    run, cell = joint.contact.runs[0], joint.cells[0].run
    assert (cell.start - run.start, run.end - cell.end) == pytest.approx((3.0 * front, 3.0 * back))
    assert joint.depth == 2
    slides_in = {tuple(np.round(e).astype(int)) for e in joint.entries} - {(0, 0, 1)}
    assert slides_in == {w for w, shut in (((0, 1, 0), front), ((0, -1, 0), back)) if not shut}


def test_a_corner_is_a_rebate_under_a_shown_face():
    joint = only(joined(plate(depth=40.0), board(y=19.0))[0])
    assert (joint.kind, joint.depth) == ("rebate", 3)
    made = layers(plate(depth=40.0), board(y=19.0))
    assert made["plate", 4].regions[0].area == pytest.approx(60.0 * 40.0)
    assert made["plate", 1].regions[0].area == pytest.approx(2400 - (40 + 0.3) * (2.0 + FIT.across))


def test_fingers_are_an_odd_number_of_cells_and_go_through():
    rule = JointRule(("*", "*"), "fingers", count=2)
    joint = only(joined(plate(width=40.0, depth=40.0), board(y=19.0), rules=[rule])[0])
    assert [c.run.length for c in joint.cells] == [pytest.approx(8.0)] * 2
    assert joint.through
    # Straight on, and from outside, because the slots are open there.
    assert {tuple(np.round(e).astype(int)) for e in joint.entries} == {(0, 0, 1), (0, -1, 0)}


def test_a_halving_gives_each_part_one_half():
    joint = only(joined(board("a"), board("b", turn=90.0))[0])
    assert joint.kind == "halving"
    assert [c.owner for c in joint.cells] == ["a", "b"]
    made = layers(board("a"), board("b", turn=90.0))
    low, high = made["a", 1].regions[0], made["b", 1].regions[0]
    notch = (2.0 + 2 * FIT.across) * (15.0 + FIT.end / 2)
    assert low.area == high.area == pytest.approx(1200 - notch)
    # b keeps the upper half, so it comes from above.
    assert np.allclose(joint.entries, [(0, 0, -1)])


def test_a_board_between_two_others_ends_passes_through_a_window():
    tall, small = board("tall", height=60.0), board("small", height=10.0, turn=90.0, z=20.0)
    joint = only(joined(tall, small)[0])
    assert joint.contact.kind == "passing"
    made = layers(tall, small)
    assert len(made["tall", 1].regions[0].interiors) == 1
    assert made["small", 1].regions[0].area == pytest.approx(400.0)


def test_three_on_one_line_keep_a_third_each():
    parts = [board(n, turn=t) for n, t in (("a", 0.0), ("b", 60.0), ("c", 120.0))]
    joints, findings = joined(*parts)
    assert findings == ()
    assert {j.kind for j in joints} == {"radial"}
    assert len(joints) == 3
    owners = {c.owner: (c.run.start, c.run.end) for j in joints for c in j.cells}
    assert [end - start for start, end in owners.values()] == [pytest.approx(10.0)] * 3


def test_an_oblique_shoulder_is_stepped_by_layer():
    made = layers(plate(show=ABOVE), board(lean=20.0), rules=[JointRule(("*", "*"), "glue")])
    tops = [made["board", k].regions[0].bounds[3] for k in range(1, 5)]
    step = LAYER * np.tan(np.radians(20.0))
    assert np.diff(tops) == pytest.approx([step] * 3, abs=1e-9) or np.diff(tops) == pytest.approx(
        [-step] * 3, abs=1e-9
    )


def test_show_edges_get_the_sanding_allowance_and_jointed_edges_do_not():
    made = layers(plate(show=ABOVE), board(), rules=[JointRule(("*", "*"), "glue")], sanding=0.15)
    x0, y0, x1, y1 = made["board", 1].cut[0].bounds
    assert (x0, y0, x1, y1) == pytest.approx((-20.15, -0.15, 20.15, 30.0))
    assert made["board", 1].regions[0].bounds == pytest.approx((-20.0, 0.0, 20.0, 30.0))
