"""How lengths stand in a field: their unit, their step, and the ends of a slider."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from laminature.design.house import INCHES, LENGTH
from laminature.units import INCH, HouseUnit, in_inches, in_mm

#: A length of the full-size piece, one that is thought of in miniature, or one of the bench.
Realm = Literal["full", "mini", "actual"]

_STEPS: Mapping[str, tuple[float, ...]] = {
    "in": (1.0, 0.5, 0.25, 0.05, 0.005),
    "mm": (10.0, 5.0, 1.0, 0.5, 0.1, 0.05, 0.01, 0.001),
    "°": (1.0, 0.5, 0.1, 0.01),
    "": (1.0, 0.5, 0.1, 0.05, 0.01, 0.001),
}
#: A slider has so many steps at least, where its numbers allow it.
_FINE = 40


@dataclass(frozen=True)
class Ruler:
    """How the lengths of one design are told: ``scale`` is n of 1:n, ``bare`` the unit of bare numbers.

    ``house`` is the unit that most of its lengths are written in, None where there are none.
    """

    scale: float
    bare: str = "mm"
    house: HouseUnit | None = None

    def unit(self, written: Any, realm: Realm, default: float | None) -> HouseUnit:
        """The unit of a field: as it is written, else as others are, else as its default was thought of."""
        if isinstance(written, list):
            written = next(iter(written), None)
        if isinstance(written, str) and LENGTH.match(written):
            return "in" if INCHES.search(written) else "mm"
        if realm != "full":
            return "mm"
        if isinstance(written, int | float) and not isinstance(written, bool):
            return "in" if self.bare in ("in", "ft") else "mm"
        if self.house is not None:
            return self.house
        eighths = None if default is None else default / float(INCH) * 8.0
        return "in" if eighths and abs(eighths - round(eighths)) < 1e-6 else "mm"

    def words(self, mm: float | None, realm: Realm, unit: str) -> tuple[str, str]:
        """A length of this realm in words: full-size and in miniature; "" where there is no such size."""
        if mm is None or realm == "actual":
            return "", ""
        full, mini = (mm, mm / self.scale) if realm == "full" else (mm * self.scale, mm)
        return in_inches(full) if unit == "in" else in_mm(full, 1), in_mm(mini)


def step_for(low: float | None, high: float | None, default: float | None, unit: str) -> float:
    """The step of a slider: a plain number, fine enough for its range, that shows the default as it is."""
    span = math.inf if low is None or high is None else high - low
    fine = [s for s in _STEPS[unit] if s <= span / _FINE] or [_STEPS[unit][-1]]
    if not math.isfinite(span):
        fine = [s for s in _STEPS[unit] if s <= 1.0]
    return next((s for s in fine if default is None or as_shown(default, s) == tidy(default)), fine[-1])


def as_shown(value: float, step: float) -> float:
    """The value with as many digits as the page shows for this step."""
    digits = math.ceil(-math.log10(step) - 1e-9) + (1 if step % 1 else 0)
    return round(value, max(0, min(4, digits)))


def ends(low: float | None, high: float | None, step: float) -> tuple[float | None, float | None]:
    """The ends of a slider: the outermost multiples of its step within its range."""
    inner = None if low is None else tidy(math.ceil(low / step - 1e-9) * step)
    outer = None if high is None else tidy(math.floor(high / step + 1e-9) * step)
    if inner is not None and outer is not None and inner >= outer:
        return low, high
    return inner, outer


def tidy(value: float) -> float:
    """The value without the dust of its last digits."""
    rounded = round(value, 6)
    return int(rounded) if rounded == int(rounded) else rounded
