"""From the bytes of a TOML file to its values and their lines, within bounds."""

from __future__ import annotations

import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from laminature.design.lines import KeyPath, Refused, lines_of
from laminature.design.problems import Problems
from laminature.errors import DesignError, Place

#: The most bytes that are read of a file of text: thousands of parts fit in.
MOST_BYTES = 2 << 20

#: The key or the table of a line.
_WRITTEN = re.compile(r"\s*(?:\[+\s*([^\]]+)\]|([^=\[]+?)\s*=)")
_AT = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)$")
_BARE_LENGTH = re.compile(r"=\s*[-+.\d][\d./ -]*\s*(?:mm|cm|m|in|ft|pt|['\"]|inch|inches)\b", re.IGNORECASE)
_INCH_MARK = re.compile(r"=\s*\"[^\"]*\d\"\s*\"?\s*$")
_BARE_WORD = re.compile(r"=\s*[A-Za-z][\w -]*$")


@dataclass(frozen=True)
class Decoded:
    """A file's values and where each stands."""

    values: dict[str, Any]
    lines: Mapping[KeyPath, int]
    has_nan_or_inf: bool = False


@lru_cache(maxsize=2)
def decode(data: bytes, file: str) -> Decoded:
    """Read TOML. Raises DesignError, with its line, for the first thing that is none.

    What was read last is kept: nobody changes it.

    A byte order mark is passed over. Too many bytes, too many values and too deep
    nesting are refused before the text is read.
    """
    text = _text(data, file)
    try:
        lines = lines_of(text)
    except Refused as refused:
        raise DesignError(
            refused.message, Place(file, refused.line), "Write the design more simply."
        ) from None
    odd: list[str] = []

    def number(digits: str) -> float:
        value = float(digits)
        if not math.isfinite(value):
            odd.append(digits)
        return value

    try:
        values = tomllib.loads(text, parse_float=number)
    except tomllib.TOMLDecodeError as error:
        raise _broken(str(error), text, file) from None
    except (ValueError, RecursionError):
        # The reader lets through what Python itself refuses: a whole number of thousands of digits.
        raise DesignError("This file has a number that is far too long.", Place(file)) from None
    return Decoded(values, lines, bool(odd))


def _text(data: bytes, file: str) -> str:
    if len(data) > MOST_BYTES:
        raise DesignError(
            f"This file has {len(data) / 1e6:.1f} MB, and a design has at most {MOST_BYTES / 1e6:.1f} MB.",
            Place(file),
            "Is it really a design?",
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise DesignError("This file is saved as UTF-16.", Place(file), "Save it as UTF-8.")
    plain = data.removeprefix(b"\xef\xbb\xbf")
    if b"\0" in plain:
        line = plain.count(b"\n", 0, plain.index(b"\0")) + 1
        raise DesignError(
            "This file is not text: it holds zero bytes.",
            Place(file, line),
            "A design is a text file in TOML.",
        )
    try:
        return plain.decode("utf-8")
    except UnicodeDecodeError as error:
        line = plain.count(b"\n", 0, error.start) + 1
        raise DesignError(
            "This file holds bytes that are no UTF-8 text.", Place(file, line), "Save it as UTF-8."
        ) from None


def _broken(message: str, text: str, file: str) -> DesignError:
    at = _AT.search(message)
    rows = text.split("\n")
    line = int(at[1]) if at and at[1] else len(rows)
    said = _AT.sub("", message)
    row = rows[line - 1] if line <= len(rows) else ""
    if said.startswith(
        ("Cannot overwrite", "Cannot declare", "Cannot mutate", "Cannot redefine", "Duplicate")
    ):
        written = _WRITTEN.match(row)
        what = repr((written[1] or written[2]).strip()) if written else "A key or table"
        twice = f"{what} is written twice in this file."
        return DesignError(twice, Place(file, line), "Leave one of them out.")
    return DesignError(f"This is no TOML: {said[:1].lower()}{said[1:]}.", Place(file, line), _hint(row))


def _hint(row: str) -> str:
    row = row.partition("#")[0].rstrip()
    if _INCH_MARK.search(row):
        return 'An inch mark inside quotes ends them early: write \'18"\' in single quotes, or "18 in".'
    if _BARE_LENGTH.search(row):
        return 'A length with its unit stands in quotes: "18 in".'
    if _BARE_WORD.search(row):
        return "Text stands in quotes."
    return ""


def refuse_what_is_no_number(decoded: Decoded, problems: Problems) -> None:
    """Note every nan and inf, which TOML allows and no measure is."""
    left: list[tuple[KeyPath, Any]] = [((), decoded.values)] if decoded.has_nan_or_inf else []
    while left:
        path, value = left.pop()
        if isinstance(value, dict):
            left.extend(((*path, key), item) for key, item in value.items())
        elif isinstance(value, list):
            left.extend(((*path, i), item) for i, item in enumerate(value))
        elif isinstance(value, float) and not math.isfinite(value):
            problems.add(path, f"{value} is not a number that can be measured.", "Give a number.")
