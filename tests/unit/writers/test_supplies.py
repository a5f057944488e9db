"""supplies.csv: what to buy, with a total of what has a price."""

import csv
import io

import pytest

from laminature.model.supply import Supply
from laminature.writers.supplies import amount_text, supplies_csv

from ...drawn_by_hand import WORDS

CARD = Supply("board", "Card, 22 points", 2, "sheets", 1.0, 2, "2 full sheets, as laid out.", 1.25)
GLUE = Supply("fine_glue", "=Water glue", 0.2, "ml", 20.0, 1, "15 cm² in 8 joints.")


def rows(supplies, currency=""):
    return list(csv.reader(io.StringIO(supplies_csv(supplies, WORDS, currency).decode("utf-8"), newline="")))


def test_a_row_for_each_supply_and_a_total():
    assert rows([CARD, GLUE], "EUR") == [
        ["supply", "amount", "unit", "pack", "packs", "price per pack EUR", "cost EUR", "why"],
        ["Card, 22 points", "2", "sheets", "1", "2", "1.25", "2.50", "2 full sheets, as laid out."],
        ["'=Water glue", "0.20", "ml", "20", "1", "", "", "15 cm² in 8 joints."],
        ["total", "", "", "", "", "", "2.50", "1 without a price"],
    ]


def test_without_any_price_there_is_no_total():
    assert [row[0] for row in rows([GLUE])] == ["supply", "'=Water glue"]


def test_a_total_says_that_everything_has_a_price():
    assert rows([CARD])[-1] == ["total", "", "", "", "", "", "2.50", "everything has a price"]


@pytest.mark.parametrize(
    ("amount", "text"), [(3.0, "3"), (0.001, "0.01"), (0.204, "0.20"), (11.94, "11.9"), (2.1587, "2.16")]
)
def test_amounts_as_they_are_read(amount, text):
    assert amount_text(amount) == text


def test_no_cell_runs_as_a_formula():
    nasty = Supply("board", "@SUM(A1)", 1, "+1", 1.0, 1, "-2", None)
    assert [cell[0] for cell in rows([nasty], "=1")[1] if cell and cell[0] == "'"] == ["'"] * 3
