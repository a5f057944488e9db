"""A face that comes last: a whole skin over a core through which all joints go."""

from dataclasses import replace

import pytest

from laminature.geometry.region import box
from laminature.joinery.contacts import find_contacts
from laminature.layering.facing import faced_stack, with_faces_last
from laminature.model.board import Board
from laminature.model.gluing import Gluing
from laminature.model.joint import JointRule
from laminature.model.part import EdgeProfile, Rim
from laminature.model.piece import Piece

from ..joinery.panels import FIT, LAYER, board, joined, layers, plate

CORE = Board("b", "Board", LAYER, 300.0, 300.0)
SKIN = Board("skin", "Skin", 0.25, 300.0, 300.0)
BOARDS = {"b": CORE, "skin": SKIN}
FACED = Gluing(face_last="skin")


def faced(*parts):
    piece, found = with_faces_last(Piece("test", parts), find_contacts(parts), BOARDS)
    return piece.parts, found


@pytest.mark.parametrize("wanted", [0.6, 1.0, 1.9, 2.0, 2.24, 2.26, 3.1])
def test_core_and_skin_come_as_near_as_they_can(wanted):
    core = Board("b", "Board", 0.5, 300.0, 300.0, glue_line=0.02, growth=0.01)
    skin = Board("skin", "Skin", 0.25, 300.0, 300.0, growth=0.02)
    sums = {n: n * 0.5 * 1.01 + (n - 1) * 0.02 + 0.02 + 0.25 * 1.02 for n in range(1, 12)}
    best = min(sums, key=lambda n: abs(sums[n] - wanted))
    made = faced_stack(core, skin, wanted, upper=True)
    assert made.boards == ("b",) * best + ("skin",)
    assert made.thickness == pytest.approx(sums[best])


def test_a_measured_core_counts():
    core = replace(CORE, measured=((3, 1.75),))
    assert faced_stack(core, SKIN, 2.0, upper=False).thickness == pytest.approx(2.0)
    assert faced_stack(core, SKIN, 2.0, upper=False).boards == ("skin", "b", "b", "b")


def test_the_face_that_nothing_touches_comes_last_and_the_other_stays_where_it_was():
    (top, _), found = faced(plate(gluing=FACED, wanted_thickness=1.8), board())
    assert (top.last_face, top.last_layer, top.stack.boards) == ("upper", 4, ("b", "b", "b", "skin"))
    assert top.pose == plate().pose
    assert [(f.code, f.grade, f.layer) for f in found] == [("face-last", "note", 4)]
    assert "3 layers of Board and a face of Skin" in found[0].message
    assert "1.75 mm for 1.80 mm wanted" in found[0].message


def test_a_lower_face_moves_instead_of_what_lies_above():
    over = board("over", z=32.0)
    (bottom, _), _ = faced(plate(gluing=FACED, wanted_thickness=1.8), over)
    assert (bottom.last_face, bottom.last_layer) == ("lower", 1)
    upper = bottom.pose.origin[2] + bottom.thickness
    assert upper == pytest.approx(32.0)


def test_joints_go_through_the_core_flush_with_its_face_and_the_skin_is_whole():
    parts, _ = faced(plate(gluing=FACED, wanted_thickness=1.8), board())
    (joint,), findings = joined(*parts)
    assert (joint.kind, joint.depth, joint.through, findings) == ("tabs", 3, False, ())
    assert joint.fit.beyond == pytest.approx(0.02)
    made = layers(*parts, sanding=0.15)
    for k in (1, 2, 3):
        assert made["plate", k].regions[0].interiors
    skin = made["plate", 4]
    assert skin.last
    assert not any(made["plate", k].last for k in (1, 2, 3))
    assert skin.regions[0].equals(parts[0].outline.flat)
    assert skin.cut[0].bounds == pytest.approx((-30.15, -20.15, 30.15, 20.15))
    assert (skin.board, skin.label_face, skin.mirrored) == ("skin", "lower", True)
    # The tabs end where the core does, but for what rounding wants.
    tip = max(made["board", k].regions[0].bounds[3] for k in range(1, 5))
    assert tip == pytest.approx(30.0 + 3 * LAYER - 0.02)


@pytest.mark.parametrize("rule", [{"through": True}, {"depth": 4}, {"kind": "fingers"}])
def test_no_rule_takes_a_joint_through_the_skin(rule):
    parts, _ = faced(plate(gluing=FACED, wanted_thickness=1.8), board())
    made = layers(*parts, rules=[JointRule(("*", "*"), **rule)])
    assert made["plate", 4].regions[0].equals(parts[0].outline.flat)
    assert not made["plate", 3].regions[0].equals(parts[0].outline.flat)


def test_a_faced_part_goes_into_others_with_its_core_alone():
    parts, _ = faced(plate(show=frozenset()), board(gluing=FACED, wanted_thickness=1.8))
    (last,) = (p for p in parts if p.last_face)
    assert last.name == "board"
    made = layers(*parts)
    for slot in made["plate", 1].regions[0].interiors:
        assert slot.bounds[3] - slot.bounds[1] == pytest.approx(3 * LAYER + 2 * FIT.side, abs=1e-5)
    # The skin stops at the plate; the core has tabs.
    assert made["board", 4].regions[0].bounds[3] == pytest.approx(30.0)
    assert made["board", 3].regions[0].bounds[3] > 31.0


@pytest.mark.parametrize(
    ("top", "words"),
    [
        (plate(gluing=FACED, rim=Rim(1, box(-20, -10, 20, 10))), "edge profile or rim"),
        (plate(gluing=FACED, profile=EdgeProfile("steps", (0.0, 0.1, 0.2, 0.3))), "edge profile or rim"),
        (plate(gluing=FACED, show=frozenset({"lower"})), "no face of it is seen that nothing touches"),
        (plate(gluing=FACED, z=15.0), "another part passes through it"),
    ],
)
def test_where_it_cannot_be_the_part_stays_and_the_maker_is_told_why(top, words):
    parts, found = faced(top, board())
    assert parts[0] is top
    assert [(f.code, f.grade) for f in found] == [("face-last-not-possible", "care")]
    assert words in found[0].message


def test_a_part_that_ends_at_a_corner_keeps_its_face():
    corner = board(y=19.0, gluing=FACED)
    parts, found = faced(plate(), corner)
    assert parts[1] is corner
    assert "ends at a corner" in found[0].message


def test_a_part_glued_flat_on_a_face_covers_it():
    lid = plate("lid", width=20.0, depth=10.0, z=32.0)
    (top, _), _ = faced(plate(gluing=FACED), lid)
    assert top.last_face == "lower"
