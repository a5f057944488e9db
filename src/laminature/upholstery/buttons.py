"""Where the buttons of a cushion lie: its pattern laid out on its outline.

Sizes the maker left open are the trade's: diamonds of 4 × 6 in, taller than wide, laid out from
the centre lines outwards (an upholstery teacher's notes give 5 × 7, 4 × 6 and 3 × 5 in); the border between
the outermost buttons and the edge is half a diamond wide (a trade journal's worked example leaves
4 in beside diamonds of 8.5 × 11.5 in). Squares, rows, rings and channels of 4 in: common
practice, no source.
"""

from __future__ import annotations

import math

import numpy as np

from laminature.errors import FormError
from laminature.geometry.flat import Flat, Shape, deepest, grown, holds_points, pieces
from laminature.geometry.path import Array
from laminature.geometry.region import Region
from laminature.model.cushion import Buttoning
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding
from laminature.units import INCH
from laminature.upholstery.channels import channels
from laminature.upholstery.circles import rings
from laminature.upholstery.lattice import diamonds, single_row, squares
from laminature.upholstery.layout import MOST_BUTTONS, ON_BORDER, Layout, too_many
from laminature.upholstery.neighbours import nearest_distance, neighbours, rings_about
from laminature.upholstery.spacing import spacing_findings
from laminature.upholstery.symmetry import Symmetry, symmetry

#: Size of a diamond at full size, inches (across, up).
DIAMOND = (4.0, 6.0)
#: Spacing of all other patterns at full size, inches.
OTHERWISE = 4.0
#: The border left open is at most this share of the way from the edge to the cushion's middle.
BORDER = 0.5


def button_layout(outline: Region, spec: CushionSpec, scale: float) -> tuple[Buttoning, tuple[Finding, ...]]:
    """The buttons (or the seams of channels) of the cushion ``spec`` on a panel of this outline.

    ``scale`` is the n of 1:n. Findings say the spacing got and what is too close.
    Raises FormError for a spacing, margin or number that is no measure, and for far too many buttons.
    """
    _demand(spec)
    shape = outline.flat
    wanted = wanted_spacing(spec, scale)
    inset = margin(spec, shape, wanted)
    made = _laid_out(shape, spec, wanted, inset)
    return made, spacing_findings(shape, spec, made, wanted, inset, scale)


def wanted_spacing(spec: CushionSpec, scale: float) -> tuple[float, float]:
    """The spacing asked for (across, up), or the trade's, mm at miniature scale."""
    if spec.spacing is not None:
        return spec.spacing
    across, up = DIAMOND if spec.pattern == "diamond" else (OTHERWISE, OTHERWISE)
    return (across * float(INCH) / scale, up * float(INCH) / scale)


def margin(spec: CushionSpec, shape: Flat, wanted: tuple[float, float]) -> float:
    """How far buttons keep from the panel's edge: as asked for, else half a spacing, mm.

    On a small cushion no more than half the way to its middle; seams of channels run to the edge.
    """
    if spec.margin is not None:
        return spec.margin
    if spec.pattern in {"channels", "plain", "points"}:
        return 0.0
    return min(min(wanted) / 2.0, BORDER * deepest(shape)[1])


def _laid_out(shape: Flat, spec: CushionSpec, wanted: tuple[float, float], inset: float) -> Buttoning:
    outline = symmetry(shape)
    if spec.pattern == "plain":
        return Buttoning("plain")
    if spec.pattern == "points":
        points = np.array(spec.points, dtype=float).reshape(-1, 2)
        near = nearest_distance(points)
        return _buttoning(spec, Layout(points, neighbours(points), (near, near)), outline, in_order=False)
    field: Shape = grown(shape, -inset, corners="round")
    parts = pieces(field)
    if not parts:
        return Buttoning(spec.pattern)
    if spec.pattern == "channels":
        seams, got = channels(shape, field, wanted, spec.rows, spec.columns)
        return Buttoning("channels", spacing=got, seams=seams)
    if spec.pattern == "concentric":
        at = np.array([outline.centre])
        middle = next((p for p in parts if holds_points(grown(p, ON_BORDER), at)[0]), None)
        if middle is None:
            return Buttoning("concentric")
        layout, ring = rings(middle, outline, wanted, spec.rows, spec.columns)
        return _buttoning(spec, layout, outline, ring)
    if spec.pattern == "row":
        count = spec.columns if spec.columns is not None else spec.rows
        return _buttoning(spec, single_row(field, outline, wanted, count), outline)
    lay = diamonds if spec.pattern == "diamond" else squares
    return _buttoning(spec, lay(field, outline, wanted, spec.rows, spec.columns), outline)


def _buttoning(
    spec: CushionSpec,
    layout: Layout,
    outline: Symmetry,
    rings: tuple[int, ...] | None = None,
    in_order: bool = True,
) -> Buttoning:
    """The layout with its buttons numbered: row by row from below, each from the left."""
    points: Array = layout.points
    if rings is None:
        rings = rings_about(points, layout.links, outline.centre)
    order = np.lexsort((points[:, 0], np.round(points[:, 1], 4))) if in_order else np.arange(len(points))
    number = np.argsort(order)
    links = sorted(tuple(sorted((int(number[a]), int(number[b])))) for a, b in layout.links)
    return Buttoning(
        spec.pattern,
        points=tuple((float(x), float(y)) for x, y in points[order]),
        links=tuple((a, b) for a, b in links),
        rings=tuple(rings[int(k)] for k in order),
        spacing=layout.spacing,
    )


def _demand(spec: CushionSpec) -> None:
    """Refuse what is no measure. Raises FormError."""
    for name, values, least in (
        ("spacing", spec.spacing or (), 0.0),
        ("rows", () if spec.rows is None else (spec.rows,), 0.5),
        ("columns", () if spec.columns is None else (spec.columns,), 0.5),
    ):
        if not all(math.isfinite(v) and v > least for v in values):
            raise FormError(
                f"the cushion's {name} has to be more than 0.", name, "Leave it out, or give more."
            )
    if spec.margin is not None and not (math.isfinite(spec.margin) and spec.margin >= 0.0):
        raise FormError("the cushion's margin has to be 0 or more.", "margin", "Give it in full size.")
    if (
        len(spec.points) > MOST_BUTTONS
        or (spec.rows or 0) > MOST_BUTTONS
        or (spec.columns or 0) > MOST_BUTTONS
    ):
        raise too_many()
