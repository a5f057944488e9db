"""A round or many-sided table or stool on shaped legs that meet on its axis."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from laminature.errors import FormError
from laminature.forms.leg_curves import (
    CURVES,
    Leg,
    check_strong,
    drawn_edge,
    full_panel,
    half_panel,
    outer_edge,
    reach_at,
)
from laminature.forms.outlines import EDGES, top_outline
from laminature.forms.profiles import PROFILES, edge_profile, rim
from laminature.forms.values import Sizes, fill
from laminature.geometry.flat import Flat, grown
from laminature.geometry.path import Path, Segment
from laminature.geometry.pose import Pose, cos_sin, facing
from laminature.geometry.region import Region, regular
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointRule
from laminature.model.part import Face, Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack

#: Ways of joining the legs on the axis, by the number of legs; the first one is the default.
JOININGS: dict[int, tuple[str, ...]] = {
    3: ("hubs",),
    4: ("halved", "full-and-halves", "hubs"),
    5: ("hubs",),
    6: ("thirds", "full-and-halves", "hubs"),
    8: ("hubs", "full-and-halves"),
}

#: Half panels keep this far out of a zone that is not theirs, mm: more than any contact is looked for.
_CLEAR = 2.0

PARAMETERS: tuple[Parameter, ...] = (
    Parameter(
        "height",
        "length",
        "from the floor to the top's upper face",
        609.6,
        150.0,
        1300.0,
        source="end tables are 18-24 in high (woodworking references)",
    ),
    Parameter(
        "width",
        "length",
        "diameter of the circle that the top just fits into",
        609.6,
        150.0,
        2500.0,
        source="as wide as an end table is high; common practice, no source",
    ),
    Parameter("sides", "count", "sides of the top: 3 to 12, or 0 for a round top", 6, 0, 12),
    Parameter("legs", "count", "number of legs: 3, 4, 5, 6 or 8", 4, 3, 8),
    Parameter(
        "joining",
        "choice",
        "how the legs meet on the axis; left out: the usual way for that number of legs",
        choices=("halved", "full-and-halves", "thirds", "hubs"),
    ),
    Parameter("edge", "choice", "shape of the top's edge seen from above", "straight", choices=EDGES),
    Parameter(
        "scallops",
        "count",
        "lobes on each side, of a round top in all; left out: chords of 6 mm",
        None,
        1,
        200,
    ),
    Parameter("scallop_depth", "length", "how far a lobe bulges", None, 0.1, 20.0, realm="mini"),
    Parameter(
        "profile",
        "choice",
        "moulding that the layers of the top's edge step to",
        "straight",
        choices=("straight", *PROFILES),
    ),
    Parameter("top_thickness", "length", "thickness wanted of the top", 25.4, 6.0, 150.0),
    Parameter("top_layers", "layers", "layers of the top, instead of a thickness", None, 1, 40),
    Parameter("rim_layers", "layers", "uppermost layers of the top that are only a rim", 0, 0, 39),
    Parameter("rim_width", "length", "width of the rim", 2.5, 0.5, 60.0, realm="mini"),
    Parameter("leg_thickness", "length", "thickness wanted of the leg panels", 25.4, 6.0, 150.0),
    Parameter("leg_layers", "layers", "layers of the leg panels, instead of a thickness", None, 1, 40),
    Parameter("leg_curve", "choice", "curve of the legs' outer edge", "sabre", choices=CURVES),
    Parameter("leg_path", "path", "your own outer edge of a leg, from its top down, instead of leg_curve"),
    Parameter(
        "leg_top", "length", "distance between opposite legs' outer edges under the top", None, 50.0, 2500.0
    ),
    Parameter(
        "leg_spread", "length", "distance between opposite legs' outer edges on the floor", None, 50.0, 2500.0
    ),
    Parameter("foot_width", "length", "width of a foot on the floor", None, 12.0, 600.0),
    Parameter("arch_height", "length", "height of the arch between the feet", None, 20.0, 1200.0),
)


@dataclass(frozen=True)
class _Plan:
    """What every way of joining needs to know, mm."""

    sizes: Sizes
    legs: int
    stack: Stack
    height: float
    top: float
    web: float

    @property
    def thickness(self) -> float:
        return self.stack.thickness

    def stand_off(self) -> float:
        """Where a square inner edge just touches its neighbour's face: (T / 2) / tan(180° / legs)."""
        cosine, sine = cos_sin(180.0 / self.legs)
        return self.thickness / 2.0 * cosine / sine


