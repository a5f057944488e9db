"""Offcuts are filled before full sheets are taken, inside their outline and by their own grain."""

from dataclasses import replace

import pytest

from laminature.errors import GeometryError
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.nearness import long_axis
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.sheets.check import faults, placed
from laminature.sheets.nesting import lay_out

CARD = Board("card", "white card", 0.5, 200.0, 150.0, grain="x")
BOARDS = {"card": CARD, "thin": replace(CARD, name="thin")}
ELBOW = flat([(0, 0), (120, 0), (120, 40), (50, 40), (50, 130), (0, 130)])
SLOPE = flat([(0, 0), (90, 0), (20, 90)])
HOLED = flat([(0, 0), (100, 0), (100, 80), (0, 80)], [[(40, 30), (60, 30), (60, 50), (40, 50)]])


def layer(part, shape, index=1, **changes):
    made = Layer(part, part.upper(), index, "card", 0.0, 0.5, (shape,), (shape,))
    return replace(made, **changes)


def bars(count, rule="free"):
    return [layer(f"p{k}", rectangle(0, 0, 22 + k, 9), grain=rule) for k in range(count)]


def test_what_fits_an_offcut_needs_no_sheet():
    piece = Offcut("O1", "card", rectangle(0, 0, 60, 40))
    (sheet,), findings = lay_out([layer("a", rectangle(0, 0, 50, 30))], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert (sheet.name, sheet.offcut, sheet.width, sheet.height, sheet.grain) == (
        "sheet-1",
        "O1",
        60.0,
        40.0,
        "x",
    )
    assert sheet.outline == piece.outline
    assert placed(layer("a", rectangle(0, 0, 50, 30)), sheet.placements[0]).bounds == (5.0, 5.0, 55.0, 35.0)


def test_the_smallest_offcut_that_serves_is_taken_and_an_unused_one_is_no_sheet():
    small, large = (Offcut(n, "card", rectangle(0, 0, w, 60)) for n, w in (("S", 80), ("L", 180)))
    tiny = Offcut("T", "card", rectangle(0, 0, 20, 20))
    sheets, findings = lay_out(
        [layer("a", rectangle(0, 0, 60, 40))], BOARDS, 1.5, 5.0, offcuts=[large, tiny, small]
    )
    assert not findings
    assert [s.offcut for s in sheets] == ["S"]


def test_full_sheets_take_what_the_offcuts_leave():
    piece = Offcut("O1", "card", rectangle(0, 0, 60, 60))
    sheets, findings = lay_out(bars(30), BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert [s.offcut for s in sheets] == ["O1", ""]
    assert sum(len(s.placements) for s in sheets) == 30
    assert (sheets[1].width, sheets[1].outline, sheets[1].grain) == (200.0, None, None)


def test_offcuts_serve_their_own_board_only():
    piece = Offcut("O1", "thin", rectangle(0, 0, 150, 100))
    sheets, _ = lay_out([layer("a", rectangle(0, 0, 50, 30))], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert [s.offcut for s in sheets] == [""]


@pytest.mark.parametrize("outline", [ELBOW, SLOPE, HOLED], ids=["elbow", "slope", "with a hole"])
@pytest.mark.parametrize(("spacing", "margin"), [(1.5, 4.0), (0.0, 0.0), (3.0, 0.5)])
def test_shapes_stay_inside_any_outline_by_the_margin(outline, spacing, margin):
    layers = bars(25)
    sheets, findings = lay_out(
        layers, BOARDS, spacing, margin, offcuts=[Offcut("O", "card", outline, "none")]
    )
    assert not findings
    odd = sheets[0]
    assert odd.offcut == "O"
    assert len(odd.placements) >= 4
    by_part = {x.part: x for x in layers}
    for p in odd.placements:
        shape = placed(by_part[p.part], p)
        assert shape.difference(outline).area < 1e-5
        assert shape.distance(outline.boundary) >= margin - 1e-5


@pytest.mark.parametrize(("grain", "direction"), [("x", 0.0), ("y", 90.0)])
def test_slender_parts_lie_along_the_grain_of_the_offcut(grain, direction):
    leg = layer("leg", rectangle(0, 0, 50, 6), grain="along")
    piece = Offcut("O", "card", rectangle(0, 0, 70, 70), grain)
    (sheet,), findings = lay_out([leg], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert long_axis(placed(leg, sheet.placements[0])) == direction


def test_layers_of_a_part_lie_alike_to_the_grain_of_each_sheet():
    layers = [layer("a", rectangle(0, 0, 60, 35), index=k + 1) for k in range(4)]
    pieces = [
        Offcut("X", "card", rectangle(0, 0, 72, 47), "x"),
        Offcut("Y", "card", rectangle(0, 0, 47, 72), "y"),
    ]
    sheets, findings = lay_out(layers, BOARDS, 1.5, 5.0, offcuts=pieces)
    assert not findings
    ways = {s.offcut: {p.turn % 180.0 for p in s.placements} for s in sheets}
    assert ways == {"X": {0.0}, "Y": {90.0}, "": {0.0}}


def test_an_offcut_without_grain_takes_any_turn():
    leg = layer("leg", rectangle(0, 0, 50, 6), grain="along")
    piece = Offcut("O", "card", rectangle(0, 0, 17, 70), "none")
    (sheet,), findings = lay_out([leg], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert sheet.offcut == "O"


def test_a_long_offcut_takes_what_no_full_sheet_can():
    long = layer("long", rectangle(0, 0, 240, 8), grain="along")
    piece = Offcut("O", "card", rectangle(0, 0, 260, 30))
    sheets, findings = lay_out([long], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert [s.offcut for s in sheets] == ["O"]
    twice = [long, replace(long, part="again")]
    narrow = replace(piece, outline=rectangle(0, 0, 260, 20))
    sheets, (finding,) = lay_out(twice, BOARDS, 1.5, 5.0, offcuts=[narrow])
    assert finding.code == "part-too-large"
    assert len(sheets) == 1


def test_margins_that_leave_nothing_of_an_offcut_leave_it_alone():
    piece = Offcut("O", "card", rectangle(0, 0, 60, 9))
    sheets, findings = lay_out([layer("a", rectangle(0, 0, 5, 5))], BOARDS, 1.5, 5.0, offcuts=[piece])
    assert not findings
    assert [s.offcut for s in sheets] == [""]


def test_an_offcut_that_crosses_itself_is_refused_by_name():
    bow = type(ELBOW)([(0, 0), (60, 60), (60, 0), (0, 60)])
    with pytest.raises(GeometryError, match="offcut scrap-7"):
        lay_out(
            [layer("a", rectangle(0, 0, 5, 5))], BOARDS, 1.5, 5.0, offcuts=[Offcut("scrap-7", "card", bow)]
        )


# The exact check, asked about offcut sheets that were spoilt on purpose.

PIECE = Offcut("O", "card", ELBOW, "y")
LAYERS = [
    layer("a", rectangle(0, 0, 30, 20), grain="along"),
    layer("b", rectangle(0, 0, 24, 10), grain="along"),
]


def wrong(change, offcuts=(PIECE,)):
    (sheet,), findings = lay_out(LAYERS, BOARDS, 1.5, 5.0, offcuts=[PIECE])
    assert not findings
    assert not faults([sheet], LAYERS, BOARDS, 1.5, 5.0, offcuts=[PIECE])
    return [f.message for f in faults(change(sheet), LAYERS, BOARDS, 1.5, 5.0, offcuts=offcuts)]


def moved(sheet, **changes):
    first, *others = sheet.placements
    return [replace(sheet, placements=(replace(first, **changes), *others))]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda s: moved(s, x=108.0, y=60.0), "beyond the margin"),
        (lambda s: moved(s, x=66.0, y=8.0), "beyond the margin"),
        (lambda s: moved(s, turn=0.0, x=8.0, y=90.0), "against its grain"),
        (lambda s: [replace(s, outline=SLOPE)], "not like the offcut"),
        (lambda s: [replace(s, grain="x")], "not like the offcut"),
        (lambda s: [replace(s, offcut="elsewhere")], "there is not"),
        (
            lambda s: [replace(s, placements=s.placements[:1]), replace(s, placements=s.placements[1:])],
            "2 sheets",
        ),
    ],
)
def test_the_check_finds_what_was_spoilt_on_an_offcut(change, words):
    assert any(words in message for message in wrong(change))


def test_the_check_finds_an_offcut_that_is_not_there_any_more():
    assert any("there is not" in message for message in wrong(lambda s: [s], offcuts=()))


def test_the_check_finds_layers_of_a_part_that_lie_crosswise():
    layers = [layer("a", rectangle(0, 0, 30, 20), index=k) for k in (1, 2)]
    (sheet,), _ = lay_out(layers, BOARDS, 1.5, 5.0)
    (crossed,) = moved(sheet, turn=sheet.placements[0].turn + 90.0, x=120.0, y=80.0)
    assert any("against its grain" in f.message for f in faults([crossed], layers, BOARDS, 1.5, 5.0))
