"""The fields of a design's cushions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from laminature.model.cushion import Manner, Pattern
from laminature.model.design import CushionSpec, Design
from laminature.pipeline.showing.fielding import Desk, Field, Path, group, plain

#: As in the file, where the key is not written. Ranges are for sliders; the file takes more.
_USUAL = CushionSpec()


def cushion_path(desk: Desk, n: int) -> Path:
    """Where the n-th cushion stands in the file."""
    return ("cushion", n) if isinstance(desk.values.get("cushion"), list) else ("cushion",)


def with_companions(changes: Mapping[Path, Any]) -> dict[Path, Any]:
    """The changes, and what has to go with them: a pattern takes the place of buttons by hand."""
    gone = {
        (*path[:-1], "points"): None
        for path, value in changes.items()
        if path[:1] == ("cushion",) and path[-1] == "pattern" and value != "points"
    }
    return {**gone, **changes}


def cushion_groups(desk: Desk, design: Design) -> list[dict[str, Any]]:
    """A group for each cushion."""
    return [
        group(
            "cushion",
            "Cushion" if len(design.cushions) == 1 else plain(spec.name),
            _fields(desk, cushion_path(desk, n), spec, float(design.scale)),
        )
        for n, spec in enumerate(design.cushions)
    ]


def _fields(desk: Desk, path: Path, spec: CushionSpec, scale: float) -> list[Field]:
    def actual(key: str, title: str, help: str, low: float, high: float) -> Field:
        usual = getattr(_USUAL, key)
        return desk.length((*path, key), title, help, getattr(spec, key), usual, low, high, "actual")

    def furniture(key: str, title: str, help: str, low: float, high: float) -> Field:
        mini = getattr(spec, key)
        full = None if mini is None else mini * scale
        return desk.length((*path, key), title, help, full, None, low, high, "full")

    def number(key: str, title: str, help: str, kind: str, low: float, high: float, step: float) -> Field:
        usual = getattr(_USUAL, key)
        return desk.number((*path, key), title, help, kind, getattr(spec, key), usual, low, high, step)

    # Buttons by hand need their places, which the plan of the cushion gives; the name alone is refused.
    placed = spec.pattern == "points"
    by_hand = {"points": "By hand"} if placed else {}
    patterns = {p: plain(p) for p in get_args(Pattern) if p != "points"} | by_hand
    made = [
        desk.choice(
            (*path, "pattern"), "Pattern", "How the buttons lie.", spec.pattern, _USUAL.pattern, patterns
        ),
        desk.choice(
            (*path, "manner"),
            "Manner",
            "Buttons that only dent the cushion, or that draw its cloth into pleats.",
            spec.manner,
            _USUAL.manner,
            {m: plain(m) for m in get_args(Manner)},
        ),
    ]
    if not placed:
        made += _spread(desk, path, spec, scale)
    return [
        *made,
        furniture("button", "Button", 'Of the full-size piece: a length, or lignes, as "30 L".', 6.0, 80.0),
        actual("bead", "Bead", "Diameter of the beads; left out, the nearest that is sold.", 0.3, 10.0),
        number("dip", "Depth of buttons", "As a share of the crown.", "count", 0.0, 1.0, 0.1),
        number("batting_layers", "Layers of batting", "How many.", "count", 0, 100, 1),
        actual(
            "batting_thickness", "One layer of batting", "As it lies compressed under the cloth.", 0.1, 5.0
        ),
        number(
            "swell",
            "Fullness",
            "2 is round; more is flatter, with rounder shoulders.",
            "count",
            1.0,
            12.0,
            0.5,
        ),
        actual("cloth_thickness", "Thickness of the cloth", "As you measure it.", 0.0, 1.0),
        actual("turn_under", "Cloth turned under", "Glued to the back.", 1.0, 40.0),
        actual("piping", "Piping", "Diameter of its cord; 0 for none.", 0.0, 3.0),
        actual("clearance", "Gap to a frame", "On each side.", 0.0, 5.0),
        number("panel_layers", "Layers of the panel", "Of the pierced panel.", "layers", 1, 40, 1),
        number("backing_panels", "Panels behind it", "Plain ones.", "count", 0, 6, 1),
        furniture("inset", "Set in", "From the part's edge, where no frame decides it.", 0.0, 300.0),
        furniture("print_repeat", "Repeat of the print", "As the piece would have it.", 5.0, 600.0),
    ]


def _spread(desk: Desk, path: Path, spec: CushionSpec, scale: float) -> list[Field]:
    """What spreads the buttons of a pattern; those that were placed by hand stay where they are."""
    spaced = desk.written((*path, "spacing"))
    title = "Between buttons"
    wanted = "Wanted between buttons, of the full-size piece: across and up, or one length for both."
    if isinstance(spaced, list):
        value = [] if spec.spacing is None else [round(s * scale, 3) for s in spec.spacing]
        unit = desk.ruler.unit(spaced, "full", None)
        per = 25.4 if unit == "in" else 1.0
        given = [round(v / per, 4) for v in value]
        between = desk.items((*path, "spacing"), title, wanted, given, None, unit=unit)
    else:
        across = None if spec.spacing is None else spec.spacing[0] * scale
        between = desk.length((*path, "spacing"), title, wanted, across, None, 30.0, 400.0, "full")
    edge = None if spec.margin is None else spec.margin * scale
    told = "Left out: as many as the spacing gives."
    return [
        between,
        desk.number((*path, "rows"), "Rows", told, "count", spec.rows, _USUAL.rows, 1, 40),
        desk.number((*path, "columns"), "Columns", told, "count", spec.columns, _USUAL.columns, 1, 40),
        desk.length(
            (*path, "margin"),
            "From the edge",
            "From the panel's edge to the nearest button.",
            edge,
            None,
            0.0,
            400.0,
            "full",
        ),
    ]
