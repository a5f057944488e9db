"""A stray piece is found again by its size."""

import pytest
from shapely import affinity

from laminature.drawings.stray import beside_in_text, labels_of, stray_drawing, stray_rows
from laminature.errors import ChoiceError
from laminature.geometry.flat import flat, rectangle
from laminature.layering.stray import find_strays
from laminature.model.layer import Layer

from ...drawn_by_hand import LAYERS, PARTS, WORDS


def layer(shape, part="leg-1", letter="B", index=1, board="card"):
    return Layer(part, letter, index, board, 0.0, 0.5, (shape,), (shape,))


def test_the_nearest_comes_first_either_way_round():
    layers = [layer(rectangle(0, 0, 12, 7)), layer(rectangle(0, 0, 7.5, 12.2), index=2)]
    for size in ((12.0, 7.0), (7.0, 12.0)):
        found = find_strays(size, layers)
        assert [s.labels for s in found] == [("B1",), ("B2",)]
        assert [s.off for s in found] == pytest.approx([0.0, 0.5])


def test_a_piece_that_lies_askew_is_measured_along_its_own_sides():
    tilted = affinity.rotate(rectangle(0, 0, 30, 4), 30)
    (found,) = find_strays((30.0, 4.0), [layer(tilted)])
    assert found.size == pytest.approx((30.0, 4.0))
    assert found.off == pytest.approx(0.0, abs=1e-9)


def test_alike_pieces_are_one_line_with_their_number():
    slot = [(5, 5), (5, 8), (20, 8), (20, 5)]
    slotted = flat([(0, 0), (30, 0), (30, 20), (0, 20)], [slot])
    layers = [layer(slotted, f"leg-{n}", index=k) for n in (1, 2) for k in (1, 2)]
    whole, fallen = sorted(find_strays((30.0, 20.0), layers), key=lambda s: s.off)
    assert (whole.labels, whole.count, whole.drop_out) == (("B1", "B2"), 4, False)
    assert (fallen.labels, fallen.count, fallen.drop_out) == (("B1-1", "B2-1"), 4, True)
    assert fallen.size == pytest.approx((15.0, 3.0))


def test_alike_pieces_of_another_board_are_told_apart():
    layers = [layer(rectangle(0, 0, 12, 7)), layer(rectangle(0, 0, 12, 7), index=2, board="thin")]
    assert len(find_strays((12.0, 7.0), layers)) == 2


@pytest.mark.parametrize("size", [(0.0, 3.0), (-1.0, 3.0), (float("nan"), 3.0)])
def test_a_size_that_is_none(size):
    with pytest.raises(ChoiceError, match="above zero"):
        find_strays(size, LAYERS)


def test_lines_say_what_a_piece_is():
    rows = stray_rows(find_strays((42.0, 20.0), LAYERS, 2), PARTS, WORDS)
    assert rows[0] == " 42.00 ×  20.00 mm  off by  0.00  B1 B2 B3 B4: Leg (×8)"
    assert rows[1].endswith("A1-1 A1-2 A2-1 A2-2 A3-1 A3-2: falls out of Top (×6)")


def test_the_picture_shows_each_at_true_size():
    strays = find_strays((42.0, 20.0), LAYERS, 3)
    page = stray_drawing("Which?", strays, PARTS, WORDS)
    outline = next(s.path for s in page.strokes if s.name == "B1 B2 B3 B4-0").flattened
    assert outline.max(axis=0) - outline.min(axis=0) == pytest.approx((42.0, 20.0))
    assert {t.text for t in page.texts} >= {"Which?", "B1 B2 B3 B4", "42.00 × 20.00 mm", "Leg (×8)"}
    for stroke in page.strokes:
        low, high = stroke.path.flattened.min(axis=0), stroke.path.flattened.max(axis=0)
        assert (low >= 0).all()
        assert (high <= (page.width, page.height)).all()


def test_in_text_pieces_stand_beside_each_other_at_one_scale():
    layers = [layer(rectangle(0, 0, 24, 8)), layer(rectangle(0, 0, 12, 4), index=2)]
    lines = beside_in_text(find_strays((24.0, 8.0), layers))
    assert lines[-1].split() == ["B1", "B2"]
    assert lines[0] == "█" * 24
    assert lines[3] == "█" * 24 + "   " + "█" * 12


def test_many_labels_are_counted():
    assert labels_of(["A1", "A2"], WORDS) == "A1 A2"
    assert labels_of([f"A{n}" for n in range(1, 10)], WORDS) == "A1 A2 A3 A4 A5 and 4 more"
