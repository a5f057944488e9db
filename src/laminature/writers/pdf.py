"""PDF: drawings at true size, a page each (ISO 32000-1).

A user space unit is 1/72 inch (ISO 32000-1, 8.3.2.3) and no UserUnit changes that; the page's
content is scaled once by 72/25.4, so that everything in it is in millimetres. The
operations are optional content groups ("layers"): the measuring square and the notes can be
switched off. Viewers are asked not to scale when printing (12.2, PrintScaling). No dates are
written, and texts are strokes, so that no font is needed.
"""

from __future__ import annotations

import hashlib
import math
import zlib
from collections.abc import Sequence

from laminature.errors import WriterError
from laminature.geometry.path import Arc, Cubic, Line, Path, Point
from laminature.model.drawing import Drawing, Operation
from laminature.writers.strokes import (
    LINES,
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

POINTS_PER_MM = 72.0 / 25.4
#: Pages may be 14 400 units wide and high (ISO 32000-1, annex C.2), in mm.
LARGEST = 14400.0 / POINTS_PER_MM


def pdf(drawings: Sequence[Drawing], title: str = "") -> bytes:
    """The bytes of a PDF with a page for each drawing, of the drawing's own size.

    Raises WriterError where there is no drawing, or one larger than a page can be (5080 mm).
    """
    if not drawings:
        raise WriterError("a PDF needs at least one drawing")
    for drawing in drawings:
        checked(drawing, LARGEST)
    title = title or drawings[0].title or drawings[0].name
    used = {s.operation for drawing in drawings for s in drawing.strokes}
    groups = [*STYLES, *(operation for operation in LINES if operation in used)]
    # Objects: 1 catalogue, 2 pages, 3 information, then the groups, then a page and its content in turn.
    first_page = 4 + len(groups)
    group_ids = {operation: 4 + n for n, operation in enumerate(groups)}
    kids = [first_page + 2 * n for n in range(len(drawings))]
    order = " ".join(f"{n} 0 R" for n in group_ids.values())
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None /DisplayDocTitle true >> "
        + f"/OCProperties << /OCGs [{order}] /D << /Order [{order}] >> >> "
        f"/PageLabels << /Nums [{_labels(drawings)}] >> >>".encode(),
        f"<< /Type /Pages /Kids [{' '.join(f'{k} 0 R' for k in kids)}] /Count {len(kids)} >>".encode(),
        f"<< /Title {_string(title)} /Creator (Laminature) >>".encode(),
        *(f"<< /Type /OCG /Name ({operation}) >>".encode() for operation in groups),
    ]
    properties = " ".join(f"/{operation} {n} 0 R" for operation, n in group_ids.items())
    for number_, drawing in zip(kids, drawings, strict=True):
        width, height = (number(v * POINTS_PER_MM) for v in (drawing.width, drawing.height))
        objects.append(
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {width} {height}] /Contents {number_ + 1} 0 R "
            f"/Resources << /Properties << {properties} >> >> >>".encode()
        )
        content = zlib.compress(_content(drawing).encode("ascii"), 9)
        head = f"<< /Length {len(content)} /Filter /FlateDecode >>\nstream\n".encode()
        objects.append(head + content + b"\nendstream")
    return _file(objects)


def _file(objects: Sequence[bytes]) -> bytes:
    out = bytearray(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
    offsets = []
    for n, body in enumerate(objects, start=1):
        offsets.append(len(out))
        out += f"{n} 0 obj\n".encode() + body + b"\nendobj\n"
    start = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode()
    out += b"".join(f"{offset:010d} 00000 n \n".encode() for offset in offsets)
    # The identifier only has to differ between files (14.4): the content itself gives it.
    identity = hashlib.sha256(out).hexdigest()[:32]
    out += f"trailer\n<< /Size {len(objects) + 1} /Root 1 0 R /Info 3 0 R ".encode()
    out += f"/ID [<{identity}> <{identity}>] >>\nstartxref\n{start}\n%%EOF\n".encode()
    return bytes(out)


def _content(drawing: Drawing) -> str:
    lines = [f"q {number(POINTS_PER_MM, 12)} 0 0 {number(POINTS_PER_MM, 12)} 0 0 cm 1 J 1 j"]
    lines += _areas(drawing, over=False)
    for operation, style, strokes in by_line(drawing):
        lines += _marked(operation, style, [s.path for s in strokes])
    lines += _areas(drawing, over=True)
    for operation, style, strokes in by_operation(drawing):
        lines += _marked(operation, style, [s.path for s in strokes])
    if drawing.texts:
        lines += _marked("notes", TEXT_STYLE, [p for text in drawing.texts for p in lettered(text)])
    lines.append("Q")
    return "\n".join(lines)


def _areas(drawing: Drawing, over: bool) -> list[str]:
    lines = []
    for colour, paths in filled(drawing, over):
        rgb = Style(colour, 0.0).rgb
        lines.append(" ".join(number(v / 255.0) for v in rgb) + " rg")
        lines += [_data(p, "h") for p in paths]
        lines.append("f*")
    return lines


def _marked(operation: Operation, style: Style, paths: Sequence[Path]) -> list[str]:
    colour = " ".join(number(v / 255.0) for v in style.rgb)
    dashes = " ".join(number(d) for d in style.dashes)
    return [
        f"/OC /{operation} BDC",
        f"{colour} RG {number(style.width)} w [{dashes}] 0 d",
        *(_data(p) for p in paths),
        "EMC",
    ]


def _data(path: Path, end: str = "") -> str:
    words = [f"{_at(path.start)} m"]
    for whole in path:
        for segment in parts_of(whole, 30.0):
            if isinstance(segment, Line):
                words.append(f"{_at(segment.end)} l")
            elif isinstance(segment, Cubic):
                words.append(f"{_at(segment.c1)} {_at(segment.c2)} {_at(segment.end)} c")
            elif isinstance(segment, Arc):
                c1, c2 = _handles(segment)
                words.append(f"{_at(c1)} {_at(c2)} {_at(segment.end)} c")
    words.append(end or ("s" if path.closed else "S"))
    return "\n".join(words)


def _handles(arc: Arc) -> tuple[Point, Point]:
    """Control points of the cubic that follows a short arc: handles of 4/3·tan(angle/4) radii.

    Up to 30 degrees it errs by less than 4e-7 of the radius.
    """
    k = 4.0 / 3.0 * math.tan(math.radians(arc.sweep) / 4.0)
    (sx, sy), (ex, ey), (cx, cy) = arc.start, arc.end, arc.centre
    return (sx - k * (sy - cy), sy + k * (sx - cx)), (ex + k * (ey - cy), ey - k * (ex - cx))


def _at(p: Point) -> str:
    return f"{number(p[0])} {number(p[1])}"


def _labels(drawings: Sequence[Drawing]) -> str:
    return " ".join(f"{n} << /P {_string(d.name)} >>" for n, d in enumerate(drawings))


def _string(text: str) -> str:
    """A text string as UTF-16 in hexadecimal: no character of it can end the string (7.9.2.2)."""
    plain = "".join(c if c.isprintable() else " " for c in text[:200])
    return "<FEFF" + plain.encode("utf-16-be", "replace").hex().upper() + ">"
