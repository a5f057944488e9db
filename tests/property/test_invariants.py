"""Every form, random sizes, scales, boards and fits, turned freely in space: the pieces go together.

Measured on stacked extrusions and cross-sections of the layers, not on the solids they came from.
"""

import os

import pytest
from hypothesis import given, settings

from laminature.forms.registry import FORMS

from .assembled import (
    Assembled,
    broken_show_faces,
    empty_layers,
    jams,
    outer_size,
    overlaps,
    slivers,
    threads,
)
from .sections import gap_faults
from .strategies import crossing_panels, pieces, placed, standing_panels, turns

#: Pieces per form: each is assembled and measured as a solid, which takes a while.
CASES = settings(
    settings.get_profile("many"), max_examples=60 if os.environ.get("HYPOTHESIS_PROFILE") == "ci" else 8
)


def told_of_joints(a: Assembled):
    return [(j.name, j.kind, j.depth, j.through, len(j.cells)) for j in a.joints]


def goes_together(drawn, turn):
    whole = Assembled(placed(drawn.piece, turn), drawn.workshop)
    assert empty_layers(whole) == []
    assert [f.message for f in whole.findings if f.grade == "stop"] == []
    assert overlaps(whole) == []
    assert gap_faults(whole) == []
    assert jams(whole) == []
    assert broken_show_faces(whole) == []
    assert slivers(whole) == []
    assert threads(whole) == []
    for asked, got in zip(whole.piece.size, outer_size(whole), strict=True):
        assert asked is None or abs(asked - got) <= 0.01
    if turn is not None:
        straight = Assembled(drawn.piece, drawn.workshop)
        assert told_of_joints(straight) == told_of_joints(whole)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_a_piece_of_any_form_goes_together(name):
    CASES(given(pieces(FORMS[name]), turns())(goes_together))()


@CASES
@given(crossing_panels(), turns())
def test_panels_that_cross_go_together(drawn, turn):
    goes_together(drawn, turn)


@CASES
@given(standing_panels(), turns())
def test_panels_that_stand_on_a_plate_go_together(drawn, turn):
    goes_together(drawn, turn)
