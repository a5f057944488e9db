"""Labels end up where nobody sees them, whichever way a layer has to lie on the cutter."""

from dataclasses import replace

import pytest

from laminature.geometry.flat import flat, mapped, rectangle
from laminature.geometry.region import box
from laminature.layering.labels import label_layers
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.stack import stack

BOARD = Board("card", "card", 0.5, 200.0, 200.0)
L_SHAPE = flat([(0, 0), (30, 0), (30, 10), (10, 10), (10, 20), (0, 20)])
MIRROR = ((-1.0, 0.0), (0.0, 1.0))


def part_of(count, show=("lower", "upper")):
    return Part("top", "Top", box(0, 0, 30, 20), stack(BOARD, count), show=frozenset(show), letter="A")


def layers_of(count, shapes=None):
    shapes = shapes or [L_SHAPE] * count
    return [
        Layer("top", "A", k + 1, "card", 0.5 * k, 0.5 * (k + 1), (s,), (s,)) for k, s in enumerate(shapes)
    ]


def cut_write_and_turn_back(layer):
    """What the bench does with a layer.

    The drawing (mirrored or not) is cut and written upon from above; then the piece is
    brought into the part, turned over if it was cut mirrored. Returns its outline in the
    part and the face that the writing is on.
    """
    cut = mapped(layer.cut[0], MIRROR) if layer.mirrored else layer.cut[0]
    ink = "up"
    if layer.mirrored:
        cut, ink = mapped(cut, MIRROR), "down"
    return cut, {"up": "upper", "down": "lower"}[ink]


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5])
@pytest.mark.parametrize("show", [("lower", "upper"), ("upper",), ("lower",), ()])
def test_after_turning_back_every_layer_fits_and_its_label_is_hidden(count, show):
    part = part_of(count, show)
    for layer in label_layers([part], layers_of(count)):
        outline, written_on = cut_write_and_turn_back(layer)
        assert outline.symmetric_difference(layer.regions[0]).area < 1e-9
        if layer.label_face is None:
            assert count == 1
            assert part.show == {"lower", "upper"}
            continue
        assert written_on == layer.label_face
        outer = {"upper": layer.index == count, "lower": layer.index == 1}[written_on]
        assert not (outer and part.shows(written_on))


def test_only_the_last_of_four_shown_layers_is_cut_mirrored():
    done = label_layers([part_of(4)], layers_of(4))
    assert [(x.label_face, x.mirrored) for x in done] == [
        ("upper", False),
        ("upper", False),
        ("upper", False),
        ("lower", True),
    ]


def test_a_hidden_outer_face_saves_the_mirroring():
    assert not any(x.mirrored for x in label_layers([part_of(4, ("lower",))], layers_of(4)))


def test_a_single_layer_with_two_show_faces_has_no_place_for_a_label():
    (only,) = label_layers([part_of(1)], layers_of(1))
    assert only.label_face is None
    assert not only.mirrored


def test_a_single_layer_shown_from_above_is_written_on_from_below():
    (only,) = label_layers([part_of(1, ("upper",))], layers_of(1))
    assert (only.label_face, only.mirrored) == ("lower", True)


def test_the_layer_under_a_rim_is_not_written_on_where_the_ring_leaves_it_in_sight():
    whole = rectangle(0, 0, 40, 40)
    ring = flat(whole.exterior.coords, [[(5, 5), (35, 5), (35, 35), (5, 35)]])
    done = label_layers([part_of(4)], layers_of(4, [whole, whole, ring, ring]))
    assert [x.label_face for x in done] == ["upper", "lower", "upper", "lower"]


def test_slots_in_the_next_layer_are_no_reason_to_cut_mirrored():
    whole = rectangle(0, 0, 40, 40)
    slotted = flat(whole.exterior.coords, [[(5, 5), (35, 5), (35, 8), (5, 8)]])
    done = label_layers([part_of(3)], layers_of(3, [whole, whole, slotted]))
    assert [x.label_face for x in done] == ["upper", "upper", "lower"]


def test_layers_of_unknown_parts_stay_as_they_are():
    strange = replace(layers_of(1)[0], part="strip", label_face="upper")
    assert label_layers([part_of(1)], [strange]) == (strange,)
