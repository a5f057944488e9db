"""Display letters: parts that come out alike share one."""

from dataclasses import replace

from laminature.layering.layers import make_layers
from laminature.layering.letters import letter, letter_parts
from laminature.model.part import Part
from laminature.model.piece import Piece

from ..joinery.panels import board, plate


def lettered(*parts: Part) -> dict[str, str]:
    made = make_layers(Piece("p", parts), (), 0.15)
    named, layers = letter_parts(parts, made)
    assert {x.part: x.letter for x in layers} == {p.name: p.letter for p in named}
    return {p.name: p.letter for p in named}


def test_letters_run_on_after_the_last_and_leave_out_what_reads_as_a_digit():
    assert [letter(i) for i in (0, 7, 8, 23, 24, 25)] == ["A", "H", "J", "Z", "AA", "AB"]
    assert not {"I", "O"} & {letter(i) for i in range(24)}


def test_alike_parts_share_a_letter_wherever_they_stand():
    assert lettered(plate(), board("a"), board("b", turn=90.0, x=20.0)) == {"plate": "A", "a": "B", "b": "B"}


def test_another_size_board_or_hidden_face_makes_another_part():
    parts = [board("a"), board("b", width=40.1), board("c", layers=3), board("d", show=frozenset({"upper"}))]
    parts.append(replace(board("e"), grain="along"))
    assert len(set(lettered(*parts).values())) == 5
