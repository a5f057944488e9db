"""The unit that a design is thought of in: most of its lengths are written in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from laminature.units import HouseUnit

INCHES = re.compile(r"\d\s*(?:in|inch|inches|ft|foot|feet|[\"'″′”’])(?![^\W\d_])", re.IGNORECASE)
LENGTH = re.compile(r"^\s*(?:mini(?:ature)?\s+|full(?:-size)?\s+)?[-+]?[.\d]")


def house_unit(values: Mapping[str, Any]) -> HouseUnit | None:
    """Inches or millimetres, from a design file's ``values``; None where nothing in it tells.

    The texts of the form's sizes and of parts decide; where there are none, the unit of bare numbers does,
    if the file names one.
    """
    bare = values.get("unit")
    if bare in ("in", "ft"):
        return "in"
    form = values.get("form")
    texts = [*_texts(form if isinstance(form, dict) else {}), *_texts(values.get("part", []))]
    lengths = [t for t in texts if LENGTH.match(t) and not t.lstrip().startswith("mini")]
    if lengths:
        return "in" if 2 * sum(bool(INCHES.search(t)) for t in lengths) >= len(lengths) else "mm"
    return "mm" if bare in ("mm", "cm", "m") else None


def _texts(value: Any) -> list[str]:
    if isinstance(value, str):
        return [value]
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return [text for item in inner for text in _texts(item)]
