"""Keys: strips that fill a part's slots while its layers are glued, and are no part of the piece."""

import pytest
from shapely import box

from laminature.layering.aligning.keys import HANDLE, PLAY, make_keys
from laminature.layering.letters import letter_parts
from laminature.model.gluing import Gluing
from laminature.model.joint import JointRule

from ..joinery.panels import FIT, LAYER, board, joined, layers, plate

KEYS = Gluing("keys")
TWO = [JointRule(("*", "*"), count=2, width=8.0)]


def keyed(*parts, rules=TWO):
    joints, _ = joined(*parts, rules=rules)
    made = layers(*parts, rules=rules)
    lettered, _ = letter_parts(parts, tuple(made.values()))
    return make_keys(lettered, joints), made


def test_without_the_rule_there_are_none():
    (aids, found), _ = keyed(plate(), board())
    assert (aids.parts, aids.layers, aids.uses, found) == ((), (), (), ())


def test_keys_fill_the_slots_but_for_a_little_play_and_leave_a_handle():
    (aids, _), made = keyed(plate(gluing=KEYS, show=frozenset()), board())
    slots = made["plate", 1].regions[0].interiors
    assert len(slots) == len(aids.parts) == 2
    for key in aids.parts:
        x0, y0, x1, y1 = key.outline.bounds
        for slot in slots:
            a0, b0, a1, b1 = slot.bounds
            assert x1 - x0 == pytest.approx(a1 - a0 - 2 * PLAY, abs=1e-6)
            play = (b1 - b0 - key.thickness) / 2
            assert play == pytest.approx(min(FIT.side, 0.04))
        # Through all four layers, and the handle.
        assert y1 - y0 == pytest.approx(4 * LAYER + HANDLE)


def test_a_blind_slot_is_filled_to_its_bottom_and_the_face_above_it_is_laid_last():
    (aids, found), made = keyed(plate(gluing=KEYS, show=frozenset({"upper"})), board())
    assert not made["plate", 4].regions[0].interiors
    assert aids.parts[0].outline.bounds[3] == pytest.approx(3 * LAYER + HANDLE)
    assert aids.uses[0].layers == (1, 2, 3)
    assert [(f.code, f.layer) for f in found] == [("keys-below-face", 4)]


def test_two_slots_far_from_each_other_are_enough():
    rules = [JointRule(("*", "*"), count=3, width=5.0)]
    (aids, _), made = keyed(plate(gluing=KEYS, show=frozenset()), board(), rules=rules)
    assert len(made["plate", 1].regions[0].interiors) == 3
    assert aids.uses[0].keys == ("C", "C")
    assert len(aids.parts) == 2


def test_layers_met_from_both_faces_are_held_by_keys_from_both():
    under, over = board(z=0.0), board("over", z=33.0)
    (aids, found), _ = keyed(plate(gluing=KEYS, show=frozenset({"lower", "upper"}), layers=6), under, over)
    assert aids.uses[0].layers == (1, 2, 3, 4, 5, 6)
    assert set(aids.uses[0].slots) == {"board", "over"}
    assert found == ()


def test_alike_keys_are_made_as_often_as_one_part_wants_them():
    one, two = plate(gluing=KEYS, show=frozenset()), plate("second", z=-2.0, gluing=KEYS, show=frozenset())
    (aids, _), _ = keyed(one, two, board())
    assert [u.part for u in aids.uses] == ["plate", "second"]
    assert len(aids.parts) == 2
    assert {p.letter for p in aids.parts} == {aids.uses[0].keys[0]}


def test_their_letters_follow_those_of_the_piece():
    (aids, _), _ = keyed(plate(gluing=KEYS, show=frozenset()), board())
    assert [p.letter for p in aids.parts] == ["C", "C"]
    assert {x.label for x in aids.layers} == {"C1", "C2", "C3", "C4"}
    assert {x.role for x in aids.layers} == {"key"}
    assert "not part of the piece" in aids.parts[0].title


def test_nothing_is_sanded_off_a_key():
    (aids, _), _ = keyed(plate(gluing=KEYS, show=frozenset()), board())
    assert all(x.cut == x.regions for x in aids.layers)


def test_slots_at_a_slant_hold_no_key():
    leaning = board(lean=20.0)
    (aids, found), _ = keyed(plate(gluing=KEYS, show=frozenset()), leaning)
    assert aids.parts == ()
    assert [(f.code, f.grade) for f in found] == [("keys-no-slots", "care")]


def test_a_part_without_slots_is_told():
    (aids, found), _ = keyed(plate(), board(gluing=KEYS))
    assert aids.parts == ()
    assert [(f.code, f.part) for f in found] == [("keys-no-slots", "board")]
    assert 'align = "pins"' in found[0].remedy


def test_a_key_goes_into_its_slot_wherever_along_it_it_stands():
    (aids, _), made = keyed(plate(gluing=KEYS, show=frozenset()), board())
    (first, *_) = sorted(made["plate", 1].regions[0].interiors, key=lambda r: r.bounds)
    x0, y0, x1, y1 = first.bounds
    key = aids.parts[0]
    plan = box(x0 + PLAY, (y0 + y1 - key.thickness) / 2, x1 - PLAY, (y0 + y1 + key.thickness) / 2)
    for k in range(1, 5):
        assert made["plate", k].regions[0].intersection(plan).area == pytest.approx(0.0, abs=1e-9)


def test_a_part_of_that_name_takes_nothing_from_a_key():
    (aids, _), _ = keyed(plate(gluing=KEYS, show=frozenset()), board("key-1"))
    assert [p.name for p in aids.parts] == ["key-2", "key-3"]
