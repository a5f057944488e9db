"""Numbers drawn with seven straight strokes, for what is engraved on a coupon."""

from __future__ import annotations

from laminature.geometry.path import Path, Point, polyline

#: Strokes of a digit on a field 1 wide and 2 high: the usual seven segments, a to g.
_SEGMENTS: dict[str, tuple[Point, Point]] = {
    "a": ((0.0, 2.0), (1.0, 2.0)),
    "b": ((1.0, 2.0), (1.0, 1.0)),
    "c": ((1.0, 1.0), (1.0, 0.0)),
    "d": ((1.0, 0.0), (0.0, 0.0)),
    "e": ((0.0, 0.0), (0.0, 1.0)),
    "f": ((0.0, 1.0), (0.0, 2.0)),
    "g": ((0.0, 1.0), (1.0, 1.0)),
}
_DIGITS = {
    "0": "abcdef",
    "1": "bc",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "gfabcd",
}
#: From one digit to the next, and past a point, in widths of a digit.
_ADVANCE = 1.6
_POINT = 0.7


def numerals(text: str, x: float, y: float, height: float) -> tuple[Path, ...]:
    """Strokes for a number such as ``"2.36"``, centred on ``x`` and standing on ``y``, mm.

    Raises KeyError for anything but digits and a point.
    """
    unit = height / 2.0
    left = x - numerals_width(text, height) / 2.0
    strokes: list[Path] = []
    for character in text:
        if character == ".":
            dot = left - 0.25 * unit
            strokes.append(polyline([(dot, y), (dot, y + 0.25 * unit)], closed=False))
            left += _POINT * unit
            continue
        for name in _DIGITS[character]:
            ends = [(left + px * unit, y + py * unit) for px, py in _SEGMENTS[name]]
            strokes.append(polyline(ends, closed=False))
        left += _ADVANCE * unit
    return tuple(strokes)


def numerals_width(text: str, height: float) -> float:
    """How wide a number is, mm."""
    unit = height / 2.0
    points = text.count(".")
    return ((len(text) - points) * _ADVANCE + points * _POINT - (_ADVANCE - 1.0)) * unit
