"""The place a cushion takes: known in closed form before a form of furniture runs."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class CushionEnvelope:
    """Outer measures of a covered cushion, mm at miniature scale.

    ``side`` is what cloth, folds and piping add on each side beyond the panel;
    ``height`` the whole height over the middle; ``clearance`` the gap to a frame per side.
    """

    panel_thickness: float
    side: float
    height: float
    clearance: float
