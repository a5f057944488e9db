"""Piping: a cord in its own strip of cloth round the edge of a cushion, and how the cushion sits in a frame.

The strip goes round the cord and has a seam at both sides: π · cord + 2 · seam wide (trade rule: a
5/32 in cord with 1/2 in seams takes 1 1/2 in). Its length is the way round and a tenth more for the
joint and the corners (from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from laminature.geometry.flat import grown, pieces
from laminature.geometry.path import Arc, Cubic, Path, Point
from laminature.geometry.region import Region
from laminature.geometry.walk import corners, signed_area
from laminature.model.cushion import CushionEnvelope, Piping
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding
from laminature.units import in_mm
from laminature.upholstery.envelope import PLEAT

#: Length beyond the way round, as a share of it (from memory).
OVERLAP = 0.1
#: Width of each of the strip's two glued seams, mm (common practice, no source).
SEAM = 2.0
#: The middle of a covered cord turns no tighter than this many times its diameter without puckers
#: (common practice, no source).
BEND = 1.5
#: What turns less than this is no corner but the chord of a curve, degrees.
CORNER = 15.0


@dataclass(frozen=True)
class Turn:
    """A place where the outline turns: its radius, mm (0 for a corner), and whether it turns outwards."""

    point: Point
    radius: float
    outwards: bool


def strip_width(cord: float, seam: float) -> float:
    """Width of the cloth round a cord of this diameter, with a seam at both sides; any one unit."""
    return math.pi * cord + 2.0 * seam


def strips(length: float, goods: float, strip: float) -> tuple[int, float]:
    """How many strips across ``goods`` of that width make ``length``, and the length of goods they take.

    Trade example: 950 in of 1 1/2 in strips from 54 in goods are 18 strips and 27 in of goods.
    """
    count = math.ceil(length / goods - 1e-9)
    return count, count * strip


def covered(spec: CushionSpec) -> float:
    """Diameter of the cord in its cloth, mm; 0 without piping."""
    return spec.piping + 2.0 * spec.cloth_thickness if spec.piping > 0.0 else 0.0


def panel_inset(spec: CushionSpec, shows: float | None = None) -> float:
    """How far the panel is drawn in from the outline that the covered cushion shall have, mm.

    Cloth and its pleats take their room, and ``shows`` mm of the piping stand out beyond them; None
    for all of it. Raises nothing; more than the cord has shows the whole cord.
    """
    cord = covered(spec)
    return PLEAT * spec.cloth_thickness + (cord if shows is None else min(max(shows, 0.0), cord))


def make_piping(outline: Region, spec: CushionSpec) -> tuple[Piping | None, tuple[Finding, ...]]:
    """The cord round a panel of this outline, None where there is none; corners too tight for it."""
    if not spec.piping > 0.0:
        return None, ()
    out = PLEAT * spec.cloth_thickness + covered(spec) / 2.0
    round_it = pieces(grown(outline.flat, out, corners="round"))[0]
    length = float(round_it.exterior.length) * (1.0 + OVERLAP)
    made = Piping(spec.piping, length, (strip_width(spec.piping, SEAM), length))
    return made, _tight(outline, spec, out)


def turns(path: Path) -> tuple[Turn, ...]:
    """The corners, arcs and tightest places of the curves of a closed path."""
    left = signed_area(path) > 0.0
    found = []
    for i in corners(path, CORNER):
        before, here, after = (path.segments[k].start for k in (i - 1, i, (i + 1) % len(path.segments)))
        before = path.segments[i - 1].points()[-2] if len(path.segments[i - 1].points()) > 1 else before
        after = path.segments[i].points()[0]
        cross = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        found.append(Turn(here, 0.0, (cross > 0.0) == left))
    for s in path:
        if isinstance(s, Arc):
            found.append(Turn(s.start, s.radius, s.ccw == left))
        elif isinstance(s, Cubic):
            found.append(_tightest(s, left))
    return tuple(found)


def _tightest(curve: Cubic, left: bool) -> Turn:
    """The place of the greatest curvature, of 65 places evenly in the curve's parameter."""
    best = Turn(curve.start, math.inf, True)
    a, b, c, d = curve.start, curve.c1, curve.c2, curve.end
    for k in range(65):
        t = k / 64.0
        u = 1.0 - t
        first = [
            3 * (u * u * (b[i] - a[i]) + 2 * u * t * (c[i] - b[i]) + t * t * (d[i] - c[i])) for i in (0, 1)
        ]
        second = [6 * (u * (c[i] - 2 * b[i] + a[i]) + t * (d[i] - 2 * c[i] + b[i])) for i in (0, 1)]
        cross = first[0] * second[1] - first[1] * second[0]
        speed = math.hypot(*first)
        radius = speed**3 / abs(cross) if abs(cross) > 1e-12 else math.inf
        if radius < best.radius:
            x, y = (u**3 * a[i] + 3 * u * u * t * b[i] + 3 * u * t * t * c[i] + t**3 * d[i] for i in (0, 1))
            best = Turn((x, y), radius, (cross > 0.0) == left)
    return best


def _tight(outline: Region, spec: CushionSpec, out: float) -> tuple[Finding, ...]:
    """Corners whose cord, ``out`` mm beyond the outline, would turn too tightly."""
    least = BEND * covered(spec)
    tight = [t for t in turns(outline.outline) if t.radius + (out if t.outwards else -out) < least - 1e-6]
    if not tight:
        return ()
    inner = any(not t.outwards for t in tight)
    wanted = least + out if inner else least - out
    worst = min(tight, key=lambda t: t.radius + (out if t.outwards else -out))
    places = "1 place" if len(tight) == 1 else f"{len(tight)} places"
    said = (
        f"The piping turns too tightly at {places}: {in_mm(covered(spec))} thick with its cloth, it puckers "
        f"where its middle turns tighter than {in_mm(least)}."
    )
    remedy = f"Round the panel's corners by at least {in_mm(wanted)}, or take a thinner cord."
    at = (*worst.point, 0.0)
    return (Finding("piping-corner-tight", "care", said, remedy, spec.name, point=at),)


def proud(envelope: CushionEnvelope, frame: float) -> float:
    """How far the cushion's middle stands proud of a frame's rim, ``frame`` mm above the seat."""
    return envelope.height - frame


def rim_findings(
    envelope: CushionEnvelope, spec: CushionSpec, frame: float, scale: float
) -> tuple[Finding, ...]:
    """How the cushion sits in its frame: proud of the rim, or below it."""
    middle = proud(envelope, frame)
    edge = envelope.panel_thickness + spec.cloth_thickness - frame
    where = "above" if edge >= 0.0 else "below"
    if middle < 0.0:
        said = f"The cushion's middle lies {in_mm(-middle)} below the frame's rim."
        remedy = "Make the frame lower, or give the cushion more batting or panels."
        return (Finding("cushion-below-rim", "care", said, remedy, spec.name),)
    said = (
        f"The cushion's middle stands {in_mm(middle)} proud of the frame's rim "
        f"({in_mm(middle * scale, 0)} at full size); its edge lies {in_mm(abs(edge))} {where} it."
    )
    return (Finding("cushion-proud", "note", said, part=spec.name),)
