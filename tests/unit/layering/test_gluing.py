"""Rules for stacks find their parts by name; later ones win."""

from laminature.layering.gluing import with_gluing
from laminature.model.fit import HAND_STACKED
from laminature.model.gluing import BY_HAND, Gluing, StackRule
from laminature.model.piece import Piece

from ..joinery.panels import board, plate

PIECE = Piece("test", (plate(), board("leg-1"), board("leg-2")))


def test_without_rules_all_is_laid_by_hand():
    assert with_gluing(PIECE, ()) == PIECE
    assert {p.gluing for p in PIECE.parts} == {BY_HAND}


def test_rules_are_laid_over_each_other():
    rules = (
        StackRule("leg-*", align="pins", pin=2.0),
        StackRule("leg-2", pin=2.5, fit=HAND_STACKED),
    )
    piece = with_gluing(PIECE, rules)
    assert [p.gluing for p in piece.parts] == [
        BY_HAND,
        Gluing("pins", 2.0),
        Gluing("pins", 2.5, fit=HAND_STACKED),
    ]
