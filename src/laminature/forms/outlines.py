"""Outlines of tops: plain, scalloped and piecrust, round or many-sided, as exact lines and arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from laminature.errors import FormError
from laminature.geometry.path import Arc, Path, Point, circle, polyline
from laminature.geometry.pose import cos_sin
from laminature.geometry.region import Region

#: Cusps are rounded to at least this radius, mm: a drag blade and a layer of board hold no sharper one.
LEAST_CUSP = 0.5
#: No chord of a scallop is shorter than this, mm: shorter ones cannot be sanded evenly.
LEAST_CHORD = 4.0
#: Length of chord aimed at where the maker gives no number, mm (common practice, no source).
_WANTED_CHORD = 6.0
#: Depth of a scallop as a share of its chord (common practice, no source).
_SCALLOP_DEPTH = 0.16
_PIECRUST_DEPTH = 0.11
#: In a piecrust edge a hollow is this long compared with a lobe (common practice, no source).
_HOLLOW = 0.8
#: A turn smaller than this at a junction is smooth to the eye and gets no rounding, degrees.
_SMOOTH = 1.0

EDGES: tuple[str, ...] = ("straight", "scalloped", "piecrust")


@dataclass(frozen=True)
class _Chord:
    """A stretch of edge from node to node; it bulges outwards by ``rise``, inwards where negative."""

    start: Point
    end: Point
    rise: float

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)


def top_outline(
    sides: int,
    width: float,
    edge: str = "straight",
    scallops: int | None = None,
    depth: float | None = None,
) -> Region:
    """The outline of a top that just fits into a circle of diameter ``width`` about the origin.

    ``sides`` is 3 or more, or 0 for a round top; the first corner lies on +x.
    ``scallops`` counts the lobes on each side (of a round top: in all); None chooses them so
    that chords are about 6 mm. ``depth`` is how far a lobe bulges, mm; None takes a share
    of its chord. Cusps are rounded to at least 0.5 mm and chords are at least 4 mm long.
    Raises FormError where that cannot be had.
    """
    if edge not in EDGES:
        raise FormError(f"there is no edge {edge!r}.", "edge", f"Choose one of {', '.join(EDGES)}.")
    if edge == "straight":
        return Region(circle(width / 2.0) if sides == 0 else polyline(_corners(sides, width / 2.0)))
    count = _scallops_for(sides, width, edge) if scallops is None else scallops
    radius = width / 2.0
    # The outline grows almost in proportion to the polygon under it: a few corrections hit the width.
    for _ in range(60):
        path = _wavy(sides, radius, edge, count, depth)
        reach = furthest(path)
        if abs(reach - width / 2.0) < 1e-11 * width:
            break
        radius *= width / 2.0 / reach
    return Region(path)


def furthest(path: Path) -> float:
    """The greatest distance of a path of lines and arcs from the origin, mm, exactly."""
    best = 0.0
    for s in path:
        best = max(best, math.hypot(*s.start), math.hypot(*s.end))
        if isinstance(s, Arc):
            away = math.hypot(*s.centre)
            if away > 1e-12:
                tip = (s.centre[0] * (1.0 + s.radius / away), s.centre[1] * (1.0 + s.radius / away))
                if _on_arc(s, tip):
                    best = max(best, away + s.radius)
    return best


def _on_arc(arc: Arc, point: Point) -> bool:
    a0 = math.atan2(arc.start[1] - arc.centre[1], arc.start[0] - arc.centre[0])
    a = math.atan2(point[1] - arc.centre[1], point[0] - arc.centre[0])
    turn = math.degrees(a - a0) if arc.ccw else math.degrees(a0 - a)
    return turn % 360.0 <= abs(arc.sweep)


def _corners(sides: int, radius: float) -> list[Point]:
    turns = [cos_sin(360.0 * i / sides) for i in range(sides)]
    return [(radius * c, radius * s) for c, s in turns]


def _scallops_for(sides: int, width: float, edge: str) -> int:
    """The number of lobes that brings chords nearest to what is wanted without going below 4 mm."""
    if sides == 0:
        unit = _WANTED_CHORD * (1.0 + _HOLLOW) if edge == "piecrust" else _WANTED_CHORD
        # A multiple of four has lobes opposite each other on both axes: the top is as wide as it is deep.
        return max(4, 4 * math.floor(math.pi * width / unit / 4.0))
    side = width * math.sin(math.pi / sides)
    if edge == "scalloped":
        return max(1, math.floor(side / _WANTED_CHORD))
    # m lobes and m - 1 hollows share a side; the hollow is the shortest chord.
    return max(1, math.floor((side * _HOLLOW / (LEAST_CHORD * 1.05) + _HOLLOW) / (1.0 + _HOLLOW)))


def _wavy(sides: int, radius: float, edge: str, count: int, depth: float | None) -> Path:
    if count < 1 or (sides == 0 and count < 3):
        raise FormError(
            f"{count} scallops make no edge.", "scallops", "Give a round top at least 3, a side at least 1."
        )
    chords = (
        _round_chords(radius, edge, count, depth)
        if sides == 0
        else _side_chords(sides, radius, edge, count, depth)
    )
    shortest = min(c.length for c in chords)
    if shortest < LEAST_CHORD:
        raise FormError(
            f"the chords of this {edge} edge are {shortest:.2f} mm long, and below {LEAST_CHORD:g} mm "
            "neither knife nor sanding stick follows them.",
            "scallops",
            "Give fewer scallops, a larger top, or a straight edge.",
        )
    deepest = max(abs(c.rise) for c in chords)
    if any(abs(c.rise) > 0.36 * c.length for c in chords):
        raise FormError(
            f"scallops of {deepest:.2f} mm are too deep for their chord of {shortest:.2f} mm.",
            "scallop_depth",
            f"Give at most {0.3 * shortest:.2f} mm.",
        )
    return _rounded([_arc(c) for c in chords], max(LEAST_CUSP, 0.09 * shortest))


def _rise(chord: float, depth: float | None, share: float) -> float:
    return share * chord if depth is None else depth


def _side_chords(sides: int, radius: float, edge: str, count: int, depth: float | None) -> list[_Chord]:
    corners = _corners(sides, radius)
    parts = [1.0] if edge == "scalloped" else [1.0, _HOLLOW]
    pattern = (parts * count)[: count if edge == "scalloped" else 2 * count - 1]
    whole = sum(pattern)
    chords: list[_Chord] = []
    for p, q in zip(corners, corners[1:] + corners[:1], strict=True):
        lobe = math.dist(p, q) / whole
        rise = _rise(lobe, depth, _SCALLOP_DEPTH if edge == "scalloped" else _PIECRUST_DEPTH)
        at = 0.0
        for i, share in enumerate(pattern):
            start, end = _between(p, q, at / whole), _between(p, q, (at + share) / whole)
            # Lobe and hollow of one angle join smoothly: their rises go with their chords.
            chords.append(_Chord(start, end, rise if i % 2 == 0 or edge == "scalloped" else -rise * share))
            at += share
    return chords


def _round_chords(radius: float, edge: str, count: int, depth: float | None) -> list[_Chord]:
    unit = 360.0 / count
    lobe = unit if edge == "scalloped" else unit / (1.0 + _HOLLOW)
    length = 2.0 * radius * math.sin(math.radians(lobe / 2.0))
    share = _SCALLOP_DEPTH
    if edge == "piecrust":
        # Few lobes turn far between them: they have to be deeper for a hollow to show.
        share = max(_PIECRUST_DEPTH, math.tan(math.radians(unit / 2.0 + 9.0) / 2.0) / 2.0)
    rise = _rise(length, depth, share)
    # The middle of a lobe lies on +x.
    starts = [unit * i - lobe / 2.0 for i in range(count)]
    chords: list[_Chord] = []
    for a in starts:
        chords.append(_Chord(_polar(radius, a), _polar(radius, a + lobe), rise))
        if edge == "piecrust":
            chords.append(
                _hollow(_polar(radius, a + lobe), _polar(radius, a + unit), rise / length, unit / 2.0)
            )
    return chords


def _hollow(start: Point, end: Point, lobe_share: float, turn: float) -> _Chord:
    """The hollow that leaves one lobe and meets the next smoothly; the base turns by ``turn`` degrees."""
    leaning = math.degrees(2.0 * math.atan(2.0 * lobe_share)) - turn
    share = math.tan(math.radians(leaning) / 2.0) / 2.0
    if share < 0.02:
        raise FormError(
            "with so few scallops the hollows between the lobes vanish.",
            "scallops",
            "Give more scallops, or deeper ones.",
        )
    return _Chord(start, end, -share * math.dist(start, end))


def _between(p: Point, q: Point, t: float) -> Point:
    if t >= 1.0:
        return q
    return (p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t)


def _polar(radius: float, degrees: float) -> Point:
    cosine, sine = cos_sin(degrees)
    return (radius * cosine, radius * sine)


def _arc(chord: _Chord) -> Arc:
    """The arc over a chord walked to the left around the top, so that outwards is to its right."""
    half, rise = chord.length / 2.0, abs(chord.rise)
    radius = (half * half + rise * rise) / (2.0 * rise)
    middle = _between(chord.start, chord.end, 0.5)
    out = ((chord.end[1] - chord.start[1]) / (2.0 * half), -(chord.end[0] - chord.start[0]) / (2.0 * half))
    shift = (rise - radius) * math.copysign(1.0, chord.rise)
    return Arc(
        chord.start, chord.end, (middle[0] + out[0] * shift, middle[1] + out[1] * shift), chord.rise > 0.0
    )


def _heading(arc: Arc, at: Point) -> float:
    """The direction of travel at a point of the arc, degrees."""
    a = math.degrees(math.atan2(at[1] - arc.centre[1], at[0] - arc.centre[0]))
    return a + 90.0 if arc.ccw else a - 90.0


def _rounded(arcs: list[Arc], radius: float) -> Path:
    """The closed chain of arcs with every corner and cusp rounded to ``radius``."""
    starts, ends = [a.start for a in arcs], [a.end for a in arcs]
    fillets: list[Arc | None] = []
    for i, a in enumerate(arcs):
        j = (i + 1) % len(arcs)
        b = arcs[j]
        turn = (_heading(b, b.start) - _heading(a, a.end) + 180.0) % 360.0 - 180.0
        if abs(turn) < _SMOOTH:
            fillets.append(None)
            continue
        left = turn > 0.0
        centre = _touching(a, b, radius, left)
        ends[i] = _foot(a, centre)
        starts[j] = _foot(b, centre)
        fillets.append(Arc(ends[i], starts[j], centre, left))
    out: list[Arc] = []
    for i, a in enumerate(arcs):
        trimmed = Arc(starts[i], ends[i], a.centre, a.ccw)
        if abs(trimmed.sweep) > abs(a.sweep) + 1e-9:
            raise FormError(
                f"rounding the cusps to {radius:.2f} mm leaves nothing of the scallops.",
                "scallops",
                "Give fewer or shallower scallops.",
            )
        out.append(trimmed)
        fillet = fillets[i]
        if fillet is not None:
            out.append(fillet)
    return Path(tuple(out))


def _touching(a: Arc, b: Arc, radius: float, left: bool) -> Point:
    """The centre of the circle of ``radius`` that touches both arcs near the end of ``a``.

    It lies on both arcs moved sideways by the radius, to the left at a corner that turns left.
    """
    ra = a.radius + (-radius if a.ccw == left else radius)
    rb = b.radius + (-radius if b.ccw == left else radius)
    dx, dy = b.centre[0] - a.centre[0], b.centre[1] - a.centre[1]
    apart = math.hypot(dx, dy)
    along = (apart * apart + ra * ra - rb * rb) / (2.0 * apart)
    off = ra * ra - along * along
    if off < 0.0 or ra <= 0.0 or rb <= 0.0:
        raise FormError(
            f"the cusps cannot be rounded to {radius:.2f} mm.",
            "scallops",
            "Give fewer or shallower scallops.",
        )
    ux, uy = dx / apart, dy / apart
    x, y = a.centre[0] + ux * along, a.centre[1] + uy * along
    side = math.sqrt(off)
    both = ((x - uy * side, y + ux * side), (x + uy * side, y - ux * side))
    return min(both, key=lambda c: math.dist(c, a.end))


def _foot(arc: Arc, centre: Point) -> Point:
    """Where the circle about ``centre`` touches the arc."""
    away = math.dist(arc.centre, centre)
    share = arc.radius / away
    return (
        arc.centre[0] + (centre[0] - arc.centre[0]) * share,
        arc.centre[1] + (centre[1] - arc.centre[1]) * share,
    )
