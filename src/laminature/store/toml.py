"""Values as TOML writes them."""

from __future__ import annotations

import json


def string(text: str) -> str:
    """A TOML basic string: JSON's escapes, and DEL, which JSON leaves alone."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def number(value: float) -> str:
    """A float that reads back the same; never a negative zero."""
    return repr(float(value) + 0.0)
