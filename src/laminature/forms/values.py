"""What the maker asked of a form: defaults filled in, and everything checked before it is used."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import TYPE_CHECKING

from laminature.errors import FormError
from laminature.units import Rounding, in_mm

if TYPE_CHECKING:
    from laminature.model.form import Parameter, Value

#: Ranges are compared with this much slack, as a fraction, for sizes that were divided by a scale.
_SLACK = 1e-9


@dataclass(frozen=True)
class Sizes:
    """The values of a form's parameters, lengths in mm at miniature scale, angles in degrees.

    A value of None is one that the form works out from the others.
    """

    scale: float
    values: Mapping[str, Value | None]

    def length(self, name: str, otherwise: float | None = None) -> float:
        """A length in mm, or ``otherwise`` where the maker left it to the form."""
        return self._number(name, otherwise)

    def angle(self, name: str, otherwise: float | None = None) -> float:
        """An angle in degrees, or ``otherwise`` where the maker left it to the form."""
        return self._number(name, otherwise)

    def count(self, name: str, otherwise: int | None = None) -> int:
        """A count (also of layers), or ``otherwise`` where the maker left it to the form."""
        return int(self._number(name, otherwise))

    def choice(self, name: str, otherwise: str | None = None) -> str:
        """A choice, or ``otherwise`` where the maker left it to the form."""
        value = self.values[name]
        return str(otherwise if value is None else value)

    def text(self, name: str) -> str:
        """Path data that was given. Raises KeyError where there is none; ask :meth:`given` first."""
        value = self.values[name]
        if not isinstance(value, str):
            raise KeyError(f"{name} was not given")
        return value

    def flag(self, name: str, otherwise: bool = False) -> bool:
        """A yes or no, or ``otherwise`` where the maker left it to the form."""
        value = self.values[name]
        return otherwise if value is None else bool(value)

    def given(self, name: str) -> bool:
        """Whether there is a value, the maker's or the form's default."""
        return self.values[name] is not None

    def say(self, length: float) -> str:
        """A length in words, as miniature and as full-size: ``"12.5 mm (150 mm full-size)"``."""
        return say(length, self.scale)

    def least(self, length: float) -> str:
        """The least length that may be given, in words: rounded up, so that it may be."""
        return say(length, self.scale, "up")

    def most(self, length: float) -> str:
        """The greatest length that may be given, in words: rounded down, so that it may be."""
        return say(length, self.scale, "down")

    def _number(self, name: str, otherwise: float | None) -> float:
        value = self.values[name]
        if value is None:
            value = otherwise
        if not isinstance(value, int | float):
            raise KeyError(f"{name} has neither a value nor a way to work one out")
        return value


def say(length: float, scale: float, rounding: Rounding = "nearest") -> str:
    """A length at miniature scale in words, with what it stands for at full size."""
    return f"{in_mm(length, rounding=rounding)} ({in_mm(length * scale, rounding=rounding)} full-size)"


def fill(values: Mapping[str, Value | None], parameters: Sequence[Parameter], scale: float) -> Sizes:
    """The form's defaults with the maker's values over them, all within their ranges.

    Lengths in ``values`` are at miniature scale, mm; a default or range of a full-size
    length is divided by ``scale``. Raises FormError for an unknown name, a value of the
    wrong kind, one that is not a number, and one out of range.
    """
    known = {p.name: p for p in parameters}
    for name in values:
        if name not in known:
            near = get_close_matches(name, known, n=1)
            hint = f"Did you mean {near[0]!r}?" if near else f"It knows: {', '.join(known)}."
            raise FormError(f"this form has no parameter {name!r}.", name, hint)
    filled: dict[str, Value | None] = {}
    for p in parameters:
        divisor = scale if p.kind == "length" and p.realm == "full" else 1.0
        value = values.get(p.name)
        if value is None:
            value = p.default
            if p.kind == "length" and isinstance(value, int | float):
                value = value / divisor
        else:
            _check(p, value, divisor, scale)
        filled[p.name] = value
    return Sizes(scale, filled)


def _check(p: Parameter, value: Value, divisor: float, scale: float) -> None:
    if p.kind == "choice":
        if value not in p.choices:
            raise FormError(
                f"{p.name} cannot be {value!r}.", p.name, f"Choose one of {', '.join(p.choices)}."
            )
    elif p.kind == "flag":
        if not isinstance(value, bool):
            raise FormError(f"{p.name} is a yes or no, not {value!r}.", p.name, "Write true or false.")
    elif p.kind == "path":
        if not isinstance(value, str):
            raise FormError(
                f"{p.name} is SVG path data, not {value!r}.", p.name, 'Write it like "M 0 0 L 0 60".'
            )
    elif isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise FormError(f"{p.name} has to be a number, not {value!r}.", p.name)
    else:
        if p.kind in ("count", "layers") and value != int(value):
            raise FormError(f"{p.name} has to be a whole number, not {value!r}.", p.name)
        _check_range(p, float(value), divisor, scale)


def _check_range(p: Parameter, value: float, divisor: float, scale: float) -> None:
    slack = _SLACK * max(1.0, abs(value))

    def words(number: float, rounding: Rounding = "nearest") -> str:
        if p.kind == "length":
            return say(number, scale, rounding)
        return f"{number:g}°" if p.kind == "angle" else f"{number:g}"

    if p.low is not None and value < p.low / divisor - slack:
        raise FormError(
            f"{p.name} is {words(value)}, which is too small.",
            p.name,
            f"Give at least {words(p.low / divisor, 'up')}.",
        )
    if p.high is not None and value > p.high / divisor + slack:
        raise FormError(
            f"{p.name} is {words(value)}, which is too large.",
            p.name,
            f"Give at most {words(p.high / divisor, 'down')}.",
        )
