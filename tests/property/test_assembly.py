"""Every form, random sizes: the steps are made again in simulation, and nothing passes through anything.

The referee is manifold3d: the parts' solids are intersected at many places along every step.
"""

import os

import pytest
from hypothesis import given, settings

from laminature.forms.registry import FORMS
from laminature.pipeline.reading import guide_words
from laminature.planning.assembly import order_of_assembly
from laminature.planning.words import step_words

from .assembled import Assembled
from .replay import faults
from .strategies import crossing_panels, pieces, placed, standing_panels, turns

#: Each piece is made solid and looked at in some fifteen places along every step, which takes a while.
CASES = settings(
    settings.get_profile("many"), max_examples=60 if os.environ.get("HYPOTHESIS_PROFILE") == "ci" else 6
)

WORDS = guide_words("british")


def can_be_put_together(drawn, turn):
    whole = Assembled(placed(drawn.piece, turn), drawn.workshop)
    assembly, found = order_of_assembly(whole.piece, whole.joints, whole.layers)
    assert [f.message for f in found] == []
    solids = {name: whole.solid(name) for name in whole.parts}
    assert faults(solids, assembly, {p.name: p.group for p in whole.piece.parts}) == []
    closed = [name for step in assembly.steps for name in step.joints]
    assert sorted(closed) == sorted(j.name for j in whole.joints)
    for step in assembly.steps:
        # Nothing is put on from below, and joints close over some way.
        # In a piece that lies aslant in space nothing is level, and above and below say little.
        if turn is None or max(abs(v) for v in turn.z) > 0.999:
            assert sum(a * b for a, b in zip(step.way, step.down, strict=True)) > -0.25
        assert step.travel > 0.0 or not any(j.depth for j in whole.joints if j.name in step.joints)
    for numbers in assembly.apart:
        # A sub-assembly that cures apart goes on as a whole, after its last step.
        made = {n for k in numbers for n in (*assembly.steps[k - 1].moving, *assembly.steps[k - 1].onto)}
        assert any(set(s.moving) == made for s in assembly.steps[numbers[-1] :])
    assert all(step_words(step, whole.piece, WORDS).endswith(".") for step in assembly.steps)


@pytest.mark.parametrize("name", sorted(FORMS))
def test_a_piece_of_any_form_can_be_put_together(name):
    CASES(given(pieces(FORMS[name]), turns())(can_be_put_together))()


@CASES
@given(crossing_panels(), turns())
def test_panels_that_cross_can_be_put_together(drawn, turn):
    can_be_put_together(drawn, turn)


@CASES
@given(standing_panels(), turns())
def test_panels_that_stand_on_a_plate_can_be_put_together(drawn, turn):
    can_be_put_together(drawn, turn)
