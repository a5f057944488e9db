"""Outlines of parts and openings, from what was written of them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.design.kinds import LARGEST_MINI, Reading
from laminature.design.lines import KeyPath
from laminature.design.problems import Problems, short
from laminature.design.schema import OpeningWritten, ShapeWritten
from laminature.errors import GeometryError
from laminature.geometry.path import FLATTEN, Arc, Cubic, Line, Path, Point, circle, polyline
from laminature.geometry.pose import cos_sin
from laminature.geometry.region import Region, regular
from laminature.geometry.svgpath import Ellipse, PathDataError, read_path, whole_ellipse
from laminature.units import UnitError, length

#: Points that an outline with its openings may have when it is flattened, and all parts together.
MOST_POINTS = 20_000
MOST_POINTS_IN_ALL = 200_000

_UNIT = re.compile(r"\s*(?:(mini|full)\s+)?(.*)")
_OWN_KEYS = (
    *("width", "height", "corner", "centred", "diameter", "sides", "across", "across_flats", "points"),
    *("path", "path_unit", "flip"),
)


@dataclass(frozen=True)
class _Way:
    """One way of writing a shape: keys it needs and keys it may have."""

    needs: tuple[str, ...]
    may: tuple[str, ...] = ()


_WAYS: dict[str, tuple[_Way, ...]] = {
    "rectangle": (_Way(("width", "height"), ("corner", "centred")),),
    "circle": (_Way(("diameter",)),),
    "ellipse": (_Way(("width", "height")),),
    "polygon": (_Way(("sides", "across")), _Way(("sides", "across_flats")), _Way(("points",))),
    "path": (_Way(("path",), ("path_unit", "flip")),),
}


class Outlines:
    """Makes outlines, and counts their points against the caps before they are flattened."""

    def __init__(self, reading: Reading, problems: Problems) -> None:
        self._reading = reading
        self._problems = problems
        self._points = 0

    def region(
        self, path: KeyPath, written: ShapeWritten, openings: Sequence[OpeningWritten]
    ) -> Region | None:
        """The region of a part that stands at ``path``; None where something is wrong with it."""
        if self._points > MOST_POINTS_IN_ALL:
            return None
        outline = self._paths(path, written)
        if outline is None:
            return None
        paths = list(outline)
        for i, opening in enumerate(openings):
            at = (*path, "opening", i)
            made = self._paths(at, opening)
            if made is None:
                return None
            cosine, sine = cos_sin(opening.turn)
            shift = (opening.at[0], opening.at[1])
            paths.extend(p.mapped(((cosine, -sine), (sine, cosine)), shift) for p in made)
        points = sum(map(points_of, paths))
        self._points += points
        if points > MOST_POINTS or self._points > MOST_POINTS_IN_ALL:
            most = MOST_POINTS if points > MOST_POINTS else MOST_POINTS_IN_ALL
            all_ = "" if points > MOST_POINTS else " in all its parts together"
            self._problems.add(
                path, f"There are more than {most} points{all_}.", "Draw it with fewer points."
            )
            return None
        region = Region(paths[0], tuple(paths[1:]))
        wrong = _what_is_wrong(region)
        if wrong is None:
            return region
        own = len(outline)
        if _what_is_wrong(Region(paths[0], tuple(paths[1:own]))) is None:
            self._tell_opening(path, region, openings, own)
        else:
            key = next((k for k in ("points", "path") if getattr(written, k) is not None), "shape")
            self._problems.add((*path, key), *wrong)
        return None

    def _tell_opening(
        self, path: KeyPath, region: Region, openings: Sequence[OpeningWritten], own: int
    ) -> None:
        """Find the opening at fault: the first without which those before it are sound."""
        drawn = own - 1
        for i, opening in enumerate(openings[:200]):
            made = self._paths((*path, "opening", i), opening)
            drawn += len(made or ())
            if _what_is_wrong(Region(region.outline, region.openings[:drawn])) is not None:
                said = "This opening leaves the part's outline, or runs into another opening."
                self._problems.add((*path, "opening", i), said, "Move it, or make it smaller.")
                return
        self._problems.add(path, "An opening leaves the part's outline, or runs into another opening.")

    def _paths(self, path: KeyPath, w: ShapeWritten) -> tuple[Path, ...] | None:
        if not self._keys_belong(path, w):
            return None
        width, height, corner = w.width or 0.0, w.height or 0.0, w.corner or 0.0
        if w.shape == "rectangle":
            if 2 * corner > min(width, height):
                self._problems.add((*path, "corner"), "The corners are rounder than the rectangle is wide.")
                return None
            x, y = (-width / 2, -height / 2) if w.centred else (0.0, 0.0)
            return (rounded(x, y, width, height, corner),)
        if w.shape == "circle":
            return (circle((w.diameter or 0.0) / 2),)
        if w.shape == "ellipse":
            return (whole_ellipse(Ellipse((0.0, 0.0), width / 2, height / 2)),)
        if w.shape == "polygon":
            return self._polygon(path, w)
        return self._data(path, w)

    def _keys_belong(self, path: KeyPath, w: ShapeWritten) -> bool:
        """Whether just the keys of one way of writing this shape are there."""
        given = {key for key in _OWN_KEYS if getattr(w, key) is not None}
        ways = _WAYS[w.shape]
        way = max(ways, key=lambda way: len(given & {*way.needs}) - len({*way.needs} - given))
        fine = True
        for key in sorted(given - {*way.needs, *way.may}):
            takes = " or ".join(", ".join((*v.needs, *v.may)) for v in ways)
            self._problems.add(
                (*path, key), f"{key!r} does not belong to a {w.shape}.", f"A {w.shape} takes {takes}."
            )
            fine = False
        lacking = [key for key in way.needs if key not in given]
        if lacking and not self._problems.among(path, lacking):
            takes = " or ".join(" and ".join(v.needs) for v in ways)
            self._problems.add((*path, "shape"), f"This {w.shape} has no {lacking[0]}.", f"Give {takes}.")
            fine = False
        return fine and not lacking

    def _polygon(self, path: KeyPath, w: ShapeWritten) -> tuple[Path, ...] | None:
        if w.points is not None:
            corners: list[Point] = [(p[0], p[1]) for p in w.points]
            if len(corners) > MOST_POINTS:
                self._problems.add((*path, "points"), f"There are more than {MOST_POINTS} points.")
                return None
            try:
                return (polyline(corners),)
            except GeometryError as error:
                self._problems.add((*path, "points"), f"{str(error).capitalize()}.")
                return None
        sides = w.sides or 3
        across = w.across or (w.across_flats or 0.0) / math.cos(math.pi / sides)
        # The first side lies along x, below, as one draws a polygon.
        return (regular(sides, across, -90.0 + 180.0 / sides).outline,)

    def _data(self, path: KeyPath, w: ShapeWritten) -> tuple[Path, ...] | None:
        factor = self._factor(path, w.path_unit)
        if factor is None:
            return None
        try:
            paths = read_path(w.path or "", factor, MOST_POINTS)
        except PathDataError as error:
            self._problems.add(
                (*path, "path"), f"This is no path data: {error}", 'Write it like "M 0 0 H 10 V 5 Z".'
            )
            return None
        if not paths:
            self._problems.add(
                (*path, "path"), "This path draws nothing.", 'Write it like "M 0 0 H 10 V 5 Z".'
            )
            return None
        if any(max(abs(s.end[0]), abs(s.end[1])) > LARGEST_MINI for p in paths for s in p):
            said = f"This path runs further than {LARGEST_MINI:g} mm at miniature scale."
            self._problems.add((*path, "path"), said, "Check path_unit.")
            return None
        return tuple(p.mapped(((1.0, 0.0), (0.0, -1.0))) for p in paths) if w.flip else paths

    def _factor(self, path: KeyPath, unit: str | None) -> float | None:
        """What one unit of path data is at miniature scale, mm."""
        match = _UNIT.fullmatch(unit or self._reading.unit)
        realm, name = (match[1], match[2]) if match else (None, unit or "")
        try:
            return float(self._reading.scale.mini(length(f"{realm or 'full'} 1 {name}")))
        except UnitError:
            self._problems.add(
                (*path, "path_unit"), f"{short(unit)} is no unit.", 'Write "in", "mm", or "mini mm".'
            )
            return None


def _what_is_wrong(region: Region) -> tuple[str, str] | None:
    """Why this is no region of board, and what would do; None where it is one."""
    try:
        area = float(region.flat.area)
    except (GeometryError, ValueError) as error:
        found = _AT.search(str(error))
        at = f" near x {float(found[1]):.2f}, y {float(found[2]):.2f} mm at miniature scale" if found else ""
        return f"The outline crosses or touches itself{at}.", "Draw it so that it never does."
    if not area > 1e-3:
        return "The outline has no area.", "Its corners must not lie on one line."
    return None


_AT = re.compile(r"\[(-?[\d.]+(?:e-?\d+)?) (-?[\d.]+(?:e-?\d+)?)")


def rounded(x: float, y: float, width: float, height: float, radius: float) -> Path:
    """A rectangle from its lower left corner, with corners of this radius, mm."""
    right, top, r = x + width, y + height, radius
    if r <= 0.0:
        return polyline([(x, y), (right, y), (right, top), (x, top)])
    corners = (
        ((right - r, y), (right, y + r), (right - r, y + r)),
        ((right, top - r), (right - r, top), (right - r, top - r)),
        ((x + r, top), (x, top - r), (x + r, top - r)),
        ((x, y + r), (x + r, y), (x + r, y + r)),
    )
    segments: list[Line | Arc | Cubic] = []
    at: Point = (x + r, y)
    for begin, end, centre in corners:
        if math.dist(at, begin) > 1e-9:
            segments.append(Line(at, begin))
        segments.append(Arc(begin, end, centre))
        at = end
    return Path(tuple(segments))


def points_of(path: Path) -> int:
    """About how many points the path has when it is flattened, without flattening it."""
    total = 0.0
    for s in path:
        if isinstance(s, Line):
            total += 1
        elif isinstance(s, Arc):
            total += 1 + math.radians(abs(s.sweep)) * math.sqrt(s.radius / (8 * FLATTEN))
        else:
            bend = max(_bend(s.start, s.c1, s.c2), _bend(s.c1, s.c2, s.end))
            total += 1 + math.sqrt(6 * bend / (8 * FLATTEN))
    return int(total)


def _bend(a: Point, b: Point, c: Point) -> float:
    return math.hypot(a[0] - 2 * b[0] + c[0], a[1] - 2 * b[1] + c[1])
