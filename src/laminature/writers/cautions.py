"""Cautions, only those that a kit needs. They defer to data sheets, local rules and trained people.

Sources: NIOSH and WHO/IPCS CICAD 36, ICSC 1272 for irritation and sensitising by cyanoacrylates; *Journal of
Burn Care & Research*, doi 10.1093/jbcr/iraa174, for the heat of CA on cotton (3 g reached 91 °C about 90 s
after it was put on); producers' data sheets for its vapour at 150 to 200 °C; the rest common practice.
"""

from __future__ import annotations

from typing import Literal

from laminature.model.words import Words


def cautions(cutter: Literal["knife", "laser"], cushions: bool, words: Words) -> tuple[str, ...]:
    """The cautions for a kit that is cut with ``cutter``, with ``cushions`` or without."""
    wanted = {
        "vapour": True,
        "skin": True,
        "heat": True,
        "cloth": cushions,
        "blade": True,
        "laser": cutter == "laser",
        "dust": True,
        "toy": True,
    }
    return tuple(words.of(f"caution_{name}") for name, needed in wanted.items() if needed)
