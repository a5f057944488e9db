"""The parameters of a form, from what the maker wrote, checked against what the form declares."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from laminature.design.kinds import Reading
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose, nearest, short
from laminature.geometry.svgpath import PathDataError, read_path
from laminature.model.form import Parameter, Value
from laminature.units import Measure, Rounding, UnitError, in_inches, in_mm, length

_DEGREES = re.compile(r"\s*([-+]?[0-9]+(?:\.[0-9]*)?|[-+]?\.[0-9]+)\s*(?:°|deg|degrees?)\s*")
#: Ranges are compared with this much slack, as a share, for bounds that are no exact decimals.
_SLACK = 1e-9


def read_values(
    path: KeyPath,
    written: Mapping[str, Any],
    parameters: Iterable[Parameter],
    reading: Reading,
    problems: Problems,
    *,
    top_keys: Iterable[str] = (),
) -> dict[str, Value | None]:
    """The values of a form's parameters; lengths at miniature scale, mm, rounded once.

    What the form does not know, and what lies outside its ranges, is noted in ``problems``
    and left out. ``top_keys`` are keys of the file's beginning, which are easily written
    below ``[form]`` by mistake.
    """
    known = {p.name: p for p in parameters}
    values: dict[str, Value | None] = {}
    for key, value in written.items():
        parameter = known.get(key)
        if parameter is None:
            if key in top_keys:
                said = f"{key!r} is no parameter of this form."
                problems.add((*path, key), said, "It belongs to the whole design: write it above [form].")
            else:
                problems.add(
                    (*path, key), f"This form has no parameter {short(key, 40)}.", choose(key, known)
                )
            continue
        try:
            values[key] = _value(parameter, value, reading)
        except UnitError as error:
            problems.add((*path, key), str(error))
    return values


def _value(p: Parameter, value: Any, reading: Reading) -> Value:
    """One value. Raises UnitError with the whole message for what the parameter does not take."""
    if p.kind == "length":
        return _length(p, value, reading)
    if p.kind == "choice":
        if value not in p.choices:
            near = nearest(value, p.choices) if isinstance(value, str) else None
            hint = f"Did you mean {near!r}? " if near else ""
            raise UnitError(
                f"{p.name} cannot be {short(value)}. {hint}Choose one of: {', '.join(p.choices)}."
            )
        return str(value)
    if p.kind == "flag":
        if not isinstance(value, bool):
            raise UnitError(f"{p.name} is a yes or no, not {short(value)}. Write true or false.")
        return value
    if p.kind == "path":
        return _path(p, value)
    if p.kind == "angle":
        return _in_range(p, _angle(p, value))
    if isinstance(value, bool) or not isinstance(value, int):
        raise UnitError(f"{p.name} has to be a whole number, not {short(value)}.")
    _in_range(p, max(-(10**9), min(value, 10**9)))
    return value


def _length(p: Parameter, value: Any, reading: Reading) -> float:
    bare = "mm" if p.realm == "mini" else reading.unit
    measure = length(value, bare, signed=p.low is not None and p.low < 0)
    if measure.realm is None:
        measure = Measure(measure.mm, p.realm)
    at_realm = reading.scale.mini(measure) if p.realm == "mini" else reading.scale.full(measure)
    low, high = p.low, p.high
    slack = _SLACK * max(1.0, abs(float(at_realm)))
    if (low is not None and at_realm < low - slack) or (high is not None and at_realm > high + slack):
        raise UnitError(
            f"{p.name} is {_say(p, float(at_realm))}{_out(p, float(at_realm))}{_bare_hint(value, bare)}"
        )
    return float(reading.scale.mini(measure))


def _angle(p: Parameter, value: Any) -> float:
    if isinstance(value, str) and (match := _DEGREES.fullmatch(value[:40])):
        return float(match[1])
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e9:
        raise UnitError(f"{p.name} is an angle in degrees, not {short(value)}. Write it like 12.5.")
    return float(value)


def _in_range(p: Parameter, value: float) -> float:
    if (p.low is not None and value < p.low) or (p.high is not None and value > p.high):
        raise UnitError(f"{p.name} is {_say(p, value)}{_out(p, value)}")
    return value


def _path(p: Parameter, value: Any) -> str:
    if not isinstance(value, str):
        raise UnitError(f'{p.name} is SVG path data, not {short(value)}. Write it like "M 0 0 L 0 60".')
    try:
        read_path(value)
    except PathDataError as error:
        raise UnitError(f"{p.name} is no path data: {error}") from None
    return value


def _out(p: Parameter, value: float) -> str:
    if p.low is not None and value < p.low:
        return f", which is too small. Give at least {_say(p, p.low, 'up')}."
    return f", which is too large. Give at most {_say(p, p.high or 0.0, 'down')}."


def _bare_hint(value: Any, unit: str) -> str:
    if isinstance(value, str) and re.search(r"[a-z\"']", value, re.IGNORECASE):
        return ""
    return f" A bare number here is in {unit}."


def _say(p: Parameter, value: float, rounding: Rounding = "nearest") -> str:
    if p.kind == "angle":
        return f"{value:g}°"
    if p.kind != "length":
        return f"{value:g}"
    if p.realm == "mini":
        return f"{in_mm(value, rounding=rounding)} (miniature)"
    return f"{in_mm(value, rounding=rounding)} ({in_inches(value, rounding=rounding)})"
