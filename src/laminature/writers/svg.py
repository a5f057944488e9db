"""SVG: a drawing at true size, one path per stroke (W3C SVG 1.1 and 2; CSS Values and Units for mm).

Width and height are in millimetres and the viewBox has the same numbers, so that one unit is
one millimetre (CSS Values and Units, section 6.2: 1in = 2.54cm = 96px). SVG's y goes down: points are
turned over here, without a transform, because not every reader of SVG applies those.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterable
from xml.sax.saxutils import escape

from laminature.geometry.path import Arc, Cubic, Line, Path, Point
from laminature.model.drawing import Drawing, Stroke
from laminature.writers.strokes import (
    STYLES,
    TEXT_STYLE,
    Style,
    by_line,
    by_operation,
    checked,
    filled,
    lettered,
    number,
    parts_of,
)

#: Characters that XML 1.0 cannot hold, not even escaped (section 2.2).
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NOT_IN_ID = re.compile(r"[^A-Za-z0-9_.\-]+")
#: Width of the edging of areas, mm.
HAIR = 0.05
#: Names longer than this are cut in attributes.
LONGEST = 200


def svg(drawing: Drawing) -> bytes:
    """The bytes of an SVG file. Raises WriterError for a page without a size or a point that is none."""
    checked(drawing)
    width, height = number(drawing.width), number(drawing.height)
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">',
        f"<title>{_text(drawing.title or drawing.name)}</title>",
    ]
    lines += _areas(drawing, over=False)
    for operation, style, strokes in by_line(drawing):
        data = "".join(path_data(s.path, drawing.height) for s in strokes)
        lines += [_group(operation, style), f'<path d="{data}"/>', "</g>"]
    lines += _areas(drawing, over=True)
    ids = _Ids(("notes",))
    groups = [run for run in by_operation(drawing) if run[0] != "notes"]
    names = [ids.of(operation) for operation, _, _ in groups]
    for name, (operation, style, strokes) in zip(names, groups, strict=True):
        lines.append(_group(operation, style, name))
        lines += [_path(s, drawing.height, ids) for s in strokes]
        lines.append("</g>")
    notes = [s for s in drawing.strokes if s.operation == "notes"]
    if notes or drawing.texts:
        lines.append(_group("notes", STYLES["notes"], "notes"))
        lines += [_path(s, drawing.height, ids) for s in notes]
        if drawing.texts:
            lines.append(f'<g stroke="{TEXT_STYLE.colour}" stroke-dasharray="none">')
            for text in drawing.texts:
                data = " ".join(path_data(p, drawing.height) for p in lettered(text))
                if data:
                    lines.append(f'<path data-op="notes" aria-label="{_attribute(text.text)}" d="{data}"/>')
            lines.append("</g>")
        lines.append("</g>")
    lines.append("</svg>")
    return ("\n".join(lines) + "\n").encode()


class _Ids:
    """Ids that a file may hold, each once."""

    def __init__(self, taken: Iterable[str]) -> None:
        self._taken = set(taken)

    def of(self, name: str) -> str:
        made = _NOT_IN_ID.sub("_", name[:LONGEST]) or "path"
        if not (made[0].isalpha() or made[0] == "_"):
            made = "_" + made
        found, count = made, 2
        while found in self._taken:
            found = f"{made}_{count}"
            count += 1
        self._taken.add(found)
        return found


def _areas(drawing: Drawing, over: bool) -> list[str]:
    """Areas, edged in their own colour, or hairlines of paper would part them."""
    shown: list[str] = []
    for colour, areas in itertools.groupby(filled(drawing, over), key=lambda area: area[0]):
        shown.append(
            f'<g fill="{colour}" fill-rule="evenodd" stroke="{colour}" '
            f'stroke-width="{number(HAIR)}" stroke-linejoin="round">'
        )
        for _, paths in areas:
            shown.append(f'<path d="{"".join(path_data(p, drawing.height) for p in paths)}"/>')
        shown.append("</g>")
    return shown


def _group(operation: str, style: Style, name: str = "") -> str:
    named = f'id="{name}" ' if name else ""
    dashes = f' stroke-dasharray="{" ".join(number(d) for d in style.dashes)}"' if style.dashes else ""
    return (
        f'<g {named}data-op="{operation}" fill="none" stroke="{style.colour}" '
        f'stroke-width="{number(style.width)}" stroke-linecap="round" stroke-linejoin="round"{dashes}>'
    )


def _path(stroke: Stroke, height: float, ids: _Ids) -> str:
    attributes = [f'id="{ids.of(stroke.name or stroke.operation)}"', f'data-op="{stroke.operation}"']
    if stroke.part:
        attributes.append(f'data-part="{_attribute(stroke.part)}"')
    if stroke.layer is not None:
        attributes.append(f'data-layer="{stroke.layer}"')
    if stroke.open:
        attributes.append('data-open="true"')
    return f'<path {" ".join(attributes)} d="{path_data(stroke.path, height)}"/>'


def path_data(path: Path, height: float) -> str:
    """A path as path data of SVG; ``height`` is where y = 0 comes to lie, for there y runs downwards."""

    def at(p: Point) -> str:
        return f"{number(p[0])} {number(height - p[1])}"

    words = [f"M{at(path.start)}"]
    for whole in path:
        # An arc from a point to itself draws nothing (SVG 1.1, F.6.2), and a near-circle is ill-conditioned.
        for segment in parts_of(whole, 170.0):
            if isinstance(segment, Line):
                words.append(f"L{at(segment.end)}")
            elif isinstance(segment, Cubic):
                words.append(f"C{at(segment.c1)} {at(segment.c2)} {at(segment.end)}")
            elif isinstance(segment, Arc):
                r = number(segment.radius)
                words.append(f"A{r} {r} 0 0 {0 if segment.ccw else 1} {at(segment.end)}")
    if path.closed:
        if isinstance(path.segments[-1], Line) and len(path.segments) > 1:
            words.pop()
        words.append("Z")
    return "".join(words)


def _text(value: str) -> str:
    return escape(_NOT_XML.sub("\ufffd", value[:LONGEST]))


def _attribute(value: str) -> str:
    return escape(
        _NOT_XML.sub("\ufffd", value[:LONGEST]),
        {'"': "&quot;", "'": "&apos;", "\n": "&#10;", "\r": "&#13;", "\t": "&#9;"},
    )
