"""The legs of a radial table, and the ways in which they are joined on its axis."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from laminature.errors import FormError
from laminature.forms.leg_curves import (
    Leg,
    check_strong,
    drawn_edge,
    full_panel,
    half_panel,
    outer_edge,
    reach_at,
)
from laminature.forms.values import Sizes
from laminature.geometry.path import Path, Segment
from laminature.geometry.pose import Pose, cos_sin, facing
from laminature.geometry.region import Region, regular
from laminature.model.fit import Fit
from laminature.model.joint import JointRule
from laminature.model.part import Part
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
#: A full panel goes on as it is on the axis this far beyond what passes there, mm: more than any fit.
_MARGIN = 0.6


@dataclass(frozen=True)
class LegPlan:
    """What every way of joining needs to know, mm.

    ``height`` is that of the top's lower face, ``top`` how far out the legs end under it, ``web``
    the thinnest web that the cutter leaves whole. ``fit`` is the one that joints get.
    """

    sizes: Sizes
    legs: int
    stack: Stack
    height: float
    top: float
    web: float
    fit: Fit

    @property
    def thickness(self) -> float:
        """Real thickness of every leg panel, mm."""
        return self.stack.thickness

    def stand_off(self) -> float:
        """Where a square inner edge just touches its neighbour's face: (T / 2) / tan(180° / legs)."""
        cosine, sine = cos_sin(180.0 / self.legs)
        return self.thickness / 2.0 * cosine / sine

    def level(self) -> float:
        """How far from the axis a full panel has to stay as it is on the axis itself.

        Within that its neighbours pass, grown by their clearance: notches would not end where they do
        on the axis.
        """
        return self.stand_off() + _MARGIN


def _leg(plan: LegPlan, inner: float) -> Leg:
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
            f"Let them reach {sizes.most(2.0 * widest)} at most.",
        )
    foot_width = sizes.length("foot_width", max(plan.web, (0.22 if curve == "tapered" else 0.32) * foot))
    # Six halves on one full panel want more height for their tabs.
    crowded = plan.legs == 8 and sizes.choice("joining", "hubs") == "full-and-halves"
    arch = sizes.length("arch_height", (0.45 if crowded else 0.5) * plan.height)
    least = max(4.0 * plan.thickness, 6.0 * plan.web)
    if foot_width < plan.web:
        raise FormError(
            f"a foot {sizes.say(foot_width)} wide is thinner than the cutter leaves whole.",
            "foot_width",
            f"Give at least {sizes.least(plan.web)}.",
        )
    if plan.height - arch < min(least, 0.25 * plan.height):
        raise FormError(
            f"an arch {sizes.say(arch)} high leaves too little of the legs to join on the axis.",
            "arch_height",
            f"Give at most {sizes.most(max(0.0, plan.height - min(least, 0.25 * plan.height)))}.",
        )
    level = plan.level() if inner == 0.0 else 0.0
    nearest = float(Path(outer, closed=False).flattened[:, 0].min())
    if nearest < max(level, inner) + plan.web:
        raise FormError(
            f"legs {sizes.say(plan.thickness)} thick fill all the room between their outer edges.",
            "leg_thickness",
            "Make the legs thinner, or their tops and feet further apart.",
        )
    return Leg(plan.height, outer, inner, foot_width, arch, square=curve == "bracket", level=level)


def _outer(plan: LegPlan) -> tuple[Segment, ...]:
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


def _panel(plan: LegPlan, name: str, title: str, outline: Region, degrees: float) -> Part:
    """A panel standing on the floor, its own x axis outwards in this direction, its middle on the axis."""
    cosine, sine = cos_sin(degrees)
    half = plan.thickness / 2.0
    # The stack grows along x × up = (sine, -cosine): begin half a thickness before the middle.
    pose = facing((-half * sine, half * cosine, 0.0), (cosine, sine, 0.0), (0.0, 0.0, 1.0))
    return Part(name, title, outline, plan.stack, pose, wanted_thickness=_wanted(plan))


def _wanted(plan: LegPlan) -> float | None:
    return None if plan.sizes.given("leg_layers") else plan.sizes.length("leg_thickness")


def _full(plan: LegPlan) -> Region:
    leg = _leg(plan, 0.0)
    region = full_panel(leg)
    check_strong(region, plan.web)
    return region


Made = tuple[tuple[Part, ...], tuple[JointRule, ...]]


def _crossing(plan: LegPlan) -> Made:
    """Full panels of two legs each, all crossing on the axis: two are halved, three notched in thirds."""
    outline, count = _full(plan), plan.legs // 2
    room = plan.height - plan.sizes.length("arch_height", 0.5 * plan.height)
    # Each of the panels keeps its share of the axis; a lower notch than this holds nothing.
    if room < count * max(2.0, plan.web):
        raise FormError(
            f"only {plan.sizes.say(room)} of the axis is left above the arch for {count} panels to share.",
            "arch_height",
            f"They need {plan.sizes.say(count * max(2.0, plan.web))}: make the arch lower or the table "
            "higher, or choose another joining.",
        )
    return (
        tuple(_panel(plan, f"panel-{i + 1}", "Leg panel", outline, 180.0 * i / count) for i in range(count)),
        (),
    )


def _full_and_halves(plan: LegPlan) -> Made:
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
    if square and oblique:
        _check_tabs(plan, zone - leg.arch, len(oblique))
        _check_tabs(plan, leg.height - zone, len(square))
    else:
        _check_tabs(plan, leg.height - leg.arch, len(oblique or square))
    for i, degrees in enumerate(directions):
        alike = square if degrees in square else oblique
        inner = plan.thickness / 2.0 if degrees in square else plan.stand_off() + _CLEAR
        # Below its zone a square half is clearly away from the full panel, however thin they are.
        below = max(leg.inner, plan.thickness / 2.0 + _CLEAR / 2.0) if degrees in square else leg.inner
        one = replace(leg, inner=below if oblique else inner)
        outline = half_panel(one, (zone, inner) if square and oblique else None)
        check_strong(outline, plan.web)
        name = f"half-{i + 1}"
        part = _panel(plan, name, "Half leg panel", outline, degrees)
        parts.append(replace(part, square_edges=degrees in oblique))
        share = (alike.index(degrees), len(alike))
        rules.append(JointRule((full.name, name), kind="tabs", through=True, share=share))
    return tuple(parts), tuple(rules)


def _check_tabs(plan: LegPlan, room: float, count: int) -> None:
    """Raise FormError where ``count`` tabs above each other in ``room`` mm would be too narrow to cut.

    As joints share a line: one thickness stays free at both ends, and a web between two slots.
    """
    apart = plan.web + 0.1 + 2.0 * plan.fit.lengthwise
    tab = (room - 2.0 * plan.thickness + apart) / count - apart
    least = max(plan.web, 0.5 * plan.thickness)
    if tab < least:
        raise FormError(
            f"between top and arch there is no room for {count} tabs above each other.",
            "arch_height",
            f"Make the arch about {plan.sizes.least(count * (least - tab))} lower, the table higher, "
            "the legs thinner, or choose another joining.",
        )


def _hubs(plan: LegPlan) -> Made:
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


JOINED: dict[str, Callable[[LegPlan], Made]] = {
    "halved": _crossing,
    "thirds": _crossing,
    "full-and-halves": _full_and_halves,
    "hubs": _hubs,
}
