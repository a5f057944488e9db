"""Shaped legs: the outer edge of a leg from the top down to the foot, and panels made of legs.

A panel lies upright in its own plane: u runs outwards from the piece's axis, v up from the floor.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from laminature.errors import FormError, GeometryError
from laminature.geometry.flat import grown, pieces
from laminature.geometry.path import Cubic, Line, Path, Point, Segment
from laminature.geometry.region import Region
from laminature.geometry.svgpath import read_path

#: Names of the leg curves, in the order in which they are offered.
CURVES: tuple[str, ...] = ("straight", "tapered", "sabre", "cyma", "bracket")


@dataclass(frozen=True)
class Leg:
    """One leg of a panel, mm.

    ``outer`` runs from its top, at height ``height``, down to the floor. ``inner`` is where
    the panel ends towards the axis (0: it goes on across the axis to the leg opposite);
    ``foot`` is the width of the foot on the floor and ``arch`` the height of the arch
    between the feet. ``square`` arches rise steeply and turn late. ``level`` is how far from the
    axis the arch stays level at least: panels that cross there share a straight stretch of the axis.
    """

    height: float
    outer: tuple[Segment, ...]
    inner: float
    foot: float
    arch: float
    square: bool = False
    level: float = 0.0


def outer_edge(curve: str, top: float, foot: float, height: float) -> tuple[Segment, ...]:
    """The named curve from (``top``, ``height``) down to (``foot``, 0).

    The curves are drawn after the mouldings and legs of those names (common practice, no source).
    Raises FormError for a name that is not in :data:`CURVES`.
    """
    start, end = (top, height), (foot, 0.0)
    if curve in ("straight", "tapered", "bracket"):
        return (Line(start, end),)
    if curve == "sabre":
        # Down and a little inwards, then sweeping out to the toe.
        return (
            Cubic(start, (top - 0.06 * height, 0.55 * height), (foot - 0.20 * height, 0.22 * height), end),
        )
    if curve == "cyma":
        # Full at the knee, hollow at the ankle: an S that ends leaning outwards.
        return (
            Cubic(start, (top + 0.16 * height, 0.68 * height), (foot - 0.22 * height, 0.30 * height), end),
        )
    raise FormError(f"there is no leg curve {curve!r}.", "leg_curve", f"Choose one of {', '.join(CURVES)}.")


def drawn_edge(data: str, top: float, height: float) -> tuple[Segment, ...]:
    """The maker's own curve, scaled evenly so that it drops from (``top``, ``height``) to the floor.

    ``data`` is SVG path data from the leg's top to its foot, x outwards, y down, in any unit.
    Raises FormError for what is no such path.
    """
    try:
        (path,) = read_path(data)
    except ValueError as error:
        raise FormError(
            f"the leg's path cannot be used: {error}",
            "leg_path",
            'Write one curve, like "M 0 0 C 3 20 -3 40 4 60".',
        ) from error
    # Reading closes every path by a straight line, which is no part of the leg's edge.
    segments = path.segments[:-1]
    (x0, y0), (_, y1) = path.start, segments[-1].end
    if not y1 > y0:
        raise FormError(
            "the leg's path has to run down, from the top of the leg to its foot.",
            "leg_path",
            "Begin at the top; in SVG, y grows downwards.",
        )
    scale = height / (y1 - y0)
    fitted = Path(segments, closed=False).mapped(
        ((scale, 0.0), (0.0, -scale)), (top - scale * x0, height + scale * y0)
    )
    # Both ends lie where they should exactly, whatever rounding did.
    first, last = fitted.segments[0], fitted.segments[-1]
    begun = (replace(first, start=(top, height)), *fitted.segments[1:])
    return (*begun[:-1], replace(begun[-1], end=(last.end[0], 0.0)))


def half_panel(leg: Leg, above: tuple[float, float] | None = None) -> Region:
    """A panel of one leg, from its inner edge outwards.

    ``above`` is a height and where the inner edge lies from there up, instead of ``leg.inner``.
    """
    foot_in, crown = _inside(leg)
    top = leg.outer[0].start
    chain: list[Point] = [top, (leg.inner, leg.height)]
    if above is not None:
        height, inner = above
        chain[1:] = [(inner, leg.height), (inner, height), (leg.inner, height)]
    chain += [(leg.inner, leg.arch), crown]
    segments: list[Segment] = [Line(p, q) for p, q in pairwise(chain)]
    segments += [_arch(leg, foot_in, crown), Line(foot_in, leg.outer[-1].end), *_walked_up(leg.outer)]
    return Region(Path(tuple(segments)))


def full_panel(leg: Leg) -> Region:
    """A panel of two like legs, one on each side of the axis."""
    foot_in, crown = _inside(leg)
    arch = _arch(leg, foot_in, crown)
    top, foot = leg.outer[0].start, leg.outer[-1].end
    segments: list[Segment] = [
        Line(top, _over(top)),
        *(_mirrored(s) for s in leg.outer),
        Line(_over(foot), _over(foot_in)),
        _mirrored(arch.reversed()),
        Line(_over(crown), crown),
        arch,
        Line(foot_in, foot),
        *_walked_up(leg.outer),
    ]
    return Region(Path(tuple(segments)))


def reach_at(leg: Leg, height: float) -> float:
    """How far out the leg's outer edge lies at this height, at its nearest to the axis, mm."""
    points = Path(leg.outer, closed=False).flattened
    found = []
    for (u0, v0), (u1, v1) in pairwise(points):
        if min(v0, v1) - 1e-9 <= height <= max(v0, v1) + 1e-9:
            share = 0.5 if v0 == v1 else (height - v0) / (v1 - v0)
            found.append(float(u0 + (u1 - u0) * share))
    return min(found)


