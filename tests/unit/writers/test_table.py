"""parts.csv: counts and sizes, and cells that no spreadsheet runs."""

import csv
import dataclasses
import io

import pytest

from laminature.model.piece import Piece
from laminature.writers.table import COLUMNS, parts_csv, safe_cell

from ...drawn_by_hand import LAYERS, LEGS, PIECE, TOP, T


def rows(piece=PIECE, layers=LAYERS, scale=12.0):
    return list(csv.DictReader(io.StringIO(parts_csv(piece, layers, scale).decode(), newline="")))


def test_alike_parts_share_a_row_and_are_counted():
    top, leg = rows()
    assert (top["part"], top["letter"], top["count"], top["layers"], top["board"]) == (
        "Top",
        "A",
        "1",
        "4",
        "card",
    )
    assert (leg["letter"], leg["count"], leg["names"]) == ("B", "2", "leg-1 leg-2")


def test_sizes_are_at_both_scales():
    leg = rows()[1]
    assert (leg["width mm"], leg["height mm"]) == ("20.00", "42.00")
    assert (leg["width full-size mm"], leg["height full-size mm"]) == ("240.00", "504.00")
    assert leg["thickness mm"] == f"{T:.2f}"
    # Four layers of 22 points at 1:12 stand for 1.056 in (common practice, no source).
    assert float(leg["thickness full-size mm"]) == pytest.approx(4 * 0.022 * 12 * 25.4, abs=0.01)


def test_the_header_is_fixed():
    assert parts_csv(PIECE, LAYERS, 12.0).decode().split("\r\n")[0] == ",".join(COLUMNS)


def test_parts_without_layers_have_the_size_of_their_outline():
    top = rows(layers=())[0]
    assert float(top["width mm"]) == pytest.approx(60.0)


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "  =", "\x01="])
def test_cells_that_would_run_are_made_text(start):
    title = start + 'HYPERLINK("http://example.org")'
    piece = Piece("p", (dataclasses.replace(TOP, title=title, name=title),))
    (row,) = rows(piece, ())
    assert row["part"].startswith("'")
    assert row["names"].startswith("'")


@pytest.mark.parametrize("text", ["Top", "a-b", "1/2 in", "Küche, groß", 'the "good" one', "", "two\nlines"])
def test_other_cells_come_back_as_they_were(text):
    assert safe_cell(text) == text
    piece = Piece("p", (dataclasses.replace(TOP, title=text),))
    (row,) = rows(piece, ())
    assert row["part"] == (text or "top")


def test_parts_without_letters_are_told_apart():
    bare = tuple(dataclasses.replace(p, letter="") for p in LEGS)
    assert [r["count"] for r in rows(Piece("p", bare))] == ["1", "1"]
