"""The room that a covered cushion takes, against values worked out by hand."""

import pytest

from laminature.errors import FormError
from laminature.model.design import CushionSpec
from laminature.upholstery.envelope import envelope


def test_the_usual_cushion():
    # side 3 x 0.15 = 0.45; height 1.1176 + 4 x 1.0 + 4 x 0.15 = 5.7176
    room = envelope(CushionSpec(), 1.1176)
    assert room.side == pytest.approx(0.45, abs=1e-12)
    assert room.height == pytest.approx(5.7176, abs=1e-12)
    assert room.clearance == 0.2
    assert room.panel_thickness == 1.1176


def test_piping_adds_its_cord_and_two_cloths_to_each_side_but_nothing_to_the_height():
    plain = CushionSpec(batting_layers=3, batting_thickness=0.8, cloth_thickness=0.1, clearance=0.3)
    piped = CushionSpec(
        batting_layers=3, batting_thickness=0.8, cloth_thickness=0.1, clearance=0.3, piping=0.6
    )
    # plain: side 0.3, height 2.2 + 2.4 + 0.4 = 5.0; piped: side 0.3 + 0.6 + 0.2 = 1.1
    assert envelope(plain, 2.2).side == pytest.approx(0.3, abs=1e-12)
    assert envelope(piped, 2.2).side == pytest.approx(1.1, abs=1e-12)
    assert envelope(piped, 2.2).height == pytest.approx(5.0, abs=1e-12)
    assert envelope(plain, 2.2).height == pytest.approx(5.0, abs=1e-12)


def test_without_batting_cloth_or_clearance_there_is_the_panel_alone():
    bare = CushionSpec(batting_layers=0, cloth_thickness=0.0, clearance=0.0)
    room = envelope(bare, 1.5)
    assert (room.side, room.height, room.clearance) == (0.0, 1.5, 0.0)


@pytest.mark.parametrize("name", ["batting_thickness", "cloth_thickness", "piping", "clearance"])
@pytest.mark.parametrize("value", [-0.1, float("nan"), float("inf")])
def test_a_measure_that_is_negative_or_no_number_is_refused_by_name(name, value):
    with pytest.raises(FormError, match=name) as caught:
        envelope(CushionSpec(**{name: value}), 1.0)
    assert caught.value.remedy


@pytest.mark.parametrize("thickness", [0.0, -1.0, float("nan")])
def test_a_panel_without_thickness_is_refused(thickness):
    with pytest.raises(FormError, match="no thickness"):
        envelope(CushionSpec(), thickness)
