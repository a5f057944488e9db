"""What is seen of faces: shapes whose areas one works out in one's head."""

from dataclasses import replace

import pytest

from laminature import front
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.pose import Pose
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import stack
from laminature.planning.measures import measured, soaked

from ...planned import built, supplies_of

BOARD = Board("card", "Card", 0.5, 300.0, 200.0)
WHOLE = rectangle(0.0, 0.0, 40.0, 30.0)
RING = flat(
    [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)],
    [[(4.0, 4.0), (4.0, 26.0), (36.0, 26.0), (36.0, 4.0)]],
)
FLOOR = 32.0 * 22.0


HERE = Pose()


def part(name, count=4, pose=HERE, size=(40.0, 30.0), **more):
    return Part(name, name, box(0.0, 0.0, *size), stack(BOARD, count), pose, letter=name.upper(), **more)


def layers_of(one, *shapes):
    return [
        Layer(one.name, one.letter, n, "card", 0.5 * (n - 1), 0.5 * n, (s,), (s,))
        for n, s in enumerate(shapes, start=1)
    ]


def seen(parts, layers, cushions=()):
    stacks = measured(Piece("", tuple(parts)), (), layers, cushions)
    return {
        (s.name, one.face): (one.labels, pytest.approx(one.area, abs=0.1)) for s in stacks for one in s.seen
    }


def plain(one):
    return layers_of(one, *[rectangle(*one.outline.bounds)] * one.stack.count)


def test_a_plain_stack_is_seen_from_both_sides():
    a = part("a")
    assert seen([a], plain(a)) == {("a", "lower"): (("A1",), 1200.0), ("a", "upper"): (("A4",), 1200.0)}


def test_the_floor_within_a_rim_is_seen_too():
    a = part("a")
    top = seen([a], layers_of(a, WHOLE, WHOLE, WHOLE, RING))["a", "upper"]
    assert top == (("A4", "A3"), 1200.0)
    deep = seen([a], layers_of(a, WHOLE, WHOLE, RING, RING))["a", "upper"]
    assert deep == (("A4", "A2"), 1200.0)


def test_steps_of_a_moulding_are_seen_from_the_side_that_they_look_to():
    a = part("a", 2)
    small = rectangle(5.0, 5.0, 35.0, 25.0)
    found = seen([a], layers_of(a, WHOLE, small))
    assert found["a", "upper"] == (("A2", "A1"), 1200.0)
    assert found["a", "lower"] == (("A1",), 1200.0)


def test_a_hole_shows_nothing():
    a = part("a", 2)
    assert seen([a], layers_of(a, RING, RING))["a", "upper"] == (("A2",), 1200.0 - FLOOR)


def test_a_floor_is_soaked_like_an_outer_layer():
    """Of the floor within the ring what lies more than 3 mm from the layer's edges, and the band of 3 mm."""
    a = part("a")
    (one,) = measured(Piece("", (a,)), (), layers_of(a, WHOLE, WHOLE, WHOLE, RING), ())
    areas = [(wide, narrow) for _, wide, narrow in soaked(one, 3.0)]
    band = 1200.0 - 34.0 * 24.0
    assert areas[2] == (pytest.approx(FLOOR), pytest.approx(band))
    assert areas[1] == (0.0, pytest.approx(band))
    assert one.upper == pytest.approx(1200.0)


@pytest.mark.parametrize("turned", [False, True])
def test_what_lies_flat_on_a_face_covers_it_whichever_side_it_turns_to_it(turned):
    low = part("low")
    pose = Pose((10.0, 15.0, 3.0), (1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
    high = part("high", 2, pose if turned else Pose((10.0, 5.0, 2.0)), (20.0, 10.0))
    found = seen([low, high], [*plain(low), *plain(high)])
    assert found["low", "upper"] == (("LOW4",), 1000.0)
    assert ("high", "upper" if turned else "lower") not in found
    assert found["high", "lower" if turned else "upper"][1] == 200.0


def test_what_stands_on_a_face_covers_its_foot_and_nothing_beyond():
    low = part("low")
    wall = part("wall", 4, Pose((5.0, 10.0, 2.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)))
    found = seen([low, wall], [*plain(low), *plain(wall)])
    assert found["low", "upper"][1] == 1200.0 - 35.0 * 2.0
    assert found["wall", "upper"][1] == 1200.0


def test_play_round_a_tab_is_no_face():
    """A slot in the upper half of a board, and a tab in it with 0.09 mm on each side."""
    low = part("low")
    slotted = flat(
        [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)],
        [[(10.0, 14.91), (10.0, 17.09), (30.0, 17.09), (30.0, 14.91)]],
    )
    wall = part(
        "wall", 4, Pose((10.1, 17.0, 1.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (0.0, -1.0, 0.0)), (19.8, 9.0)
    )
    found = seen([low, wall], [*layers_of(low, WHOLE, WHOLE, slotted, slotted), *plain(wall)])
    assert found["low", "upper"] == (("LOW4",), pytest.approx(1200.0 - 20.0 * 2.18, abs=0.2))


def test_what_belongs_to_another_loose_group_covers_nothing():
    low, lid = part("low"), part("lid", 2, Pose((0.0, 0.0, 2.0)), group="lid")
    found = seen([low, lid], [*plain(low), *plain(lid)])
    assert found["low", "upper"][1] == found["lid", "lower"][1] == 1200.0


def test_a_face_that_is_glued_on_last_is_the_one_that_is_seen():
    a = part("a", last_face="upper")
    made = plain(a)
    made[-1] = replace(made[-1], last=True)
    assert seen([a], made)["a", "upper"] == (("A4",), 1200.0)


def test_the_seat_under_frame_and_cushion_is_seen_nowhere():
    """Nothing of it is sanded or coated, nor is any supply counted for it."""
    b = built("window-seat")
    stacks = {s.name: s for s in measured(b.piece, b.joints, b.layers, b.cushions)}
    assert stacks["seat"].seen == ()
    area = sum(s.shown + s.bare * s.thickness for s in stacks.values())
    stain = next(s for s in supplies_of("window-seat") if s.kind == "stain")
    assert stain.amount == pytest.approx(area * 1e-6 * 60.0 * 2 * 1.3)


def test_a_cushion_hides_what_is_under_it_and_leaves_the_border(tmp_path):
    """A seat of 80 × 40 mm with a cushion drawn in by 2 mm: a border of 2 mm stays."""
    text = """
title = "Seat"
scale = "1:1"
board = "chipboard-22"
[[part]]
name = "seat"
shape = "rectangle"
width = 80
height = 40
layers = 4
at = [0, 0, 0]
[cushion]
on = "seat"
pattern = "plain"
inset = "2 mm"
"""
    (tmp_path / "seat.toml").write_text(text)
    b = front.build(front.read(tmp_path / "seat.toml"))
    (one,) = (s for s in measured(b.piece, b.joints, b.layers, b.cushions) if not s.cushion)
    areas = {s.face: s.area for s in one.seen}
    assert areas["upper"] == pytest.approx(80.0 * 40.0 - 76.0 * 36.0, rel=0.02)
    assert areas["lower"] == pytest.approx(3200.0)
