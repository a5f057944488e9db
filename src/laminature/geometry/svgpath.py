"""SVG path data, read into paths of lines, arcs and cubics.

The grammar and the arithmetic of elliptical arcs are those of SVG 2, chapter 9 "Paths" and
its appendix "Elliptical arc implementation notes" (W3C). Quadratic curves become the cubics
that are equal to them; arcs of circles stay arcs; arcs of ellipses become cubics.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from laminature.geometry.path import Arc, Cubic, Line, Path, Point, Segment

#: How far a cubic may lie from the arc of an ellipse that it stands for, mm.
ELLIPSE_TOLERANCE = 0.0005

_TOKEN = re.compile(
    r"[\s,]*(?:(?P<command>[A-Za-z])|(?P<number>[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?))"
)
_FLAG = re.compile(r"[\s,]*([01])")
_TAKES = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_SAME = 1e-9


class PathDataError(ValueError):
    """Text that is no SVG path data. ``str(error)`` says where and why."""


@dataclass
class _Pen:
    """Where the pen is, in mm, and what it has drawn."""

    factor: float
    at: Point = (0.0, 0.0)
    began: Point = (0.0, 0.0)
    control: Point | None = None
    drawn_with: str = ""
    segments: list[Segment] = field(default_factory=list)
    paths: list[Path] = field(default_factory=list)

    def point(self, x: float, y: float, relative: bool) -> Point:
        x, y = x * self.factor, y * self.factor
        return (self.at[0] + x, self.at[1] + y) if relative else (x, y)

    def line(self, to: Point) -> None:
        if math.dist(self.at, to) > _SAME:
            self.segments.append(Line(self.at, to))
        self.at = to

    def cubic(self, c1: Point, c2: Point, to: Point) -> None:
        if max(math.dist(self.at, p) for p in (c1, c2, to)) > _SAME:
            self.segments.append(Cubic(self.at, c1, c2, to))
        self.at = to

    def reflected(self, kinds: str) -> Point:
        """The last control point mirrored at the pen, where the last curve was of these kinds."""
        if self.control is None or self.drawn_with not in kinds:
            return self.at
        return (2 * self.at[0] - self.control[0], 2 * self.at[1] - self.control[1])

    def close(self) -> None:
        self.line(self.began)
        if self.segments:
            self.paths.append(Path(tuple(self.segments), closed=True))
        self.segments = []


def read_path(data: str, factor: float = 1.0, most: int = 20_000) -> tuple[Path, ...]:
    """The closed subpaths of SVG path data, in mm: one unit of the data is ``factor`` mm.

    A subpath that is not closed is closed by a straight line, as filling does.
    Raises PathDataError for what is no path data, for numbers that are not finite, and for
    more than ``most`` commands' worth of segments.
    """
    pen = _Pen(factor)
    for count, (command, numbers) in enumerate(_commands(data), start=1):
        if count > most:
            raise PathDataError(f"it has more than {most} segments.")
        _draw(pen, command, numbers)
        if not all(abs(v) < 1e9 for v in pen.at):
            raise PathDataError("it runs far beyond any sheet.")
    if pen.segments:
        pen.close()
    return tuple(pen.paths)


def _commands(data: str) -> Iterator[tuple[str, list[float]]]:
    at, end, command = 0, len(data.rstrip()), ""
    first = True
    while at < end:
        token = _TOKEN.match(data, at)
        if token is None:
            raise PathDataError(f"{data[at : at + 12].strip()!r} at character {at + 1} is no path command.")
        if token["command"]:
            command = token["command"]
            at = token.end()
            if command.upper() not in _TAKES:
                raise PathDataError(f"there is no path command {command!r}.")
        elif command.upper() in ("", "Z"):
            raise PathDataError("a number stands where a command belongs.")
        if first and command.upper() != "M":
            raise PathDataError('it has to begin with "M".')
        first = False
        numbers: list[float] = []
        takes = _TAKES[command.upper()]
        while len(numbers) < takes:
            # The two flags of an arc are single digits, which may stand close to what follows.
            is_flag = takes == 7 and len(numbers) in (3, 4)
            found = _FLAG.match(data, at) if is_flag else _TOKEN.match(data, at)
            if found is None or (not is_flag and not found["number"]):
                raise PathDataError(f"{command!r} takes {takes} numbers and has {len(numbers)}.")
            value = float(found[1] if is_flag else found["number"])
            if not abs(value) < 1e9:
                raise PathDataError("it has a number that is far too large.")
            numbers.append(value)
            at = found.end()
        yield command, numbers
        if command in "Mm":
            command = "L" if command == "M" else "l"


def _draw(pen: _Pen, command: str, n: list[float]) -> None:
    kind, relative = command.upper(), command.islower()
    control: Point | None = None
    if kind == "M":
        if pen.segments:
            pen.close()
        pen.at = pen.began = pen.point(n[0], n[1], relative)
    elif kind == "Z":
        pen.close()
    elif kind == "L":
        pen.line(pen.point(n[0], n[1], relative))
    elif kind == "H":
        x = n[0] * pen.factor
        pen.line((pen.at[0] + x if relative else x, pen.at[1]))
    elif kind == "V":
        y = n[0] * pen.factor
        pen.line((pen.at[0], pen.at[1] + y if relative else y))
    elif kind in "CS":
        c1 = pen.point(n[0], n[1], relative) if kind == "C" else pen.reflected("CS")
        control, to = pen.point(n[-4], n[-3], relative), pen.point(n[-2], n[-1], relative)
        pen.cubic(c1, control, to)
    elif kind in "QT":
        control = pen.point(n[0], n[1], relative) if kind == "Q" else pen.reflected("QT")
        to = pen.point(n[-2], n[-1], relative)
        pen.cubic(_two_thirds(pen.at, control), _two_thirds(to, control), to)
    else:
        to = pen.point(n[5], n[6], relative)
        radii = (abs(n[0]) * pen.factor, abs(n[1]) * pen.factor)
        pen.segments.extend(arc(pen.at, to, radii, n[2], large=n[3] == 1, ccw=n[4] == 1))
        pen.at = to
    pen.control, pen.drawn_with = control, kind


def _two_thirds(from_: Point, to: Point) -> Point:
    return (from_[0] + (to[0] - from_[0]) * 2 / 3, from_[1] + (to[1] - from_[1]) * 2 / 3)


def arc(
    start: Point, end: Point, radii: tuple[float, float], turn: float, *, large: bool, ccw: bool
) -> Iterator[Segment]:
    """The arc of an ellipse from ``start`` to ``end``: ``radii`` in mm, ``turn`` of its x axis in degrees.

    ``ccw`` is SVG's sweep flag: towards growing angles, which is to the left where y runs upwards.
    Radii too small to reach are grown, as SVG asks; a radius of 0 gives a line.
    """
    rx, ry = radii
    if math.dist(start, end) <= _SAME:
        return
    if rx <= _SAME or ry <= _SAME:
        yield Line(start, end)
        return
    cosine, sine = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    dx, dy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cosine * dx + sine * dy, -sine * dx + cosine * dy
    reach = (x / rx) ** 2 + (y / ry) ** 2
    if reach > 1.0:
        rx, ry = rx * math.sqrt(reach), ry * math.sqrt(reach)
    root = math.sqrt(1.0 / reach - 1.0) if reach < 1.0 else 0.0
    root = -root if large == ccw else root
    cx, cy = root * rx * y / ry, -root * ry * x / rx
    centre = (
        cosine * cx - sine * cy + (start[0] + end[0]) / 2,
        sine * cx + cosine * cy + (start[1] + end[1]) / 2,
    )
    if rx == ry:
        yield Arc(start, end, centre, ccw)
        return
    from_ = math.atan2((y - cy) / ry, (x - cx) / rx)
    to = math.atan2((-y - cy) / ry, (-x - cx) / rx)
    sweep = (to - from_) % (2 * math.pi)
    sweep = sweep if ccw else sweep - 2 * math.pi
    ellipse = Ellipse(centre, rx, ry, turn)
    yield from ellipse_arc(ellipse, math.degrees(from_), math.degrees(sweep), (start, end))


@dataclass(frozen=True)
class Ellipse:
    """An ellipse: radii in mm, ``turn`` of its x axis in degrees."""

    centre: Point
    rx: float
    ry: float
    turn: float = 0.0


def ellipse_arc(ellipse: Ellipse, from_: float, sweep: float, ends: tuple[Point, Point]) -> Iterator[Cubic]:
    """Cubics along an ellipse from the angle ``from_`` over ``sweep`` (degrees of its parameter).

    ``ends`` are the exact points where it begins and ends. The error of the usual cubic for a
    quarter circle is 2.73e-4 of the radius (handle length 4/3 · tan(angle/4)), and falls with
    the sixth power of the angle.
    """
    centre, rx, ry = ellipse.centre, ellipse.rx, ellipse.ry
    quarter_error = 2.73e-4 * max(rx, ry)
    share = min(1.0, (ELLIPSE_TOLERANCE / quarter_error) ** (1 / 6))
    count = max(1, math.ceil(abs(sweep) / (90.0 * share) - 1e-9))
    step = math.radians(sweep) / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0)
    cosine, sine = math.cos(math.radians(ellipse.turn)), math.sin(math.radians(ellipse.turn))

    def place(x: float, y: float) -> Point:
        return (centre[0] + cosine * rx * x - sine * ry * y, centre[1] + sine * rx * x + cosine * ry * y)

    p = ends[0]
    for i in range(count):
        a, b = math.radians(from_) + i * step, math.radians(from_) + (i + 1) * step
        c1 = place(math.cos(a) - handle * math.sin(a), math.sin(a) + handle * math.cos(a))
        c2 = place(math.cos(b) + handle * math.sin(b), math.sin(b) - handle * math.cos(b))
        q = ends[1] if i == count - 1 else place(math.cos(b), math.sin(b))
        yield Cubic(p, c1, c2, q)
        p = q


def whole_ellipse(ellipse: Ellipse) -> Path:
    """The whole of an ellipse, walked to the left."""
    cosine, sine = math.cos(math.radians(ellipse.turn)), math.sin(math.radians(ellipse.turn))
    right = (ellipse.centre[0] + cosine * ellipse.rx, ellipse.centre[1] + sine * ellipse.rx)
    return Path(tuple(ellipse_arc(ellipse, 0.0, 360.0, (right, right))))
