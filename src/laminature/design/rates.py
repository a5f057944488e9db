"""Rates as data: the package's, and over them what a maker writes in a ``rates.toml`` of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields
from typing import Any, get_type_hints

from laminature.design.decoding import decode, refuse_what_is_no_number
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, choose, short
from laminature.model.rates import Rates

#: Nothing at a bench takes longer than this, minutes.
LONGEST = 60.0 * 24.0 * 60.0
MOST = 1e5
MOST_COATS = 20
_YOURS = "your own value"
_TIME = re.compile(r"\s*(\d{1,7}(?:\.\d{1,6})?)\s*(min|minutes?|h|hours?|d|days?)\s*", re.ASCII)
_MINUTES = {"m": 1.0, "h": 60.0, "d": 1440.0}
#: What cannot be nothing, because something is divided by it.
_ABOVE_ZERO = {"spread.density", "spread.wall", "spread.grit_edge", "spread.grit_area", "spread.nested"}

_GROUPS: Mapping[str, type] = {
    name: hint for name, hint in get_type_hints(Rates).items() if name not in ("sources",)
}


def read_rates(data: bytes, file: str, known: Rates | None = None) -> Rates:
    """The rates of a file, laid over ``known`` ones; without those the file has to hold all.

    Raises DesignErrors with all that is wrong and where, DesignError where the file is no TOML.
    """
    decoded = decode(data, file)
    problems = Problems(file, decoded.lines)
    refuse_what_is_no_number(decoded, problems)
    for name in decoded.values:
        if name not in _GROUPS:
            problems.add((name,), f"There are no rates called {short(name)}.", choose(name, _GROUPS))
    made: dict[str, Any] = {}
    sources = dict(known.sources) if known else {}
    for group, kind in _GROUPS.items():
        table = decoded.values.get(group, {})
        if not isinstance(table, dict):
            problems.add((group,), f"{group} has to be a table, not {short(table)}.", f"Write [{group}].")
            continue
        values = {f.name: getattr(getattr(known, group), f.name) for f in fields(kind)} if known else {}
        values |= _read_group(group, kind, table, problems)
        _read_sources(group, table, values, sources, problems)
        missing = [f.name for f in fields(kind) if f.name not in values]
        for name in missing:
            problems.add((group, name), f"{group}.{name} is missing.", "Add it.")
        if not missing:
            made[group] = kind(**values)
    problems.raise_any()
    return Rates(**made, sources=tuple(sorted(sources.items())))


def _read_group(group: str, kind: type, table: Mapping[str, Any], problems: Problems) -> dict[str, Any]:
    hints = get_type_hints(kind, include_extras=True)
    found: dict[str, Any] = {}
    for name, value in table.items():
        if name == "sources":
            continue
        if name not in hints:
            problems.add((group, name), f"There is no rate {short(name)} in [{group}].", choose(name, hints))
            continue
        hint = hints[name]
        manner = hint.__metadata__[0] if hasattr(hint, "__metadata__") else "grits"
        read = _grits(value) if manner == "grits" else _number(manner, value)
        if isinstance(read, str):
            problems.add((group, name), f"{name} cannot be {short(value)}.", read)
        elif read == 0 and (group == "packs" or f"{group}.{name}" in _ABOVE_ZERO):
            problems.add((group, name), f"{name} cannot be 0.", "Give a number above 0.")
        else:
            found[name] = read
    return found


def _number(manner: str, value: Any) -> float | int | str:
    """The number that ``value`` stands for; or, as text, what to write instead."""
    if manner == "duration" and isinstance(value, str):
        match = _TIME.fullmatch(value)
        if not match:
            return 'Write minutes as a number, or "45 min", "12 h", "1 d".'
        value = float(match[1]) * _MINUTES[match[2][0]]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return "Write a number." if manner != "duration" else 'Write minutes, or "12 h".'
    if manner == "count":
        whole = isinstance(value, int) and 0 <= value <= MOST_COATS
        return value if whole else f"Write a whole number from 0 to {MOST_COATS}."
    most = {"duration": LONGEST, "share": 1.0}.get(manner, MOST)
    if not 0.0 <= value <= most:
        return f"It lies between 0 and {most:g}."
    return float(value)


def _grits(value: Any) -> tuple[int, ...] | str:
    if isinstance(value, list) and len(value) <= 10:
        whole = [v for v in value if isinstance(v, int) and not isinstance(v, bool) and 10 <= v <= 20000]
        if len(whole) == len(value) and len(set(whole)) == len(whole):
            return tuple(sorted(whole))
    return "Write grits in a list, each once: [240, 400]."


def _read_sources(
    group: str,
    table: Mapping[str, Any],
    values: Mapping[str, Any],
    sources: dict[str, str],
    problems: Problems,
) -> None:
    for name in table:
        if name != "sources" and name in values:
            sources[f"{group}.{name}"] = _YOURS
    written = table.get("sources", {})
    path: KeyPath = (group, "sources")
    if not isinstance(written, dict):
        problems.add(path, "sources has to be a table.", f"Write [{group}.sources].")
        return
    for name, text in written.items():
        if name not in values:
            problems.add((*path, name), f"There is no rate {short(name)} to have a source.")
        elif not isinstance(text, str) or not text.isprintable() or len(text) > 300:
            problems.add((*path, name), "A source is one line of text.")
        else:
            sources[f"{group}.{name}"] = text
