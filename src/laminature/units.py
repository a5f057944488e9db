"""Lengths as people write them, and scales. The only place where inches live.

A length is an exact fraction of a millimetre until it is asked for as a float64, so that
it is rounded once. An inch is 25.4 mm exactly (the international yard and pound
agreement of 1959); a point of caliper is 1/1000 inch (printing trade), not the
typographic point of 1/72 inch.
"""

from __future__ import annotations

import difflib
import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

Realm = Literal["full", "mini"]
#: Full sizes are told in one of these.
HouseUnit = Literal["in", "mm"]
#: A least length that is told is rounded up and a greatest one down, so that what is told can be given.
Rounding = Literal["nearest", "up", "down"]

#: No length is written with more characters than this.
LONGEST_TEXT = 200
#: No length is greater than this, mm: a hundred kilometres are no furniture.
GREATEST = 100_000_000

#: What float64 leaves of a whole number.
_BARELY = Fraction(1, 10**6)

INCH = Fraction(254, 10)
#: A button maker's ligne, 40 to the inch (trade charts). A watchmaker's is another.
LIGNE = INCH / 40
FOOT = 12 * INCH

_UNITS: dict[str, Fraction] = {
    "mm": Fraction(1),
    "millimetre": Fraction(1),
    "millimetres": Fraction(1),
    "millimeter": Fraction(1),
    "millimeters": Fraction(1),
    "cm": Fraction(10),
    "centimetre": Fraction(10),
    "centimetres": Fraction(10),
    "centimeter": Fraction(10),
    "centimeters": Fraction(10),
    "m": Fraction(1000),
    "metre": Fraction(1000),
    "metres": Fraction(1000),
    "meter": Fraction(1000),
    "meters": Fraction(1000),
    "µm": Fraction(1, 1000),
    "um": Fraction(1, 1000),
    "in": INCH,
    "inch": INCH,
    "inches": INCH,
    '"': INCH,
    "ft": FOOT,
    "foot": FOOT,
    "feet": FOOT,
    "'": FOOT,
    "yd": 3 * FOOT,
    "yard": 3 * FOOT,
    "yards": 3 * FOOT,
    "pt": INCH / 1000,
    "point": INCH / 1000,
    "points": INCH / 1000,
}
_REALMS: dict[str, Realm] = {"mini": "mini", "miniature": "mini", "full": "full", "full-size": "full"}
#: Units that a bare number may be told to have.
BARE_UNITS = ("mm", "cm", "m", "in", "ft")

_VULGAR = {
    "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_PLAIN = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ`´", "'"),
        **dict.fromkeys("″”“ʺ", '"'),
        **dict.fromkeys("−–‐‑", "-"),
        **dict.fromkeys("\u00a0\u2009\u202f\t", " "),
        **{c: f" {f}" for c, f in _VULGAR.items()},
        "⁄": "/",
        "μ": "µ",
        "∶": ":",
    }
)

_NUMBER = r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+"
_TERM = re.compile(
    rf"""\s*(?:
        (?:(?P<whole>[0-9]+)(?:\s+|\s*-\s*))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)
        |(?P<number>{_NUMBER})
    )(?![0-9./,])\s*(?P<unit>''|["']|[^\W\d_]+)?""",
    re.VERBOSE,
)
#: What stands between two lengths, and a unit at the end of the second.
_TIMES = re.compile(r"\s*[x×X*]\s*|\s+by\s+")
_TRAILING_UNIT = re.compile(r"(''|[\"'″”′’]|[^\W\d_]+)\s*$")
_PREFIX = re.compile(r"\s*(full-size|[^\W\d_]+)\s+(?=[-+.0-9 ])")


class UnitError(ValueError):
    """A length or scale that cannot be read. ``str(error)`` says why and what would do."""


@dataclass(frozen=True)
class Measure:
    """A length, exact. ``realm`` is None where the writer did not say which size is meant."""

    mm: Fraction
    realm: Realm | None = None

    def __float__(self) -> float:
        """The length in mm, rounded once."""
        return float(self.mm)


