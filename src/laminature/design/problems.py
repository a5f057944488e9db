"""Errors of one file, gathered so that all are told at once, each with its file, line and key."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError
from pydantic_core import PydanticCustomError

from laminature.design.lines import KeyPath
from laminature.errors import DesignError, DesignErrors, Place

#: No more errors than this are listed; the rest are counted.
MOST_TOLD = 100

_KINDS = {
    "string_type": "text in quotes",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "bool_type": "true or false",
    "list_type": "a list in square brackets",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
}


def said(message: str, remedy: str = "") -> PydanticCustomError:
    """An error for a validator to raise, in the maker's words."""
    return PydanticCustomError("said", "{said}", {"said": message, "remedy": remedy})


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that is most like ``name``, if one is like it at all."""
    near = difflib.get_close_matches(name[:80].lower(), list(known), n=1, cutoff=0.6)
    return near[0] if near else None


def choose(name: str, known: Iterable[str]) -> str:
    """A remedy that names the nearest of the ``known`` names, or all of them."""
    names = list(known)
    near = nearest(name, names)
    if near is not None:
        return f"Did you mean {near!r}?"
    return f"Known are: {', '.join(names)}." if names else ""


def short(value: object, most: int = 60) -> str:
    """A value as it may be quoted in a message, never longer than ``most`` characters."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    if isinstance(value, int):
        return str(value) if abs(value) < 10**most else "a huge number"
    text = value if isinstance(value, str) else str(value)
    text = text if len(text) <= most else text[: most - 3] + "..."
    return repr(text) if isinstance(value, str) else text


class Problems:
    """Gathers errors by the place where they stand; the first at a place is kept."""

    def __init__(self, file: str, lines: Mapping[KeyPath, int]) -> None:
        self.file = file
        self._lines = lines
        self._found: dict[KeyPath, DesignError] = {}
        self._untold = 0

    def stands(self, path: KeyPath) -> bool:
        """Whether the file has a value at just this path."""
        return path in self._lines

    def among(self, path: KeyPath, keys: Iterable[str]) -> bool:
        """Whether there is an error already about one of these keys of the table at ``path``."""
        return any((*path, key) in self._found for key in keys)

    def add(self, path: KeyPath, message: str, remedy: str = "") -> None:
        """Note an error about the value at ``path``."""
        self._found.setdefault(path, DesignError(message, self.place(path), remedy))

    def place(self, path: KeyPath) -> Place:
        """Where ``path`` stands, or the nearest thing around it that does. Items are counted from 1."""
        line = next((self._lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self._lines), 1)
        key = "".join(f"[{p + 1}]" if isinstance(p, int) else f".{_named(p)}" for p in path[:8])
        return Place(self.file, line, key.lstrip("."), path)

    def raise_any(self) -> None:
        """Raise DesignErrors if something was found, in the order of lines."""
        if not self._found:
            return
        found = sorted(self._found.values(), key=lambda e: e.place.line or 0)
        if len(found) > MOST_TOLD:
            count = len(found) - MOST_TOLD + self._untold
            more = DesignError(f"There are {count} errors more.", Place(self.file), "Mend these first.")
            found = [*found[:MOST_TOLD], more]
        raise DesignErrors(found)

    def add_all(self, error: ValidationError, keys: Mapping[KeyPath, Iterable[str]]) -> None:
        """Note all that pydantic found.

        ``keys`` gives the keys known at a path; items of lists are left out of these
        paths, and ``"*"`` stands for a name that the maker chose.
        """
        found = error.errors(include_url=False)
        self._untold += len(found[10 * MOST_TOLD :])
        for e in found[: 10 * MOST_TOLD]:
            path = tuple(e["loc"])
            self.add(path, *_in_words(dict(e), path, keys))


def _in_words(e: dict[str, Any], path: KeyPath, keys: Mapping[KeyPath, Iterable[str]]) -> tuple[str, str]:
    kind, value, context = e["type"], e["input"], e.get("ctx", {})
    last = _named(path[-1]) if path and isinstance(path[-1], str) else "this"
    if kind == "said":
        return context["said"], context["remedy"]
    if kind == "extra_forbidden":
        return f"There is no key {last!r} here.", choose(str(path[-1]), _known(path[:-1], keys))
    if kind == "missing":
        return f"{last!r} is missing.", "Add it."
    if kind == "literal_error":
        choices = re.findall(r"'([^']*)'", context["expected"])
        near = nearest(value, choices) if isinstance(value, str) else None
        hint = f"Did you mean {near!r}? " if near else ""
        return f"{last} cannot be {short(value)}.", f"{hint}Choose one of: {', '.join(choices)}."
    if kind == "list_type" and isinstance(value, dict):
        return f"[{last}] is a table of its own.", f"Write [[{last}]]: there may be several."
    if kind in ("model_type", "model_attributes_type") and isinstance(value, list):
        return f"There can be only one {last}.", f"Write [{last}]."
    if kind in _KINDS:
        return f"{last} has to be {_KINDS[kind]}, not {short(value)}.", ""
    if kind == "string_too_long":
        return f"{last} is longer than {context['max_length']} characters.", "Write less."
    if kind in ("too_short", "too_long"):
        least, most = context.get("min_length"), context.get("max_length")
        asked = f"at least {least}" if kind == "too_short" else f"at most {most}"
        return f"{last} has {context['actual_length']} items, and takes {asked}.", ""
    if kind in ("greater_than", "greater_than_equal", "less_than", "less_than_equal"):
        bound = next(iter(context.values()))
        way = {"greater_than": "above", "greater_than_equal": "at least", "less_than": "below"}.get(
            kind, "at most"
        )
        return f"{last} is {short(value)}, and has to be {way} {bound:g}.", ""
    return f"{last} cannot be {short(value)}.", ""


def _known(path: KeyPath, keys: Mapping[KeyPath, Iterable[str]]) -> Iterable[str]:
    names = tuple(p for p in path if isinstance(p, str))
    for pattern, known in keys.items():
        if len(pattern) == len(names) and all(a in ("*", b) for a, b in zip(pattern, names, strict=True)):
            return known
    return ()


def _named(key: str) -> str:
    plain = "".join(c if c.isprintable() else "?" for c in key)
    return plain if len(plain) <= 40 else plain[:37] + "..."
