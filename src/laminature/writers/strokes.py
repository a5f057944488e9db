"""What all writers of drawings share: the look of each operation, and texts as strokes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

from laminature.errors import WriterError
from laminature.geometry.lettering import text_paths
from laminature.geometry.path import Arc, Path, Point, Segment
from laminature.model.drawing import Drawing, Operation, Stroke, Text, Tone


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
#: Lines of drawings to look at, in the order in which they are drawn: colour, width in widths of a visible
#: outline, and dashes in widths of the line itself. Wide to narrow is 2 : 1 (ISO 128-2); dashes and
#: chains are those of ISO 128-2, lines 02 and 04 (from memory). Seams are half as narrow, our own choice.
LINES: dict[Operation, tuple[str, float, tuple[float, ...]]] = {
    "seam": ("#a39a8e", 0.25, ()),
    "faint": ("#a39a8e", 0.5, ()),
    "hidden": ("#26231f", 0.5, (12.0, 3.0)),
    "edge": ("#26231f", 0.5, ()),
    "visible": ("#26231f", 1.0, ()),
    "centre": ("#26231f", 0.5, (24.0, 3.0, 0.5, 3.0)),
    "dimension": ("#26231f", 0.5, ()),
}
#: Colours of areas: looking up, to one side, to the other.
TONES: dict[Tone, tuple[str, str, str]] = {
    "card": ("#fffdf8", "#f3ebdd", "#e3d8c6"),
    "new": ("#edd3e3", "#dfb9d1", "#cfa0be"),
    "cloth": ("#cfe5e4", "#b5d6d4", "#9ac5c3"),
    "paper": ("#ffffff", "#ffffff", "#ffffff"),
    "arrow": ("#7a1f5c", "#7a1f5c", "#7a1f5c"),
    "ink": ("#26231f", "#26231f", "#26231f"),
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


def by_line(drawing: Drawing) -> Iterator[tuple[Operation, Style, tuple[Stroke, ...]]]:
    """The strokes that are only looked at, each kind of line once; those without any are left out."""
    for operation, (colour, share, dashes) in LINES.items():
        strokes = tuple(s for s in drawing.strokes if s.operation == operation)
        if strokes:
            width = share * drawing.wide
            yield operation, Style(colour, width, tuple(d * width for d in dashes)), strokes


def filled(drawing: Drawing, over: bool) -> Iterator[tuple[str, tuple[Path, ...]]]:
    """Colour, outline and openings of each area under the strokes, or ``over`` them."""
    for fill in drawing.fills:
        if fill.over == over:
            yield TONES[fill.tone][fill.shade], (fill.region.outline, *fill.region.openings)


def lettered(text: Text) -> tuple[Path, ...]:
    """The strokes of a text."""
    return text_paths(text.text, text.size, (text.x, text.y), text.anchor)


def checked(drawing: Drawing, largest: float = 1e5) -> None:
    """Raise WriterError for a page, a stroke or an area that no file should hold."""
    for name, value in (("width", drawing.width), ("height", drawing.height)):
        if not 0.0 < value <= largest:
            raise WriterError(
                f"drawing {drawing.name!r} has a {name} of {value:g} mm, which no page can have"
            )
    if not (math.isfinite(drawing.wide) and drawing.wide > 0.0):
        raise WriterError(f"drawing {drawing.name!r} has lines of {drawing.wide:g} mm, which cannot be drawn")
    named = [(f"stroke {s.name!r}", s.path) for s in drawing.strokes]
    named += [("an area", p) for f in drawing.fills for p in (f.region.outline, *f.region.openings)]
    for what, path in named:
        if not path.segments:
            raise WriterError(f"{what} of drawing {drawing.name!r} is empty")
        for segment in path:
            if not all(math.isfinite(v) for v in (*segment.start, *segment.end)):
                raise WriterError(f"{what} of drawing {drawing.name!r} has a point that is none")


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