def length(written: str | int | float, bare: str = "mm", signed: bool = False) -> Measure:
    """Read a length as people write it.

    ``"18 in"``, ``"457 mm"``, ``"1 ft 5 1/2 in"``, ``"1' 5½''"``, ``"22 pt"``; ``"mini 3 mm"`` and
    ``"full 3 in"`` say which size is meant. A number without unit is in ``bare`` units
    (one of :data:`BARE_UNITS`). A minus sign is read only where ``signed``.
    Raises UnitError for anything else, nan and inf among it.
    """
    if isinstance(written, bool) or not isinstance(written, str | int | float):
        raise UnitError(f'{_short(written)} is not a length. Write it like "18 in", "457 mm" or "mini 3 mm".')
    if isinstance(written, str):
        return _read(written, bare, signed)
    if not math.isfinite(written) if isinstance(written, float) else abs(written) > GREATEST:
        raise UnitError(f"{_short(written)} is not a length that furniture can have.")
    # The shortest decimal that stands for the float is what the person wrote.
    value = Fraction(repr(written)) if isinstance(written, float) else Fraction(written)
    return _bounded(value * _UNITS[bare], None, str(written), signed)


@lru_cache(maxsize=4096)
def two_lengths(written: str) -> tuple[float, float]:
    """Two actual lengths in mm: ``"120 x 80 mm"``, ``"4 3/4 in x 3 in"``, ``"120 × 80"`` (mm).

    The first takes the second's unit where it has none. Raises UnitError for anything else, and for
    a length that is said to be full-size or in miniature.
    """
    sides = _TIMES.split(written.strip()) if len(written) <= LONGEST_TEXT else []
    if len(sides) != 2 or not all(sides):
        raise UnitError(f'{_cut(written)} is not a size. Write it like "120 x 80 mm".')
    unit = _TRAILING_UNIT.search(sides[1])
    if unit is not None and _TRAILING_UNIT.search(sides[0]) is None:
        sides[0] += f" {unit[0]}"
    read = [length(side) for side in sides]
    if any(side.realm is not None for side in read):
        raise UnitError(f"{_cut(written)}: board is measured as it is. Leave out full and mini.")
    if not all(side.mm > 0 for side in read):
        raise UnitError(f"{_cut(written)}: both sides are above zero.")
    return float(read[0]), float(read[1])


def _read(written: str, bare: str, signed: bool) -> Measure:
    if len(written) > LONGEST_TEXT:
        raise UnitError(f"A length of {len(written)} characters is too long to be one.")
    text = written.translate(_PLAIN)
    realm: Realm | None = None
    if prefix := _PREFIX.match(text):
        realm = _realm(prefix[1])
        text = text[prefix.end() :]
    text = text.strip()
    sign = 1
    if text[:1] in ("-", "+"):
        sign = -1 if text[0] == "-" else 1
        text = text[1:]
    return _bounded(sign * _sum(text, written, bare), realm, repr(written), signed)


def _sum(text: str, written: str, bare: str) -> Fraction:
    total, at, last = Fraction(0), 0, None
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None:
            raise UnitError(_unreadable(text[at:], written))
        unit = term["unit"]
        alone = at == 0 and term.end() == len(text)
        if unit is None and not alone:
            raise UnitError(f'{written!r} has a number without its unit. Write it like "1 ft 5 1/2 in".')
        size = _UNITS[bare] if unit is None else _unit(unit, written)
        if last is not None and size >= last:
            raise UnitError(f'{written!r} puts its units in no order. Write the larger first: "1 ft 5 in".')
        total += _value(term, written) * size
        at, last = term.end(), size
    if last is None:
        raise UnitError('A length is missing here. Write it like "18 in", "457 mm" or "mini 3 mm".')
    return total


def _value(term: re.Match[str], written: str) -> Fraction:
    if term["number"] is not None:
        return Fraction(term["number"])
    bottom = int(term["bottom"])
    if bottom == 0:
        raise UnitError(f"{written!r} divides by zero.")
    return int(term["whole"] or 0) + Fraction(int(term["top"]), bottom)


def _unit(word: str, written: str) -> Fraction:
    word = '"' if word == "''" else word
    found = _UNITS.get(word) or _UNITS.get(word.lower())
    if found is not None:
        return found
    if word.lower() in _REALMS:
        raise UnitError(f'{written!r} has {word!r} in the middle. It comes first: "{word.lower()} 3 mm".')
    raise UnitError(f"{_cut(written)} has {_cut(word)} where a unit of length belongs.{_near(word)}")