def check_strong(panel: Region, web: float) -> None:
    """Raise FormError where the panel is anywhere thinner than ``web`` mm, so that cutting would tear it."""
    try:
        left = pieces(grown(panel.flat, -web / 2.0))
    except GeometryError:
        left = ()
    # Half the web was taken off below as well; anything that ends higher has lost a foot.
    if len(left) != 1 or left[0].bounds[1] > web:
        raise FormError(
            f"the legs get thinner than {web:g} mm, which the cutter cannot leave whole.",
            "leg_curve",
            "Make the foot wider, the arch lower, or choose a plainer curve.",
        )


def _inside(leg: Leg) -> tuple[Point, Point]:
    """The foot's inner end and the point where the arch runs out level, short of the inner edge."""
    foot = leg.outer[-1].end[0]
    foot_in = foot - leg.foot
    crown = max(leg.inner + 0.12 * (foot_in - leg.inner), leg.level)
    if foot_in <= leg.inner or crown > leg.inner + 0.8 * (foot_in - leg.inner):
        raise FormError(
            "the feet leave no room between them.",
            "foot_width",
            "Make the feet narrower, the legs thinner, or spread them wider.",
        )
    return (foot_in, 0.0), (crown, leg.arch)


def _arch(leg: Leg, foot_in: Point, crown: Point) -> Cubic:
    """The arch from the crown down to the foot: level at the crown, along the outer edge at the foot."""
    dx, dy = _leaving(leg.outer[-1])
    steep = 0.85 if leg.square else 0.55
    up = steep * leg.arch
    # A foot that sweeps out nearly level would send the arch below the floor: 30 degrees is enough.
    lean = max(-1.7, min(1.7, dx / -dy if dy < 0.0 else 0.0))
    c2 = (max(foot_in[0] - lean * up * 0.6, crown[0]), up)
    c1 = (crown[0] + steep * (foot_in[0] - crown[0]), crown[1])
    return Cubic(crown, c1, c2, foot_in)


def _leaving(segment: Segment) -> Point:
    """The direction in which a segment arrives at its end."""
    points = [segment.start, *segment.points()]
    (x0, y0), (x1, y1) = points[-2], points[-1]
    away = math.dist((x0, y0), (x1, y1))
    return ((x1 - x0) / away, (y1 - y0) / away)


def _walked_up(outer: Sequence[Segment]) -> list[Segment]:
    return [s.reversed() for s in reversed(outer)]


def _over(p: Point) -> Point:
    return (-p[0], p[1])


def _mirrored(segment: Segment) -> Segment:
    """The segment on the other side of the axis, still walked from its start."""
    return Path((segment,), closed=False).mapped(((-1.0, 0.0), (0.0, 1.0))).segments[0]