def make(values: Values, workshop: Workshop) -> Piece:
    """The table's parts, with rules for its joints.

    Raises FormError for sizes that contradict each other.
    """
    sizes = fill(values, PARAMETERS, workshop.scale)
    sides, legs = sizes.count("sides"), sizes.count("legs")
    if sides in (1, 2):
        raise FormError(f"a top cannot have {sides} sides.", "sides", "Give 3 to 12, or 0 for a round top.")
    if legs not in JOININGS:
        raise FormError(
            f"this table cannot stand on {legs} legs.", "legs", f"Give {', '.join(map(str, JOININGS))}."
        )
    joining = sizes.choice("joining", JOININGS[legs][0])
    if joining not in JOININGS[legs]:
        raise FormError(
            f"{legs} legs cannot be joined by {joining!r}.",
            "joining",
            f"Choose one of {', '.join(JOININGS[legs])}.",
        )
    top = _top(sizes, workshop)
    stack = _stack(sizes, workshop, "leg")
    web = workshop.board.smallest_web(workshop.cutter)
    plan = _Plan(
        sizes, legs, stack, sizes.length("height") - top.thickness, _leg_top(sizes, top, stack, web), web
    )
    if plan.height < 4.0 * plan.thickness:
        raise FormError(
            f"the top leaves legs that are only {sizes.say(max(0.0, plan.height))} high.",
            "height",
            "Make the table higher or its top thinner.",
        )
    parts, rules = _JOINED[joining](plan)
    depth = _tab_depth(plan, top, sizes.count("rim_layers"))
    under = tuple(
        JointRule(("top", p.name), count=2 if p.name.startswith("panel") else 1, depth=depth)
        for p in parts
        if not p.name.startswith("hub")
    )
    round_top = sides == 0 and sizes.choice("edge") == "straight"
    square_on = sizes.choice("edge") == "straight" and sides % 4 == 0
    width = sizes.length("width")
    return Piece(
        "Radial table",
        (top, *parts),
        (*under, *rules),
        size=(
            width
            if round_top or (sides > 0 and sides % 2 == 0 and sizes.choice("edge") == "straight")
            else None,
            width if round_top or square_on else None,
            sizes.length("height"),
        ),
    )


def _top(sizes: Sizes, workshop: Workshop) -> Part:
    stack = _stack(sizes, workshop, "top")
    depth = sizes.length("scallop_depth") if sizes.given("scallop_depth") else None
    scallops = sizes.count("scallops") if sizes.given("scallops") else None
    outline = top_outline(sizes.count("sides"), sizes.length("width"), sizes.choice("edge"), scallops, depth)
    # With a rim the moulding is the rim's and the floor's alike: it runs over the whole edge.
    return Part(
        "top",
        "Top",
        outline,
        stack,
        Pose((0.0, 0.0, sizes.length("height") - stack.thickness)),
        show=frozenset[Face]({"upper"}),
        profile=edge_profile(sizes.choice("profile"), stack),
        rim=rim(outline, stack, sizes.count("rim_layers"), sizes.length("rim_width")),
        wanted_thickness=None if sizes.given("top_layers") else sizes.length("top_thickness"),
    )


def _tab_depth(plan: _Plan, top: Part, rim_layers: int) -> int:
    """How many of the top's layers the legs' tabs enter: at most three, and fewer under a narrow top.

    A tab wants to be three times as wide as it is deep, and there is little room for it
    between the middle, where legs meet, and the legs' outer edges.
    """
    depth = top.stack.count - 1 - rim_layers
    if depth < 1:
        raise FormError(
            f"a top of {top.stack.count} layers has none left for tabs below its rim and upper face.",
            "rim_layers",
            "Give the top more layers, or the rim fewer.",
        )
    # Tabs keep one thickness of the top from the ends, and clear of whatever crosses in the middle.
    room = plan.top - plan.thickness - 2.0 - 2.0 * top.thickness
    depth = min(depth, 3)
    while depth > 1 and 3.0 * top.stack.bounds[depth] > room:
        depth -= 1
    return depth


def _stack(sizes: Sizes, workshop: Workshop, what: str) -> Stack:
    if sizes.given(f"{what}_layers"):
        return workshop.layers(sizes.count(f"{what}_layers"))
    return workshop.stack_for(sizes.length(f"{what}_thickness"))


