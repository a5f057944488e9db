"""Layers of batting, each a little smaller than the one below, so that together they make the crown.

At a distance *s* from the edge the crown is as high as a super-ellipse::

    h(s) = C · (1 - (1 - s/R)^p)^(1/p)        0 ≤ s ≤ R

with the height C of all layers together, the radius R of the largest circle in the outline (from there
inwards the crown is level) and the exponent p, ``swell``: 2 is a half round, higher ones are fuller at the
edge. Layer k reaches as far out as the crown passes its middle, h(s) = (k - 1/2)·t, so it is cut::

    s(k) = R · (1 - (1 - ((k - 1/2)/n)^p)^(1/p))

in from the edge. Thickness is *as compressed* under the cloth: lofts as bought do not scale; four
quarter-inch layers would be a foot high at full size and 1:12.
"""

from __future__ import annotations

import math

import numpy as np

from laminature.errors import FormError
from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, deepest, grown, pieces
from laminature.geometry.path import Array
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region
from laminature.model.cushion import Batting
from laminature.model.finding import Finding, Mend
from laminature.units import in_mm

#: Each layer is cut in at least this much further than the one below: less is not to be seen or cut with
#: scissors, mm (common practice, no source).
STEP = 0.2
#: Where a layer is narrower than this it is no use, mm (common practice, no source).
NARROW = 3.0
#: A first layer that would be cut in by less than this is cut to the panel itself, mm.
AS_PANEL = 0.05


def crown_height(distance: Array, radius: float, crown: float, swell: float) -> Array:
    """Height of the crown ``distance`` mm from the edge, mm: the super-ellipse, level from ``radius`` on."""
    share = 1.0 - np.clip(np.asarray(distance, dtype=float) / radius, 0.0, 1.0)
    return np.asarray(crown * (1.0 - share**swell) ** (1.0 / swell))


def insets(layers: int, radius: float, swell: float) -> tuple[float, ...]:
    """How far each of the layers is cut in from the edge, mm, the first layer first."""
    found: list[float] = []
    for k in range(layers):
        middle = (k + 0.5) / layers
        s = radius * (1.0 - (1.0 - middle**swell) ** (1.0 / swell))
        s = 0.0 if k == 0 and s < AS_PANEL else s
        found.append(max(s, found[-1] + STEP) if found else s)
    return tuple(found)


def make_batting(
    outline: Region, layers: int = 4, thickness: float = 1.0, swell: float = 2.5, name: str = "cushion"
) -> tuple[Batting, tuple[Finding, ...]]:
    """The outlines of the layers of batting on a panel, the largest first.

    ``thickness`` is that of one layer as it lies under the cloth, mm. Layers of which nothing useful
    would be left are left out, with a finding; the crown is then as high as those that remain.
    Raises FormError for a thickness that is no measure and an exponent below 1.
    """
    if not (math.isfinite(thickness) and thickness >= 0.0):
        raise FormError(
            "the batting's thickness has to be 0 or more.", "batting_thickness", "Give actual mm."
        )
    if not (math.isfinite(swell) and swell >= 1.0):
        raise FormError("the crown's swell has to be 1 or more.", "swell", "2 is a half round, 2.5 usual.")
    if layers < 1 or thickness == 0.0:
        return Batting((), thickness, 0.0), ()
    shape = outline.flat
    radius = deepest(shape)[1]
    for count in range(layers, 0, -1):
        every = [_cut(outline, shape, s) for s in insets(count, radius, swell)]
        if all(every):
            break
    else:
        count, every = 0, []
    numbered = [(k + 1, region) for k, regions in enumerate(every) for region in regions]
    batting = Batting(
        outlines=tuple(region for _, region in numbered),
        thickness=thickness,
        crown=count * thickness,
        numbers=tuple(k for k, _ in numbered),
    )
    return batting, () if count == layers else (_too_high(layers, count, thickness, radius, name),)


def _cut(outline: Region, shape: Flat, inset: float) -> list[Region]:
    """The outline drawn in, in as many pieces as that leaves; those too narrow to be of use fall away."""
    if inset == 0.0:
        return [outline] if 2.0 * deepest(shape)[1] >= NARROW else []
    left = pieces(grown(shape, -inset, corners="round"))
    useful = [p for p in left if 2.0 * deepest(p)[1] >= NARROW]
    return [borders(p, [Parallel(outline, -inset)]) for p in useful]


def _too_high(wanted: int, got: int, thickness: float, radius: float, name: str) -> Finding:
    said = (
        f"The cushion is only {in_mm(2.0 * radius)} wide where it is widest: of {wanted} layers of batting "
        f"{got} have room, which make a crown of {in_mm(got * thickness)} in place of "
        f"{in_mm(wanted * thickness)}."
    )
    remedy = f"Set batting_layers = {got}, or take thinner batting."
    mend = Mend(f"Take {got} layers of batting", ((("cushion", name, "batting_layers"), got),))
    return Finding("crown-too-high", "care", said, remedy, name, mend=mend)
