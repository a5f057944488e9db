"""From an amount to what is bought: packs, rounded up, and their price."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from laminature.model.board import Board
from laminature.model.price import Prices
from laminature.model.rates import Rates
from laminature.model.supply import Supply
from laminature.model.words import Words

CM2 = 100.0
DM2 = 1e4
M = 1e3
M2 = 1e6


@dataclass
class Shop:
    """A list of supplies that is being written."""

    rates: Rates
    prices: Prices
    words: Words
    supplies: list[Supply] = field(default_factory=list)

    def buy(self, kind: str, title: str, amount: float, unit: str, why: str) -> None:
        """Note ``amount`` of a supply, in the usual packs or in those that have a price."""
        price = self.prices.supplies.get(kind)
        pack = price.pack if price and price.pack else getattr(self.rates.packs, kind)
        self._note(kind, title, amount, unit, pack, price.price if price else None, why)

    def buy_board(self, board: Board, sheets: int, why: str) -> None:
        """Note full sheets of ``board``."""
        price = self.prices.boards.get(board.name)
        pack = price.pack if price and price.pack else 1.0
        self._note("board", board.title, sheets, "sheets", pack, price.price if price else None, why)

    def _note(
        self, kind: str, title: str, amount: float, unit: str, pack: float, price: float | None, why: str
    ) -> None:
        if unit.endswith("s"):
            unit = self.words.of(f"unit_{unit}_{'one' if amount == 1.0 else 'many'}")
        if amount > 0.0:
            packs = math.ceil(amount / pack - 1e-9)
            self.supplies.append(Supply(kind, title, amount, unit, pack, packs, why, price))

    def with_left(self, millilitres: float) -> float:
        """What has to be bought for so much of a liquid to be used."""
        return millilitres * (1.0 + self.rates.spread.left)

    @property
    def left_words(self) -> str:
        """How the remainder in tips is said."""
        return self.words.of("left", share=f"{100.0 * self.rates.spread.left:.0f}")