def _near(word: str) -> str:
    plain = [u for u in _UNITS if u.isascii() and u.isalpha()]
    near = difflib.get_close_matches(word.lower()[:20], plain, n=1, cutoff=0.5)
    known = "Units are mm, cm, m, in, ft, yd and, for board, pt."
    return f' Did you mean "{near[0]}"? {known}' if near else f" {known}"


def _realm(word: str) -> Realm:
    found = _REALMS.get(word.lower())
    if found is None:
        raise UnitError(
            f'A length cannot begin with {_cut(word)}. Only "mini" or "full" may stand before the number.'
        )
    return found


def _unreadable(rest: str, written: str) -> str:
    if re.match(r"\s*[0-9]+,[0-9]", rest):
        return f"{_cut(written)} has a comma in its number. Write a decimal point: 45.7."
    if re.match(r"\s*[-+]", rest):
        return f"{_cut(written)} has a sign in the middle. Write one length, larger unit first."
    if re.match(r"\s*(nan|inf)", rest, re.IGNORECASE):
        return f"{_cut(written)} is not a number that can be measured."
    return f'{_cut(written)} cannot be read as a length. Write it like "18 in", "457 mm" or "1 ft 5 1/2 in".'


def _bounded(mm: Fraction, realm: Realm | None, written: str, signed: bool) -> Measure:
    if mm < 0 and not signed:
        raise UnitError(f"{written} is below zero, and this length cannot be.")
    if abs(mm) > GREATEST:
        raise UnitError(f"{_cut(written)} is far too large.")
    return Measure(mm, realm)


