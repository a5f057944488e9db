"""What is said about a cushion's cloth, in the terms of the full-size piece."""

from __future__ import annotations

import math

import numpy as np

from laminature.geometry.region import Region
from laminature.model.cushion import Buttoning, Surface
from laminature.model.design import CushionSpec
from laminature.model.finding import Finding, Mend
from laminature.units import in_mm
from laminature.upholstery.heights import free_at
from laminature.upholstery.marks import cloth_bounds
from laminature.upholstery.rim import sharpest_corner

#: Cloth thicker than this does not lie down over a miniature crown (common practice, no source), actual mm.
THICK = 0.3
#: Thicknesses of cloth in a corner's pleat, and in one at a corner sharper than SHARP degrees.
PLEAT, SHARP_PLEAT, SHARP = 3, 5, 75.0
#: Cloth shorter than this share of a tent over the crown leaves pillows flat (no source).
SHALLOW = 0.8
#: A frame further from its cushion than this on each side looks too large for it, mm (no source).
WIDEST_GAP = 1.0


def cloth_findings(spec: CushionSpec, scale: float, outline: Region, side: float) -> tuple[Finding, ...]:
    """What is unwise about the cloth that ``spec`` names, on a panel of this ``outline``, at 1 : ``scale``.

    ``side`` is what the envelope allows on each side for cloth, without piping, mm.
    """
    x0, y0, x1, y1 = outline.bounds
    widest, sharpest = min(x1 - x0, y1 - y0), sharpest_corner(outline)
    found = []
    cloth = spec.cloth_thickness
    if cloth > THICK + 1e-9:
        found.append(
            Finding(
                "cloth-too-thick",
                "care",
                f"The cushion's cloth is {cloth:g} mm thick; at full size that would be "
                f"{_full(cloth, scale)}, as stiff as a carpet.",
                f"Take cloth of at most {THICK:g} mm: fine cotton lawn, silk, or leather that is skived.",
                part=spec.name,
            )
        )
    repeat = spec.print_repeat
    if repeat is not None and repeat > widest + 1e-9:
        found.append(
            Finding(
                "print-too-large",
                "care",
                f"The print repeats every {repeat:.3g} mm, {_full(repeat, scale)} at full size; the cushion "
                f"is {widest:.3g} mm wide and shows less than one repeat.",
                f"Look for a print that repeats within {widest / 2:.2g} mm: a repeat of 12 in is "
                f"{304.8 / scale:.3g} mm at this scale.",
                part=spec.name,
            )
        )
    count = SHARP_PLEAT if sharpest < SHARP else PLEAT
    if sharpest < 180.0 and count * cloth > side + spec.clearance + 1e-9:
        found.append(
            Finding(
                "folds-too-thick",
                "care",
                f"A corner's pleat is {count} thicknesses of cloth, {count * cloth:.2g} mm; there is room "
                f"for {side + spec.clearance:.2g} mm between the panel and the frame.",
                "Take thinner cloth, a wider clearance, or round the corners.",
                part=spec.name,
                mend=_wider(spec, count * cloth - side),
            )
        )
    return tuple(found)


def pillow_findings(
    spec: CushionSpec, buttoning: Buttoning, surface: Surface, lengths: tuple[float, ...], scale: float
) -> tuple[Finding, ...]:
    """Deep buttons so near to each other that the batting cannot rise between them to its crown.

    ``lengths`` are the cloth's along the links; the least that would do is a tent's two slopes.
    """
    if spec.manner != "deep" or not buttoning.links:
        return ()
    points = np.array(buttoning.points)
    links = np.array(buttoning.links)
    middle = (points[links[:, 0]] + points[links[:, 1]]) / 2
    depth = spec.dip * free_at(surface, middle)
    way = np.hypot(*(points[links[:, 1]] - points[links[:, 0]]).T)
    least = np.array([cloth_bounds(float(p), float(d))[0] for p, d in zip(way, depth, strict=True)])
    short = np.array(lengths) / least
    worst = int(np.argmin(short))
    if short[worst] >= SHALLOW:
        return ()
    mend = Mend("Pull the buttons in, without pleats", ((("cushion", spec.name, "manner"), "pulled-in"),))
    return (
        Finding(
            "pillows-flat",
            "care",
            f"Buttons {in_mm(way[worst])} apart ({in_mm(float(way[worst]) * scale, 0)} at full size), drawn "
            f"{in_mm(depth[worst])} deep, leave the batting no room to rise between them.",
            "Space them wider, draw them down less (dip), or take the pulled-in manner.",
            part=spec.name,
            mend=mend,
        ),
    )


def _wider(spec: CushionSpec, least: float) -> Mend | None:
    """The clearance that a pleat needs, in steps of 0.05 mm; none where the gap would be seen."""
    gap = math.ceil(least / 0.05 - 1e-6) * 0.05
    if gap > WIDEST_GAP:
        return None
    return Mend(f"Leave {in_mm(gap)} of clearance", ((("cushion", spec.name, "clearance"), f"{gap:.2f} mm"),))


def _full(length: float, scale: float) -> str:
    return f"{length * scale / 25.4:.2g} in ({length * scale:.3g} mm)"