def _leg_top(sizes: Sizes, top: Part, stack: Stack, web: float) -> float:
    """How far from the axis the legs end under the top, checked to lie under it, mm."""
    nearest = _nearest(np.asarray(top.outline.flat.exterior.coords))
    # The corners of a leg's square upper end stay a web away from the edge.
    widest = math.sqrt(max(0.0, (nearest - web) ** 2 - (stack.thickness / 2.0) ** 2))
    reach = sizes.length("leg_top", 2.0 * min(0.86 * nearest, 0.99 * widest)) / 2.0
    room = grown(top.outline.flat, -web)
    half = stack.thickness / 2.0
    across = np.array([(0.0, -half), (reach, -half), (reach, half), (0.0, half)])
    for i in range(sizes.count("legs")):
        cosine, sine = cos_sin(360.0 * i / sizes.count("legs"))
        if not room.contains(Flat(across @ np.array([[cosine, sine], [-sine, cosine]]))):
            raise FormError(
                f"legs {sizes.say(2.0 * reach)} apart under the top do not stay under it.",
                "leg_top",
                f"Give at most about {sizes.say(2.0 * widest)}.",
            )
    return reach


def _nearest(ring: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Distance from the origin to a closed ring of points, mm."""
    p, d = ring[:-1], np.diff(ring, axis=0)
    t = np.clip(-(p * d).sum(axis=1) / (d * d).sum(axis=1), 0.0, 1.0)
    return float(np.hypot(*(p + d * t[:, None]).T).min())


def _leg(plan: _Plan, inner: float) -> Leg:
    sizes = plan.sizes
    curve, outer = sizes.choice("leg_curve"), _outer(plan)
    foot = outer[-1].end[0]
    widest = sizes.length("width") / 2.0
    # A curve may swell further out than its ends.
    out = float(Path(outer, closed=False).flattened[:, 0].max())
    if out > widest + 1e-9:
        raise FormError(
            f"legs {sizes.say(2.0 * out)} apart stand out beyond the top.",
            "leg_path" if sizes.given("leg_path") else "leg_spread",
            f"Let them reach {sizes.say(2.0 * widest)} at most.",
        )
    foot_width = sizes.length("foot_width", max(plan.web, (0.22 if curve == "tapered" else 0.32) * foot))
    arch = sizes.length("arch_height", 0.5 * plan.height)
    least = max(4.0 * plan.thickness, 6.0 * plan.web)
    if foot_width < plan.web:
        raise FormError(
            f"a foot {sizes.say(foot_width)} wide is thinner than the cutter leaves whole.",
            "foot_width",
            f"Give at least {sizes.say(plan.web)}.",
        )
    if plan.height - arch < min(least, 0.25 * plan.height):
        raise FormError(
            f"an arch {sizes.say(arch)} high leaves too little of the legs to join on the axis.",
            "arch_height",
            f"Give at most {sizes.say(max(0.0, plan.height - min(least, 0.25 * plan.height)))}.",
        )
    return Leg(plan.height, outer, inner, foot_width, arch, square=curve == "bracket")


def _outer(plan: _Plan) -> tuple[Segment, ...]:
    """The legs' outer edge from the top down: the maker's own path, or a named curve."""
    sizes = plan.sizes
    if sizes.given("leg_path"):
        if sizes.given("leg_spread"):
            raise FormError(
                "leg_path already says where the feet stand.", "leg_spread", "Leave out one of the two."
            )
        return drawn_edge(sizes.text("leg_path"), plan.top, plan.height)
    curve = sizes.choice("leg_curve")
    spread = min(sizes.length("width") / 2.0, plan.top * (1.12 if curve in ("sabre", "cyma") else 1.0))
    return outer_edge(curve, plan.top, sizes.length("leg_spread", 2.0 * spread) / 2.0, plan.height)


def _panel(plan: _Plan, name: str, title: str, outline: Region, degrees: float) -> Part:
    """A panel standing on the floor, its own x axis outwards in this direction, its middle on the axis."""
    cosine, sine = cos_sin(degrees)
    half = plan.thickness / 2.0
    # The stack grows along x × up = (sine, -cosine): begin half a thickness before the middle.
    pose = facing((-half * sine, half * cosine, 0.0), (cosine, sine, 0.0), (0.0, 0.0, 1.0))
    return Part(name, title, outline, plan.stack, pose, wanted_thickness=_wanted(plan))


def _wanted(plan: _Plan) -> float | None:
    return None if plan.sizes.given("leg_layers") else plan.sizes.length("leg_thickness")


def _full(plan: _Plan) -> Region:
    leg = _leg(plan, 0.0)
    region = full_panel(leg)
    check_strong(region, plan.web)
    return region


Made = tuple[tuple[Part, ...], tuple[JointRule, ...]]


def _crossing(plan: _Plan) -> Made:
    """Full panels of two legs each, all crossing on the axis: two are halved, three notched in thirds."""
    outline, count = _full(plan), plan.legs // 2
    return (
        tuple(_panel(plan, f"panel-{i + 1}", "Leg panel", outline, 180.0 * i / count) for i in range(count)),
        (),
    )


def _full_and_halves(plan: _Plan) -> Made:
    """One full panel, and half panels whose tabs alternate in height, each entering to full depth.

    All halves stand off so far that the tabs of their neighbours pass them. With eight legs
    the two that stand square to the full panel would then not reach it: they do so in a zone
    of their own under the top, out of which the others keep.
    """
    full = _panel(plan, "panel-1", "Leg panel", _full(plan), 0.0)
    directions = [360.0 * i / plan.legs for i in range(plan.legs) if i not in (0, plan.legs // 2)]
    parts, rules = [full], [JointRule(("half-*", "half-*"), kind="none")]
    square = [d for d in directions if abs(d % 180.0 - 90.0) < 1e-9]
    oblique = [d for d in directions if d not in square]
    leg = _leg(plan, plan.stand_off())
    zone = leg.arch + 0.64 * (leg.height - leg.arch)
    for i, degrees in enumerate(directions):
        alike = square if degrees in square else oblique
        inner = plan.thickness / 2.0 if degrees in square else plan.stand_off() + _CLEAR
        outline = half_panel(leg, (zone, inner) if square and oblique else None)
        check_strong(outline, plan.web)
        name = f"half-{i + 1}"
        part = _panel(plan, name, "Half leg panel", outline, degrees)
        parts.append(replace(part, square_edges=degrees in oblique))
        share = (alike.index(degrees), len(alike))
        rules.append(JointRule((full.name, name), kind="tabs", through=True, share=share))
    return tuple(parts), tuple(rules)


def _hubs(plan: _Plan) -> Made:
    """Legs of their own, halved into the rims of two level plates."""
    inner = max(plan.stand_off() + plan.web, 0.16 * plan.top)
    leg = _leg(plan, inner)
    outline = half_panel(leg)
    check_strong(outline, plan.web)
    room = plan.height - leg.arch
    if room * 0.25 - plan.thickness < plan.web:
        raise FormError(
            "the arch leaves no room for two hubs above it.",
            "arch_height",
            "Make the arch lower or the table higher.",
        )
    parts = []
    for name, title, share in (("hub-lower", "Lower hub", 0.3), ("hub-upper", "Upper hub", 0.75)):
        middle = leg.arch + share * room
        radius = inner + 0.5 * (
            min(reach_at(leg, middle - plan.thickness), reach_at(leg, middle + plan.thickness)) - inner
        )
        pose = Pose((0.0, 0.0, middle - plan.thickness / 2.0))
        parts.append(
            Part(name, title, _hub(plan.legs, radius), plan.stack, pose, wanted_thickness=_wanted(plan))
        )
        # Half of the overlap is notched out of the leg, half out of the hub: each needs a web beside it.
        if radius - inner < 2.5 * plan.web:
            raise FormError(
                "the legs are too slender where the hubs hold them.",
                "leg_top",
                "Spread the legs wider, make them thinner, or choose another joining.",
            )
    legs = tuple(
        _panel(plan, f"leg-{i + 1}", "Leg", outline, 360.0 * i / plan.legs) for i in range(plan.legs)
    )
    return (*parts, *legs), (JointRule(("leg-*", "leg-*"), kind="none"),)


def _hub(legs: int, reach: float) -> Region:
    """A plate with a straight side square to each leg, so that every layer's slot is as long as the next."""
    sides = legs if legs >= 5 else 2 * legs
    cosine, _ = cos_sin(180.0 / sides)
    return regular(sides, 2.0 * reach / cosine, 180.0 / sides)


_JOINED: dict[str, Callable[[_Plan], Made]] = {
    "halved": _crossing,
    "thirds": _crossing,
    "full-and-halves": _full_and_halves,
    "hubs": _hubs,
}

FORM = Form(
    "radial-table",
    "Radial table",
    "a round or many-sided table or stool on 3 to 8 shaped legs that meet on its axis",
    PARAMETERS,
    make,
)
