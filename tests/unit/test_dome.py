"""Cushions in line drawings: a smooth dome whose only edge is its border."""

import numpy as np
import pytest

from laminature.geometry.dome import Dome, fits
from laminature.geometry.flat import rectangle
from laminature.geometry.outer import BEND, SHARP
from laminature.geometry.region import disc, regular

SQUARE = rectangle(-20, -10, 20, 10)


@pytest.mark.parametrize("outline", [SQUARE, disc(15.0).flat, regular(6, 30.0).flat])
def test_it_is_as_high_as_asked_in_the_middle_and_flush_at_the_border(outline):
    dome = Dome(outline, -1.0, 4.0, 4.0)
    assert dome.over(np.array([[0.0, 0.0]]))[0] == pytest.approx(4.0, abs=0.05)
    np.testing.assert_allclose(dome.over(dome.ring), 0.0, atol=1e-9)
    points = dome.skin().points
    assert points[:, 2].min() == -1.0
    assert points[:, 2].max() == pytest.approx(4.0, abs=0.05)


def test_faces_are_flat_and_look_outwards():
    skin = Dome(SQUARE, -1.0, 4.0, 4.0).skin()
    off = ((skin.walls - skin.walls[:, :1]) * skin.normal[:, None]).sum(axis=2)
    np.testing.assert_allclose(off, 0.0, atol=1e-9)
    outwards = (skin.walls.mean(axis=1) - (0.0, 0.0, -1.0)) * skin.normal
    assert (outwards.sum(axis=1) > 0.0).all()


def test_places_on_it_lie_on_its_faces():
    dome = Dome(SQUARE, -1.0, 4.0, 4.0)
    skin = dome.skin()
    for wall in skin.walls[4:]:
        middle = wall.mean(axis=0)
        assert dome.over(middle[None, :2])[0] == pytest.approx(middle[2], abs=1e-9)


def test_nothing_of_it_is_an_edge_but_its_border():
    skin = Dome(disc(15.0).flat, -1.0, 4.0, 4.0).skin()
    assert set(skin.kind) == {SHARP, BEND}
    assert set(skin.start[skin.kind == SHARP][:, 2]) == {-1.0, 0.0}


def test_outlines_that_are_not_seen_whole_from_their_middle_get_none():
    assert fits(SQUARE)
    assert not fits(SQUARE.difference(rectangle(-15, -20, 15, 8)))
    assert not fits(SQUARE.difference(rectangle(-2, -2, 2, 2)))
