"""Fit: the clearances of a joint, actual size, mm."""

from __future__ import annotations

from dataclasses import dataclass

#: A clearance is never below this, mm, whatever a fit says.
LEAST = 0.02


@dataclass(frozen=True)
class Fit:
    """Three clearances and the lead-in of a tab.

    ``across`` is per side, across the thickness; ``along`` per side, along the tab;
    ``end`` lies beyond the tab's end, so that the shoulder closes. ``lead_in`` is the
    little chamfer at a tab's end: a drag blade rounds inside corners. ``hardened`` is
    added to ``across`` per side for parts whose faces are hardened, ``coats`` for finish.
    """

    name: str
    across: float = 0.09
    along: float = 0.15
    end: float = 0.20
    lead_in: float = 0.30
    hardened: float = 0.0
    coats: float = 0.0

    @property
    def side(self) -> float:
        """Clearance per side across the thickness, all additions counted, mm."""
        return max(LEAST, self.across + self.hardened + self.coats)

    @property
    def lengthwise(self) -> float:
        """Clearance per side along the tab, mm."""
        return max(LEAST, self.along)

    @property
    def beyond(self) -> float:
        """Clearance beyond the tab's end, mm."""
        return max(LEAST, self.end)


#: Layers stacked by hand wander ±0.15 mm (common practice, no source).
HAND_STACKED = Fit("hand-stacked")
#: Layers held by pins or slot keys while they are glued (common practice, no source).
PINNED = Fit("pinned", across=0.04, along=0.08, end=0.15)
