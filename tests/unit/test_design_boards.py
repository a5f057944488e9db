"""Boards and fits as data."""

from dataclasses import fields

import pytest

from laminature.data import library
from laminature.design.boards import read_boards
from laminature.design.fits import BUILT_IN, read_fits
from laminature.errors import DesignErrors
from laminature.model.board import Board
from laminature.model.stack import thickness

BOARDS = read_boards(library.boards(), "boards.toml")


def test_the_usual_boards_are_there():
    assert BOARDS["chipboard-22"].caliper == 0.5588
    assert (BOARDS["chipboard-22"].sheet_width, BOARDS["chipboard-22"].sheet_height) == (304.8, 304.8)
    assert BOARDS["chipboard-24"].caliper == 0.6096
    assert (BOARDS["greyboard-1-5-a3"].caliper, BOARDS["greyboard-1-5-a3"].sheet_height) == (1.5, 420.0)
    assert {"card-10", "card-14", "chipboard-20", "chipboard-30", "chipboard-50", "greyboard-2-a4"} <= set(
        BOARDS
    )


@pytest.mark.parametrize("name", BOARDS)
def test_every_value_of_a_board_has_a_source(name):
    sourced = dict(BOARDS[name].sources)
    numbers = {f.name for f in fields(Board)} - {
        "name", "title", "measured", "sources", "sheet_width", "sheet_height"
    }  # fmt: skip
    assert numbers | {"sheet"} == set(sourced)
    assert "your own value" not in sourced.values()


def test_named_fits_are_those_that_are_built_in():
    fits = read_fits(library.fits(), "fits.toml")
    assert {name: fits[name] for name in BUILT_IN} == dict(BUILT_IN)
    assert fits["pinned-hardened"].side == pytest.approx(0.07)
    assert all(fit.name == name for name, fit in fits.items())


def test_a_file_of_ones_own_changes_a_known_board_and_adds_others():
    own = read_boards(
        b'[chipboard-22]\nmeasured = { 4 = "2.31 mm", 2 = "1.2 mm" }\n'
        b'[mine]\nlike = "chipboard-22"\ncaliper = "23 pt"\n[cereal]\ncaliper = 0.4\nsheet = [190, 280]\n',
        "own.toml",
        BOARDS,
    )
    assert list(own) == ["chipboard-22", "mine", "cereal"]
    assert own["chipboard-22"].measured == ((2, 1.2), (4, 2.31))
    assert thickness(own["chipboard-22"], 4) == 2.31
    assert own["mine"].web_knife == BOARDS["chipboard-22"].web_knife
    assert dict(own["mine"].sources)["caliper"] == "your own value"
    assert (own["cereal"].glue_line, own["cereal"].growth, own["cereal"].sheet_height) == (0.02, 0.01, 280.0)


def test_a_measured_stack_does_not_pass_to_a_board_of_another_caliper():
    own = read_boards(
        b'[a]\nlike = "chipboard-22"\nmeasured = { 4 = "2.31 mm" }\n'
        b'[b]\nlike = "a"\n[c]\nlike = "a"\ncaliper = 1\n',
        "own.toml",
        BOARDS,
    )
    assert own["b"].measured == ((4, 2.31),)
    assert own["c"].measured == ()


def test_errors_have_their_line_and_what_is_near():
    with pytest.raises(DesignErrors) as caught:
        read_boards(
            b'[mine]\nlike = "chipboard-22"\ncalliper = "22 pt"\nsheet = "A9"\ngrowth = 2\ndensity = inf\n',
            "own.toml",
            BOARDS,
        )
    lines = str(caught.value).splitlines()
    assert lines[0].startswith(
        "own.toml:3: mine.calliper: There is no key 'calliper' here. Did you mean 'caliper'?"
    )
    assert [line.split(":")[1] for line in lines] == ["3", "4", "5", "6"]
    assert "A4" in lines[1]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (b'[x]\nsheet = ["12 in"]\n', "two sides"),
        (b"[x]\nmeasured = 3\n", "are a table"),
        (b"[x]\nmeasured = { 99 = 3 }\n", "no number of layers"),
        (b'[x]\nlike = "chipboard-22"\nface_sanding = 1\n', "more than a layer"),
        (b'["a/b"]\nlike = "chipboard-22"\n', "A name cannot have /"),
        (b"x = 3\n", "has to be a table"),
    ],
)
def test_what_is_no_board(text, words):
    with pytest.raises(DesignErrors, match=words):
        read_boards(text, "own.toml", BOARDS)


def test_what_is_no_fit():
    with pytest.raises(DesignErrors, match=r"fits\.toml:2: a\.acros: .*Did you mean 'across'"):
        read_fits(b"[a]\nacros = 1\n", "fits.toml")
