"""Words on a page, in lines that fit."""

from __future__ import annotations

from laminature.geometry.lettering import shortened, text_width
from laminature.model.drawing import Text

#: Height of the capitals of running text, mm.
BODY = 2.3


def text_span(text: Text) -> tuple[float, float]:
    """From where to where a line of text reaches on its page, mm."""
    wide = text_width(text.text, text.size)
    left = text.x - {"start": 0.0, "middle": wide / 2.0, "end": wide}[text.anchor]
    return left, left + wide


def wrapped(text: str, width: float, most: int, size: float = BODY) -> list[str]:
    """The text in lines of at most ``width`` mm; what ``most`` lines do not hold ends in three points."""
    lines = [""]
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, size) > width:
            lines.append(word)
        else:
            lines[-1] = longer
    if len(lines) > most:
        lines = [*lines[: most - 1], shortened(" ".join(lines[most - 1 :]), size, width)]
    return lines
