"""Whatever is glued up of several layers has its card in the guide and its tasks in the plan."""

import pytest

from laminature.pipeline.guide import guide_of

from ..planned import EXAMPLES, built


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_stack_is_drawn_ticked_and_glued(name):
    build = built(name)
    heights = {}
    for layer in build.cut_layers:
        if layer.role not in ("spare", "frame"):
            heights.setdefault(layer.letter, {}).setdefault(layer.part, set()).add(layer.index)
    cards = {s.letter: s for s in guide_of(build).stacks}
    glued = {p for t in build.plan.tasks if t.kind == "glue" for p in t.parts}
    for letter, parts in heights.items():
        count = len(next(iter(parts.values())))
        if count > 1:
            assert (cards[letter].count, len(cards[letter].layers)) == (len(parts), count)
            assert cards[letter].picture
            assert set(parts) <= glued


def test_the_guide_of_a_pinned_chair_says_how_its_layers_are_pinned():
    guide = guide_of(built("slat-chair"))
    assert any("pins through" in told for _, told in guide.held)
    assert any("toothpicks" in told for told in guide.held_about)


def test_layers_that_hands_hold_are_not_talked_about():
    guide = guide_of(built("window-seat"))
    assert guide.held == guide.held_about == guide.small == ()
