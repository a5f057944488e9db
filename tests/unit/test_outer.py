"""The skin of a pile of slabs: one body where borders go on, an edge where they do not."""

import numpy as np
import pytest

from laminature.geometry.flat import pieces, rectangle
from laminature.geometry.outer import BEND, SEAM, SHARP, outer
from laminature.geometry.region import disc
from laminature.geometry.solid import Slab

SQUARE = (rectangle(0, 0, 10, 10),)


def slabs(*shapes, height=1.0):
    return tuple(Slab(s, k * height, (k + 1) * height) for k, s in enumerate(shapes))


def lengths(skin, kind):
    mine = skin.kind == kind
    return float(np.linalg.norm(skin.end[mine] - skin.start[mine], axis=1).sum())


def test_equal_slabs_are_one_block():
    skin = outer(slabs(SQUARE, SQUARE, SQUARE, SQUARE))
    assert (skin.kind == SHARP).sum() == 12
    assert lengths(skin, SHARP) == pytest.approx(8 * 10 + 4 * 4)
    assert lengths(skin, SEAM) == pytest.approx(3 * 40)
    assert len(skin.walls) == 4
    assert sorted(zip(skin.heights, skin.up, strict=True)) == [(0.0, False), (4.0, True)]


def test_a_notch_in_two_slabs_has_edges_and_the_rest_of_the_wall_goes_on():
    notched = pieces(SQUARE[0].difference(rectangle(4, -1, 6, 3)))
    skin = outer(slabs(notched, notched, SQUARE))
    # The lowest border; where the notch ends, its border and the third slab's over it; corners.
    below, notch = 40 + 2 * 3, (3 + 2 + 3) + 2
    uprights = 4 * 3 + 4 * 2
    assert lengths(skin, SHARP) == pytest.approx(below + notch + 40 + uprights)
    # Between the two notched slabs all goes on; under the third only the border beside the notch.
    assert lengths(skin, SEAM) == pytest.approx(46 + 38)


def test_a_step_has_a_flat_side():
    inner = (rectangle(1, 1, 9, 9),)
    skin = outer(slabs(SQUARE, inner))
    assert lengths(skin, SEAM) == 0.0
    assert lengths(skin, SHARP) == pytest.approx(40 + 40 + 32 + 32 + 8 * 1)
    # The lower one's upper side shows; nothing of the upper one's lower side does.
    assert sorted(zip(skin.heights, skin.up, strict=True)) == [(0.0, False), (1.0, True), (2.0, True)]


def test_slabs_apart_are_two_blocks():
    skin = outer((Slab(SQUARE, 0, 1), Slab(SQUARE, 3, 4)))
    assert (skin.kind == SHARP).sum() == 24


@pytest.mark.parametrize("radius", [0.6, 5.0, 60.0])
def test_a_round_side_has_no_edges_but_its_rims(radius):
    skin = outer(slabs((disc(radius).flat,)))
    uprights = skin.start[:, 2] != skin.end[:, 2]
    assert (skin.kind[uprights] == BEND).all()
    assert lengths(skin, SHARP) == pytest.approx(2 * 2 * np.pi * radius, rel=0.03)


def test_chords_of_alike_borders_are_alike_though_one_has_a_slot():
    round_ = (disc(20.0).flat,)
    slotted = pieces(round_[0].difference(rectangle(-1.0, 15.0, 1.0, 30.0)))
    skin = outer(slabs(round_, slotted, round_))
    at_steps = skin.kind[(skin.start[:, 2] == skin.end[:, 2]) & np.isin(skin.start[:, 2], (1.0, 2.0))]
    # On both steps only the slot's three sides and the arc over it are edges.
    start, end = (
        a[(skin.kind == SHARP) & (skin.start[:, 2] == 1.0) & (skin.end[:, 2] == 1.0)]
        for a in (skin.start, skin.end)
    )
    assert float(np.linalg.norm(end - start, axis=1).sum()) == pytest.approx(2 * 4.97 + 2 + 2, abs=0.1)
    assert (at_steps == SEAM).sum() > 40
