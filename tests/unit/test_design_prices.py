"""A maker's own file of prices."""

import pytest

from laminature.design.prices import KINDS, read_prices
from laminature.errors import DesignError, DesignErrors
from laminature.model.price import Price, Prices

FILE = b"""
currency = "EUR"

[boards]
chipboard-22 = 1.10
"greyboard-1-a4" = { price = 9, pack = 25 }

[supplies]
thin_ca = { price = 4.5, pack = 20 }
stain = 0
"""


def test_prices_are_of_packs():
    assert read_prices(FILE, "prices.toml") == Prices(
        "EUR",
        {"chipboard-22": Price(1.1), "greyboard-1-a4": Price(9.0, 25.0)},
        {"thin_ca": Price(4.5, 20.0), "stain": Price(0.0)},
    )


def test_an_empty_file_knows_no_price():
    assert read_prices(b"", "prices.toml") == Prices()


def test_every_supply_can_have_a_price():
    text = "[supplies]\n" + "\n".join(f"{kind} = 1" for kind in KINDS)
    assert set(read_prices(text.encode(), "prices.toml").supplies) == set(KINDS)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("curency = 'EUR'", 1, "Did you mean 'currency'"),
        ("currency = 5", 1, "short word"),
        ("currency = 'more than a word'", 1, "short word"),
        ("boards = 3", 1, r"Write \[boards\]"),
        ("[supplies]\nthinca = 3", 2, "Did you mean 'thin_ca'"),
        ("[supplies]\nstain = '3'", 2, "cannot cost"),
        ("[supplies]\nstain = -1", 2, "cannot cost"),
        ("[supplies]\nstain = true", 2, "cannot cost"),
        ("[supplies]\nstain = inf", 2, "not a number"),
        ("[supplies]\nstain = { pack = 3 }", 2, "has no price"),
        ("[supplies]\nstain = { price = 3, pack = 0 }", 2, "cannot hold"),
        ("[supplies]\nstain = { price = 3, size = 4 }", 2, "no key 'size'"),
    ],
)
def test_what_cannot_be_used_is_said_with_its_line(text, line, words):
    with pytest.raises(DesignErrors, match=words) as caught:
        read_prices(text.encode(), "prices.toml")
    assert caught.value.errors[0].place.line == line


def test_what_is_no_toml_is_said():
    with pytest.raises(DesignError, match="no TOML"):
        read_prices(b"[supplies\n", "prices.toml")


def test_a_board_that_nobody_knows_is_refused_like_a_supply():
    known = ("chipboard-22", "greyboard-1-a4")
    assert read_prices(FILE, "prices.toml", known).boards["chipboard-22"].price == 1.1
    with pytest.raises(
        DesignErrors, match=r"chipbord-22[\s\S]*Did you mean 'chipboard-22'[\s\S]*boards\.toml"
    ) as caught:
        read_prices(b"[boards]\nchipbord-22 = 1", "prices.toml", known)
    assert caught.value.errors[0].place.line == 2
