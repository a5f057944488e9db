"""What all writers of drawings share: the look of each operation, and texts as strokes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from laminature.errors import WriterError
from laminature.geometry.lettering import text_paths
from laminature.geometry.path import Arc, Path, Point, Segment
from laminature.model.drawing import Drawing, Operation, Stroke, Text


@dataclass(frozen=True)
class Style:
    """How an operation is drawn: colour, width in mm, and dashes (on, off, …) in mm; () is solid."""

    colour: str
    width: float
    dashes: tuple[float, ...] = ()

    @property
    def rgb(self) -> tuple[int, int, int]:
        """Red, green and blue from 0 to 255."""
        value = int(self.colour[1:], 16)
        return (value >> 16, value >> 8 & 255, value & 255)


#: In the order of work: drawn first, and openings cut while the part still hangs in the sheet.
STYLES: dict[Operation, Style] = {
    "marking": Style("#4a4a4a", 0.15),
    "score": Style("#9a6b00", 0.2, (2.0, 1.0)),
    "opening": Style("#006d77", 0.2),
    "outline": Style("#7a1f5c", 0.2),
    "notes": Style("#8a8a8a", 0.2, (0.3, 0.7)),
}
#: Texts belong to the notes, but dotted letters cannot be read.
TEXT_STYLE = Style("#4a4a4a", 0.2)


def by_operation(drawing: Drawing) -> Iterator[tuple[Operation, Style, tuple[Stroke, ...]]]:
    """The strokes of each operation in the order of work; operations without any are left out.

    Where a part lies in another's opening there are several waves of cuts, and so an operation comes
    again for each: whoever cuts group by group still frees the inner part first.
    """
    for wave in sorted({s.wave for s in drawing.strokes}):
        for operation, style in STYLES.items():
            strokes = tuple(s for s in drawing.strokes if s.operation == operation and s.wave == wave)
            if strokes:
                yield operation, style, strokes


def lettered(text: Text) -> tuple[Path, ...]:
    """The strokes of a text."""
    return text_paths(text.text, text.size, (text.x, text.y), text.anchor)


def checked(drawing: Drawing, largest: float = 1e5) -> None:
    """Raise WriterError for a page or a stroke that no file should hold."""
    for name, value in (("width", drawing.width), ("height", drawing.height)):
        if not 0.0 < value <= largest:
            raise WriterError(
                f"drawing {drawing.name!r} has a {name} of {value:g} mm, which no page can have"
            )
    for stroke in drawing.strokes:
        if not stroke.path.segments:
            raise WriterError(f"stroke {stroke.name!r} of drawing {drawing.name!r} is empty")
        for segment in stroke.path:
            if not all(math.isfinite(v) for v in (*segment.start, *segment.end)):
                raise WriterError(
                    f"stroke {stroke.name!r} of drawing {drawing.name!r} has a point that is none"
                )


def parts_of(segment: Segment, most: float) -> Iterator[Segment]:
    """The segment; an arc in equal parts of at most ``most`` degrees, its ends exact."""
    if not isinstance(segment, Arc) or abs(segment.sweep) <= most:
        yield segment
        return
    count = math.ceil(abs(segment.sweep) / most - 1e-9)
    first = math.atan2(segment.start[1] - segment.centre[1], segment.start[0] - segment.centre[0])
    points: list[Point] = [segment.start]
    for k in range(1, count):
        angle = first + math.radians(segment.sweep) * k / count
        points.append(
            (
                segment.centre[0] + segment.radius * math.cos(angle),
                segment.centre[1] + segment.radius * math.sin(angle),
            )
        )
    points.append(segment.end)
    for start, end in itertools.pairwise(points):
        yield Arc(start, end, segment.centre, segment.ccw)


def number(value: float, places: int = 5) -> str:
    """A number as files want it: no exponent, no spare zeros, no minus zero."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
