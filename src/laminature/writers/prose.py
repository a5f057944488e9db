"""Plain text for a narrow window: wrapped, counted, under headings."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Sequence

WIDTH = 88


def counted(labels: Sequence[str]) -> str:
    """Labels, alike ones counted: ``B4 ×2, C1``."""
    times = {label: labels.count(label) for label in dict.fromkeys(labels)}
    return ", ".join(label if n == 1 else f"{label} ×{n}" for label, n in times.items())


def headed(title: str) -> str:
    """A title, underlined."""
    return f"{title}\n{'-' * len(title)}"


def wrap(text: str, indent: str = "") -> str:
    """The text in lines of the window, those after the first behind ``indent``."""
    return textwrap.fill(
        text, WIDTH, subsequent_indent=indent, replace_whitespace=False, break_on_hyphens=False
    )


def line(text: str, longest: int = WIDTH) -> str:
    """The text on one line, without control characters, cut where it is endless."""
    plain = re.sub(r"\s+", " ", re.sub("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", "", text)).strip()
    return plain if len(plain) <= longest else plain[: longest - 3] + "..."