def _short(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**12 else "So large a number"
    return repr(value) if isinstance(value, float) else f"A {type(value).__name__}"


def _cut(text: str) -> str:
    return repr(text if len(text) <= 40 else text[:37] + "...")


# --- scales ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Scale:
    """A scale 1:n, exact."""

    n: Fraction

    def __str__(self) -> str:
        """The way scales are written: ``1:12``, ``1:22.5``, ``1:3048/35`` where no decimal is exact."""
        short = f"{float(self.n):.10g}"
        return f"1:{short}" if Fraction(short) == self.n else f"1:{self.n}"

    def mini(self, measure: Measure) -> Fraction:
        """The length at miniature scale, mm, exact. One of no stated realm is taken as full-size."""
        return measure.mm if measure.realm == "mini" else measure.mm / self.n

    def full(self, measure: Measure) -> Fraction:
        """The length at full size, mm, exact. One of no stated realm is taken as full-size."""
        return measure.mm * self.n if measure.realm == "mini" else measure.mm


def full_to_mini(mm: Fraction | float, scale: Fraction) -> float:
    """A full-size length at 1:``scale``, mm, rounded once."""
    return float(Fraction(mm) / scale)


def mini_to_full(mm: Fraction | float, scale: Fraction) -> float:
    """What a miniature length stands for at full size, mm, rounded once."""
    return float(Fraction(mm) * scale)


#: Scales by name. NEM 010 (2011) gives the gauges' letters; H0 there is 87, while HO of the
#: NMRA standards is 3.5 mm to the foot, which is 87.0857. Names of miniature makers are
#: common practice, no source; inches to the foot are arithmetic.
NAMED_SCALES: dict[str, Fraction] = {
    "nem z": Fraction(220),
    "nem n": Fraction(160),
    "nem tt": Fraction(120),
    "nem h0": Fraction(87),
    "nem s": Fraction(64),
    "nem 0": Fraction(45),
    "nem i": Fraction(32),
    "nem ii": Fraction("22.5"),
    "nem iii": Fraction(16),
    "nmra ho": FOOT / Fraction("3.5"),
    "nmra o": Fraction(48),
    "h0": Fraction(87),
    "ho": FOOT / Fraction("3.5"),
    "tt": Fraction(120),
    "playscale": Fraction(6),
    "two inch": Fraction(6),
    "one inch": Fraction(12),
    "three-quarter inch": Fraction(16),
    "half inch": Fraction(24),
    "half scale": Fraction(24),
    "quarter inch": Fraction(48),
    "quarter scale": Fraction(48),
}
_RATIO = re.compile(rf"\s*1\s*[:/]\s*(?P<n>(?:{_NUMBER})(?:/[0-9]+)?)\s*")
_TO_THE_FOOT = re.compile(r"(?P<length>.+?)\s+(?:to|per)\s+(?:the|a|one|1)?\s*(?:foot|ft)\s*", re.IGNORECASE)
#: A miniature is no larger than life, and a thousandth of it is a speck.
_LARGEST_N = 1000


def scale(written: str | int | float) -> Scale:
    """Read a scale: ``"1:12"``, ``"1:22.5"``, ``"1/12"``, 12, ``"half scale"``, ``"3/4 in to the foot"``.

    Raises UnitError for anything else, and for a scale outside 1:1 to 1:1000.
    """
    n = _scale(written)
    if not 1 <= n <= _LARGEST_N:
        raise UnitError(f'A scale lies between 1:1 and 1:{_LARGEST_N}. Write it like "1:12".')
    return Scale(n)


def _scale(written: str | int | float) -> Fraction:
    if isinstance(written, bool) or not isinstance(written, str | int | float):
        raise UnitError(f'{_short(written)} is not a scale. Write it like "1:12".')
    if isinstance(written, float):
        return Fraction(repr(written)) if math.isfinite(written) else Fraction(0)
    if isinstance(written, int):
        return Fraction(written)
    if len(written) > LONGEST_TEXT:
        raise UnitError(f"A scale of {len(written)} characters is too long to be one.")
    text = " ".join(written.translate(_PLAIN).split())
    name = text.lower().removesuffix(" scale") if text.lower() not in NAMED_SCALES else text.lower()
    if name in NAMED_SCALES:
        return NAMED_SCALES[name]
    if ratio := _RATIO.fullmatch(text):
        whole, _, part = ratio["n"].partition("/")
        bottom = int(part or 1)
        return Fraction(whole) / bottom if bottom else Fraction(0)
    if re.fullmatch(_NUMBER, text):
        return Fraction(text)
    if to_foot := _TO_THE_FOOT.fullmatch(text):
        mini = length(to_foot["length"]).mm
        return FOOT / mini if mini else Fraction(0)
    near = difflib.get_close_matches(text.lower()[:40], NAMED_SCALES, n=1, cutoff=0.6)
    hint = f" Did you mean {near[0]!r}?" if near else ""
    raise UnitError(f'{_cut(written)} is not a scale that is known. Write it like "1:12".{hint}')


# --- in words again -------------------------------------------------------------------------------


def _whole(number: Fraction, rounding: Rounding) -> int:
    """A whole number near this one; up and down, what is hardly beyond one still counts as that one."""
    if rounding == "nearest":
        return round(number)
    return math.ceil(number - _BARELY) if rounding == "up" else math.floor(number + _BARELY)


def in_mm(mm: Fraction | float, places: int = 2, rounding: Rounding = "nearest") -> str:
    """A length in mm with at most ``places`` decimals: ``"12.5 mm"``."""
    if rounding != "nearest":
        mm = Fraction(_whole(Fraction(mm) * 10**places, rounding), 10**places)
    text = f"{float(mm):.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return f"{'0' if text == '-0' else text} mm"


def in_inches(mm: Fraction | float, finest: int = 16, rounding: Rounding = "nearest") -> str:
    """A length in feet and inches to the nearest 1/``finest`` inch: ``"1 ft 5 1/2 in"``.

    Below two feet it stays in inches, as furniture is measured. Ties go to the even fraction.
    """
    steps = _whole(Fraction(mm) / INCH * finest, rounding)
    sign, steps = ("-" if steps < 0 else ""), abs(steps)
    feet, rest = divmod(steps, 12 * finest) if steps >= 24 * finest else (0, steps)
    whole, part = divmod(rest, finest)
    words = [f"{feet} ft"] if feet else []
    inches = [str(whole)] if whole else []
    if part:
        inches.append(str(Fraction(part, finest)))
    if inches or not words:
        words.append(" ".join(inches or ["0"]) + " in")
    return sign + " ".join(words)
