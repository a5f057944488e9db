"""Prices as data: a file of the maker's own, ``prices.toml``. The package has none: prices differ and age."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import fields
from typing import Any, TypeGuard

from laminature.design.decoding import decode, refuse_what_is_no_number
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose, short
from laminature.model.price import Price, Prices
from laminature.model.rates import Packs

#: What supplies other than boards are called in a file of prices.
KINDS = tuple(f.name for f in fields(Packs))
MOST = 1e6
_EXAMPLE = "Write a number, or { price = 4.50, pack = 20 }."


def read_prices(data: bytes, file: str, known_boards: Collection[str] | None = None) -> Prices:
    """The prices of a file: ``currency``, a table ``[boards]`` by name of board, ``[supplies]`` by kind.

    A price is that of one pack: a number, or a table with ``price`` and ``pack``, which says how much is in
    it where that is not the usual pack. With ``known_boards`` a board of another name is refused. Raises
    DesignErrors, or DesignError where the file is no TOML.
    """
    decoded = decode(data, file)
    problems = Problems(file, decoded.lines)
    refuse_what_is_no_number(decoded, problems)
    known = ("currency", "boards", "supplies")
    for key in decoded.values:
        if key not in known:
            problems.add((key,), f"There is no key {short(key)} here.", choose(key, known))
    currency = decoded.values.get("currency", "")
    if not isinstance(currency, str) or len(currency) > 8 or not currency.isprintable():
        problems.add(("currency",), f"currency cannot be {short(currency)}.", 'Write a short word: "EUR".')
        currency = ""
    boards = _table("boards", "board", decoded.values, problems, known_boards)
    supplies = _table("supplies", "supply", decoded.values, problems, KINDS)
    problems.raise_any()
    return Prices(currency, boards, supplies)


def _table(
    name: str, one: str, values: Mapping[str, Any], problems: Problems, known: Collection[str] | None
) -> dict[str, Price]:
    table = values.get(name, {})
    if not isinstance(table, dict):
        problems.add((name,), f"{name} has to be a table, not {short(table)}.", f"Write [{name}].")
        return {}
    found = {}
    for key, value in table.items():
        if known is not None and key not in known:
            remedy = choose(key, known)
            if one == "board":
                remedy = f"{remedy} A board of your own has to stand in your boards.toml."
            problems.add((name, key), f"There is no {one} {short(key)}.", remedy)
            continue
        price = _price((name, key), value, problems)
        if price is not None:
            found[key] = price
    return found


def _price(path: KeyPath, value: Any, problems: Problems) -> Price | None:
    written = value if isinstance(value, dict) else {"price": value}
    for key in written:
        if key not in ("price", "pack"):
            problems.add((*path, key), f"There is no key {short(key)} here.", "Write price and pack.")
    price, pack = written.get("price"), written.get("pack")
    if not _is_number(price) or not 0.0 <= price <= MOST:
        what = "has no price" if price is None else f"cannot cost {short(price)}"
        problems.add(path, f"{short(path[-1])} {what}.", _EXAMPLE)
        return None
    if "pack" in written and (not _is_number(pack) or not 0.0 < pack <= MOST):
        problems.add((*path, "pack"), f"A pack cannot hold {short(pack)}.", _EXAMPLE)
        return None
    return Price(float(price), None if pack is None else float(pack))


def _is_number(value: Any) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool)
