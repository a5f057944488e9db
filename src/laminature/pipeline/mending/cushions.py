"""What may mend findings about cushions. Soft things are written in actual mm, buttons at full size."""

from __future__ import annotations

from collections.abc import Iterator

from laminature.model.design import CushionSpec
from laminature.model.finding import Finding, Mend, Setting
from laminature.pipeline.mending.desk import Desk, full

#: Thicknesses of cloth that can be had, mm (common practice, no source), the thickest first.
CLOTHS = (0.3, 0.25, 0.2, 0.15, 0.1)
#: Cords for piping, actual mm (common practice, no source), the thickest first.
CORDS = (1.2, 1.0, 0.8, 0.6, 0.5)
#: How far buttons are drawn down, as shares of the crown.
DIPS = (0.5, 0.4, 0.3, 0.2)
#: Margins are tried so many times as wide as now, and so is the spacing of buttons.
WIDER = (1.25, 1.5, 2.0, 3.0)


def thinner_cloth(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Cloth that is too thick for the scale, for pleats or for corners."""
    for spec in _spec(desk, found):
        for cloth in CLOTHS:
            if cloth < spec.cloth_thickness - 1e-9:
                yield _set(spec, f"Take cloth of {cloth:g} mm", cloth_thickness=f"{cloth:g} mm")


def less_deep(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Buttons whose cloth has no room: pulled in where they are deep, drawn down less, or wider apart."""
    for spec in _spec(desk, found):
        if spec.manner == "deep":
            yield _set(spec, "Pull the buttons in, without pleats", manner="pulled-in")
        for dip in DIPS:
            if dip < spec.dip - 1e-9:
                yield _set(spec, f"Draw the buttons down less: {dip:.0%} of the crown", dip=dip)
    yield from wider_apart(desk, found)


def wider_apart(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Buttons that are too near to each other."""
    both = desk.cushion(found)
    if both is None:
        return
    spec, made = both
    if spec.pattern in ("points", "plain"):
        return
    if spec.spacing is not None or spec.rows is not None or spec.columns is not None:
        yield _set(
            spec, "Space the buttons as the trade does", spacing=None, rows=None, columns=None, points=None
        )
    scale = float(desk.made.design.scale)
    for by in WIDER:
        sides = tuple(full(side * by, scale) for side in made.buttoning.spacing if side > 0.0)
        if len(sides) == 2:
            label = f"Space the buttons {sides[0]} and {sides[1]} apart"
            yield _set(spec, label, spacing=sides, rows=None, columns=None)


def further_in(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Buttons too near to the panel's edge, or without any room within the margin."""
    scale = float(desk.made.design.scale)
    for spec in _spec(desk, found):
        if spec.margin is not None:
            yield _set(spec, "Leave the margin of the buttons to Laminature", margin=None)
        if found.code == "no-room-for-buttons":
            return
        for by in WIDER:
            if spec.margin:
                wide = full(spec.margin * by, scale)
                yield _set(spec, f"Keep the buttons {wide} from the edge", margin=wide)
        for dip in DIPS:
            if dip < spec.dip - 1e-9:
                yield _set(spec, f"Draw the buttons down less: {dip:.0%} of the crown", dip=dip)


def usual_button(desk: Desk, found: Finding) -> Iterator[Mend]:
    """A button so large or small that no bead stands for it."""
    for spec in _spec(desk, found):
        if spec.button is not None:
            yield _set(spec, "Take the usual button and its bead", button=None, bead=None)


def thinner_cord(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Piping that puckers at corners."""
    for spec in _spec(desk, found):
        for cord in CORDS:
            if cord < spec.piping - 1e-9:
                yield _set(spec, f"Take a cord of {cord:g} mm", piping=f"{cord:g} mm")
        yield _set(spec, "Leave the piping out", piping=None)


def _spec(desk: Desk, found: Finding) -> Iterator[CushionSpec]:
    both = desk.cushion(found)
    if both is not None:
        yield both[0]


def _set(spec: CushionSpec, label: str, **keys: Setting) -> Mend:
    return Mend(label, tuple((("cushion", spec.name, key), value) for key, value in keys.items()))
