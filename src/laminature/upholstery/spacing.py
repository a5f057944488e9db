"""What is to be said about a layout of buttons: the spacing got, and what the cloth will not do."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from laminature.geometry.flat import Flat, border_distances
from laminature.model.cushion import Buttoning, Pattern
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding, Grade, Mend
from laminature.units import in_inches, in_mm
from laminature.upholstery.beads import bead_for

#: Deep buttons at least this far apart (a diamond this wide), mm at miniature scale, and cloth at most this
#: thick: else the pleats do not lie down (both common practice, no source).
DEEP_SPACING = 8.0
DEEP_CLOTH = 0.2
#: Rounding of a distance, mm.
ROUNDING = 1e-6

_NAMES: dict[Pattern, str] = {
    "diamond": "Diamonds of",
    "square": "Squares of",
    "row": "A row of buttons every",
    "concentric": "Rings of buttons, along and between them every",
    "points": "Buttons by hand, usually apart by",
    "channels": "Channels as wide as",
}


def least_apart(spec: CushionSpec, bead: float) -> float:
    """The least distance between the middles of two pulled-in buttons, mm.

    Cloth can come up between two beads where there is at least as much room between them as they are
    drawn down (common practice, no source).
    """
    return bead + _depth(spec)


def least_from_edge(spec: CushionSpec, bead: float) -> float:
    """The least distance of a button's middle from the panel's edge, mm, by the same rule."""
    return bead / 2.0 + _depth(spec)


def _depth(spec: CushionSpec) -> float:
    return spec.dip * spec.batting_layers * spec.batting_thickness


def spacing_findings(
    shape: Flat, spec: CushionSpec, made: Buttoning, wanted: tuple[float, float], inset: float, scale: float
) -> tuple[Finding, ...]:
    """The spacing got, at both sizes; what is too near to what; cloth too thick to pleat."""
    if made.pattern == "plain":
        return ()
    if not made.points and made.pattern != "channels":
        return (_no_room(spec, inset, scale),)
    found = [_got(spec, made, wanted, scale)]
    if made.pattern == "channels":
        return tuple(found)
    found += _mirrored(spec, made)
    found += _too_close(spec, made, scale)
    found += _near_edge(spec, made, shape, scale)
    if spec.manner == "deep" and spec.cloth_thickness > DEEP_CLOTH:
        said = (
            f"Cloth of {in_mm(spec.cloth_thickness)} stands for {in_mm(spec.cloth_thickness * scale, 1)} at "
            "full size: its pleats will not lie down."
        )
        remedy = f'Take cloth of at most {in_mm(DEEP_CLOTH)}, or manner = "pulled-in".'
        mend = Mend("Pull the buttons in, without pleats", ((("cushion", spec.name, "manner"), "pulled-in"),))
        found.append(replace(_care("cloth-too-thick-for-pleats", spec, said, remedy), mend=mend))
    return tuple(found)


def _got(spec: CushionSpec, made: Buttoning, wanted: tuple[float, float], scale: float) -> Finding:
    if made.pattern == "channels" and not made.seams:
        said = "The cushion is one channel wide, and has no seam."
    elif made.pattern != "channels" and len(made.points) == 1:
        said = "The cushion has one button."
    else:
        got, asked = _directions(made, made.spacing), _directions(made, wanted)
        said = f"{_NAMES[made.pattern]} {_sizes(got, scale)}: {_how_many(made)}."
        off = max(abs(g / w - 1.0) for g, w in zip(got, asked, strict=True))
        if spec.spacing is not None and made.pattern != "points" and off > 0.01:
            said += f" Asked for: {_sizes(asked, scale)}."
    return Finding("button-spacing", "note", said, part=spec.name)


def _how_many(made: Buttoning) -> str:
    count = len(made.points)
    if made.pattern == "channels":
        return "1 seam" if len(made.seams) == 1 else f"{len(made.seams)} seams"
    if made.pattern == "concentric":
        last = max(made.rings)
        return f"{count} buttons, {'1 ring' if last == 1 else f'{last} rings'} about the middle"
    if made.pattern in {"diamond", "square"}:
        return f"{count} buttons in {len({round(y, 3) for _, y in made.points})} rows"
    return f"{count} buttons"


def _directions(made: Buttoning, spacing: tuple[float, float]) -> list[float]:
    """The numbers of a spacing that mean something for the pattern."""
    if made.pattern in {"diamond", "square", "concentric"}:
        return list(spacing)
    if made.pattern == "row":
        upright = len(made.points) > 1 and math.dist(made.points[0], made.points[1]) > 0.0
        upright = upright and abs(made.points[0][0] - made.points[1][0]) < ROUNDING
        return [spacing[1] if upright else spacing[0]]
    if made.pattern == "channels":
        return [spacing[0] if made.spacing[0] > 0.0 else spacing[1]]
    return [spacing[0]]


def _sizes(measures: list[float], scale: float) -> str:
    full = " × ".join(in_inches(v * scale).removesuffix(" in") for v in measures)
    metric = " × ".join(in_mm(v * scale, 0).removesuffix(" mm") for v in measures)
    mini = " × ".join(in_mm(v).removesuffix(" mm") for v in measures)
    return f"{full} in ({metric} mm) at full size, {mini} mm in miniature"


def _no_room(spec: CushionSpec, inset: float, scale: float) -> Finding:
    if spec.pattern == "points":
        said = "The buttons are to lie at points given by hand, and no points are given."
        return _care("no-room-for-buttons", spec, said, "Give points, or choose another pattern.")
    said = f"No button has room on the cushion with a margin of {in_mm(inset * scale, 0)} at full size."
    return _care("no-room-for-buttons", spec, said, "Give a smaller margin, or leave it out.")


def _mirrored(spec: CushionSpec, made: Buttoning) -> list[Finding]:
    """An even number of rows of diamonds, asked for, cannot be the same both ways up."""
    if made.pattern != "diamond" or spec.rows is None or spec.rows % 2 or spec.rows < 2:
        return []
    said = f"{spec.rows} rows of diamonds are not the same at front and back: their rows alternate."
    rows = spec.rows - 1 if spec.rows > 2 else 3
    mend = Mend(f"Take {rows} rows", ((("cushion", spec.name, "rows"), rows),))
    return [
        Finding("buttons-not-mirrored", "note", said, "Take an odd number of rows.", spec.name, mend=mend)
    ]


def _too_close(spec: CushionSpec, made: Buttoning, scale: float) -> list[Finding]:
    points = np.array(made.points)
    if len(points) < 2:
        return []
    apart = np.hypot(*(points[:, None, :] - points[None, :, :]).transpose(2, 0, 1))
    np.fill_diagonal(apart, np.inf)
    nearest = float(apart.min())
    deep = spec.manner == "deep"
    if deep and made.pattern in {"diamond", "square", "concentric"}:
        got, least = min(made.spacing), DEEP_SPACING
    else:
        got, least = nearest, DEEP_SPACING if deep else least_apart(spec, bead_for(spec, scale))
    if got >= least - ROUNDING:
        return []
    at = points[int(np.argmin(apart.min(axis=1)))]
    place = (float(at[0]), float(at[1]), 0.0)
    bead = bead_for(spec, scale)
    if nearest < bead - ROUNDING:
        said = f"Two buttons are {in_mm(nearest)} apart, and their beads are {in_mm(bead)} wide."
        return [_care("buttons-too-close", spec, said, "Move one of them away.", place, "stop")]
    said = (
        f"Buttons are {in_mm(got)} apart, {in_mm(got * scale, 0)} at full size; "
        + (f"deep buttoning wants {in_mm(least)}" if deep else f"the cloth wants {in_mm(least)}")
        + " in miniature."
    )
    remedy = "Space them wider, or draw them down less." if not deep else 'Space them wider, or "pulled-in".'
    return [_care("buttons-too-close", spec, said, remedy, place)]


def _near_edge(spec: CushionSpec, made: Buttoning, shape: Flat, scale: float) -> list[Finding]:
    points = np.array(made.points)
    away = border_distances(shape, points)
    least = least_from_edge(spec, bead_for(spec, scale))
    k = int(np.argmin(away))
    if away[k] >= least - ROUNDING:
        return []
    at = (float(points[k, 0]), float(points[k, 1]), 0.0)
    if away[k] < 0.0:
        count = int(np.sum(away < 0.0))
        said = f"{'A button lies' if count == 1 else f'{count} buttons lie'} outside the cushion's panel."
        remedy = f"Move {'it' if count == 1 else 'them'} onto the panel."
        return [_care("button-near-edge", spec, said, remedy, at, "stop")]
    said = (
        f"A button is {in_mm(float(away[k]))} from the panel's edge, {in_mm(float(away[k]) * scale, 0)} at "
        f"full size; the cloth wants {in_mm(least)} in miniature."
    )
    return [_care("button-near-edge", spec, said, "Give a wider margin, or draw the buttons down less.", at)]


def _care(
    code: str,
    spec: CushionSpec,
    said: str,
    remedy: str,
    at: tuple[float, float, float] | None = None,
    grade: Grade = "care",
) -> Finding:
    return Finding(code, grade, said, remedy, spec.name, point=at)
