"""Board: the material, and the numbers that decide what can be cut from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Grain = Literal["x", "y", "none"]


@dataclass(frozen=True)
class Board:
    """One kind of board. All lengths are actual size, mm.

    ``growth`` is a fraction of the caliper (0.02 = 2 %) by which hardening thickens it;
    ``face_sanding`` is taken off a finished stack as a whole; ``measured`` holds pairs
    of a number of layers and the thickness the maker measured on such a stack.
    A piece whose longer side is below ``small`` is easily lost: ``bridge_knife`` and ``bridge_laser`` are the
    widths of bridges that hold it.
    ``sources`` pairs a field's name with where its value comes from.
    """

    name: str
    title: str
    caliper: float
    sheet_width: float
    sheet_height: float
    grain: Grain = "x"
    glue_line: float = 0.0
    growth: float = 0.0
    face_sanding: float = 0.0
    web_knife: float = 1.5
    web_laser: float = 1.0
    opening_knife: float = 2.0
    opening_laser: float = 1.0
    bridge_knife: float = 0.6
    bridge_laser: float = 0.4
    small: float = 8.0
    density: float = 0.65
    passes_knife: int = 3
    passes_laser: int = 1
    measured: tuple[tuple[int, float], ...] = ()
    sources: tuple[tuple[str, str], ...] = field(default=(), compare=False)

    def smallest_web(self, cutter: str) -> float:
        """The thinnest web that ``cutter`` ("knife" or "laser") leaves whole, mm."""
        return self.web_laser if cutter == "laser" else self.web_knife

    def smallest_opening(self, cutter: str) -> float:
        """The smallest opening that ``cutter`` ("knife" or "laser") cuts cleanly, mm."""
        return self.opening_laser if cutter == "laser" else self.opening_knife

    def passes(self, cutter: str) -> int:
        """How often ``cutter`` ("knife" or "laser") goes over a line to cut it through."""
        return self.passes_laser if cutter == "laser" else self.passes_knife

    def bridge(self, cutter: str) -> float:
        """The width of a bridge that holds a small piece until it is broken out, mm."""
        return self.bridge_laser if cutter == "laser" else self.bridge_knife
