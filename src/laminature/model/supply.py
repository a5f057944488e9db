"""Supplies: what to buy, how much, and how that figure came about."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Supply:
    """One thing to buy. ``amount`` of ``unit`` is wanted; ``pack`` is what is sold together, ``packs`` how
    many of them.

    ``price`` is that of one pack in the maker's currency, None where no price is known. ``why`` says how
    the amount was come by, in one sentence.
    """

    kind: str
    title: str
    amount: float
    unit: str
    pack: float
    packs: int
    why: str
    price: float | None = None

    @property
    def cost(self) -> float | None:
        """The price of all its packs, None where no price is known."""
        return None if self.price is None else self.price * self.packs
