"""Prices: what a maker pays, by what is bought."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Price:
    """The price of one pack; ``pack`` is what is in it, None for the usual pack of the rates."""

    price: float
    pack: float | None = None


@dataclass(frozen=True)
class Prices:
    """Prices of boards by the board's name and of other supplies by their kind, in ``currency``."""

    currency: str = ""
    boards: Mapping[str, Price] = field(default_factory=dict)
    supplies: Mapping[str, Price] = field(default_factory=dict)


#: Where the maker has no file of prices.
UNKNOWN = Prices()
