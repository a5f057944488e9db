"""A boxed seat: a board on four leg panels that enter it from below and lock at the corners.

The long panels run over the whole length of the box, the short ones stand between them. It
goes together by straight moves: the short panels onto one long panel, the other long panel
onto both, the seat down onto the tabs of all four, and the frame glued on last.
"""

from __future__ import annotations

from dataclasses import dataclass

from laminature.errors import FormError
from laminature.forms.aprons import APRONS, apron_panel
from laminature.forms.carcase import (
    CLEAR_OF_CORNER,
    centred,
    half_depth,
    level,
    stack_of,
    thickness_parameters,
    upright,
    wanted,
)
from laminature.forms.values import Sizes, fill
from laminature.geometry.region import Region
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointKind, JointRule
from laminature.model.part import Face, Part
from laminature.model.piece import Cushion, Piece
from laminature.model.stack import Stack

_INCH = 25.4
_NYE = "chair seats 18 in high: A. C. Nye, in an old construction superintendence handbook"
_SET_IN_SPARE = 1.5
#: The smallest panel that can still be covered, actual size, mm (common practice, no source).
_LEAST_CUSHION = 5.0

PARAMETERS: tuple[Parameter, ...] = (
    Parameter("width", "length", "Length of the seat board, from left to right.", 48 * _INCH, 300.0, 3000.0),
    Parameter("depth", "length", "Depth of the seat board, from front to back.", 18 * _INCH, 200.0, 1500.0),
    Parameter(
        "height",
        "length",
        "From the floor to where one sits: the top of the cushion; without one, of the frame or seat.",
        18 * _INCH,
        150.0,
        1200.0,
        source=_NYE + "; EN 1729-1 gives 430 and 460 mm for its sizes 5 and 6",
    ),
    *thickness_parameters("seat", "the seat board", _INCH),
    *thickness_parameters("panel", "each leg panel", _INCH),
    Parameter(
        "overhang",
        "length",
        "How far the seat runs past the panels all round. Left out: just enough that the tabs stand clear "
        "of the seat's edge.",
        None,
        0.0,
        300.0,
    ),
    Parameter(
        "corners",
        "choice",
        "How the panels lock at the corners: rebate (one layer's edge shows), fingers (they show on both "
        "faces), or housing (the short panels stand in from the ends and go into grooves).",
        "rebate",
        choices=("rebate", "fingers", "housing"),
    ),
    Parameter(
        "set_in",
        "length",
        "With housed corners, how far the short panels stand in from the ends of the long ones.",
        None,
        0.0,
        600.0,
    ),
    Parameter(
        "through",
        "flag",
        "The old way: slots through every layer of the seat, their tabs sanded flush with its top. "
        "They show unless a cushion covers them. Otherwise the joints are blind and the top stays whole.",
        False,
    ),
    Parameter("apron", "choice", "The curve of the lower edge of each panel.", "ogee", choices=APRONS),
    Parameter(
        "short_apron",
        "choice",
        "The curve of the two short panels. Left out, it is that of the long ones.",
        None,
        choices=APRONS,
    ),
    Parameter("rise", "length", "How high the apron is cut; 0 leaves it whole.", 4 * _INCH, 0.0, 1000.0),
    Parameter("foot", "length", "Width of each foot, from the corner of the box.", 4 * _INCH, 10.0, 800.0),
    Parameter(
        "frame",
        "choice",
        "What holds the cushion: a ring in one part, four rails (less board), or none. Left out: a ring "
        "where the design has a cushion.",
        None,
        choices=("ring", "rails", "none"),
    ),
    Parameter("frame_width", "length", "Width of the frame's rails.", 2 * _INCH, 10.0, 300.0),
    Parameter(
        "frame_height",
        "length",
        "How high the frame stands on the seat. Left out: half as high as the cushion.",
        None,
        3.0,
        300.0,
    ),
)


@dataclass(frozen=True)
class _Measures:
    """What every part of a boxed seat is drawn from, mm."""

    width: float
    depth: float
    seat: Stack
    leg: Stack
    frame: Stack | None
    seat_top: float
    box_width: float
    box_depth: float
    set_in: float

    @property
    def under_seat(self) -> float:
        return self.seat_top - self.seat.thickness

    @property
    def top(self) -> float:
        return self.seat_top + (0.0 if self.frame is None else self.frame.thickness)


def make(values: Values, workshop: Workshop) -> Piece:
    """The parts of a boxed seat. Raises FormError for sizes that contradict each other."""
    sizes = fill(values, PARAMETERS, workshop.scale)
    m = _measure(sizes, workshop)
    seat = Part(
        "seat",
        "Seat",
        centred(m.width, m.depth),
        m.seat,
        level(m.under_seat),
        show=frozenset({"upper"}),
        wanted_thickness=wanted("seat", sizes),
    )
    frame, cushions = _frame_and_cushion(m, sizes, workshop)
    parts = (seat, *_panels(m, sizes, workshop), *frame)
    return Piece("Boxed seat", parts, _rules(m, sizes), cushions=cushions, size=(m.width, m.depth, m.top))


def _measure(sizes: Sizes, workshop: Workshop) -> _Measures:
    seat, leg = stack_of("seat", sizes, workshop), stack_of("panel", sizes, workshop)
    frame = _frame_stack(sizes, workshop)
    height, cushion = sizes.length("height"), workshop.cushion("seat")
    if cushion is not None:
        seat_top = height - cushion.height
    else:
        seat_top = height - (0.0 if frame is None else frame.thickness)
    least = seat.thickness + CLEAR_OF_CORNER
    overhang = sizes.length("overhang", max(1.25 * _INCH / sizes.scale, least))
    if overhang < least:
        raise FormError(
            f"an overhang of {sizes.say(overhang)} puts the slots too near the edge of the seat.",
            "overhang",
            f"Give at least {sizes.least(least)}, or leave it out.",
        )
    set_in = 0.0
    if sizes.choice("corners") == "housing":
        least = leg.thickness + CLEAR_OF_CORNER
        set_in = sizes.length("set_in", max(_INCH / sizes.scale, _SET_IN_SPARE * leg.thickness))
        if set_in < least:
            raise FormError(
                f"short panels set in by {sizes.say(set_in)} would break out of the long ones' ends.",
                "set_in",
                f"Give at least {sizes.least(least)}, or choose rebated or fingered corners.",
            )
    box_width = sizes.length("width") - 2.0 * overhang
    box_depth = sizes.length("depth") - 2.0 * overhang
    for name, room in (("width", box_width - 2.0 * set_in), ("depth", box_depth)):
        if room < 6.0 * leg.thickness:
            raise FormError(
                f"a {name} of {sizes.say(sizes.length(name))} leaves no room for the box under the seat.",
                name,
                "Make the seat larger, its overhang smaller, or the panels thinner.",
            )
    return _Measures(
        sizes.length("width"), sizes.length("depth"), seat, leg, frame, seat_top, box_width, box_depth, set_in
    )


def _panels(m: _Measures, sizes: Sizes, workshop: Workshop) -> tuple[Part, ...]:
    t, foot, rise = m.leg.thickness, sizes.length("foot"), sizes.length("rise")
    web, opening = (
        workshop.board.smallest_web(workshop.cutter),
        workshop.board.smallest_opening(workshop.cutter),
    )
    if m.under_seat < 3.0 * t:
        raise FormError(
            f"a height of {sizes.say(sizes.length('height'))} leaves "
            + (sizes.say(m.under_seat) if m.under_seat > 0.0 else "nothing")
            + " for the legs, after cushion and seat.",
            "height",
            "Make it higher, or cushion and seat thinner.",
        )
    if m.under_seat - rise < max(t, 2.0 * web):
        raise FormError(
            f"an apron that rises by {sizes.say(rise)} leaves too little of panels that are "
            f"{sizes.say(m.under_seat)} high.",
            "rise",
            "Let it rise less, or make the seat higher.",
        )
    least = m.set_in + (1.5 if m.set_in else 2.0) * t if rise else 0.0
    if rise and foot < least - 1e-9:
        raise FormError(
            f"feet of {sizes.say(foot)} are too narrow for the corner of two panels.",
            "foot",
            f"Give at least {sizes.least(least)}, or an apron with a rise of 0.",
        )
    curve = sizes.choice("apron")

    def apron(which: str, length: float, foot: float, curve: str) -> Region:
        try:
            return apron_panel(length, m.under_seat, foot, rise, curve, opening=opening, sizes=sizes)
        except FormError as error:
            raise FormError(f"the {which} panels: {error.message}", error.parameter, error.remedy) from error

    long = apron("long", m.box_width, foot, curve)
    short = apron("short", m.box_depth - 2.0 * t, foot - t, sizes.choice("short_apron", curve))
    across, along = m.box_depth / 2.0 - t, m.box_width / 2.0 - m.set_in - t
    thick = wanted("panel", sizes)

    def leg(name: str, title: str, outline: Region, side: str, inner: float) -> Part:
        outside: frozenset[Face] = frozenset({"upper"})
        return Part(name, title, outline, m.leg, upright(side, inner), show=outside, wanted_thickness=thick)

    return (
        leg("long-front", "Long panel, front", long, "front", across),
        leg("long-back", "Long panel, back", long, "back", across),
        leg("short-left", "Short panel, left", short, "left", along),
        leg("short-right", "Short panel, right", short, "right", along),
    )


def _frame_stack(sizes: Sizes, workshop: Workshop) -> Stack | None:
    cushion = workshop.cushion("seat")
    if sizes.choice("frame", "none" if cushion is None else "ring") == "none":
        if sizes.given("frame_height"):
            raise FormError(
                "there is a frame_height, but no frame.", "frame_height", "Choose a frame, or leave it out."
            )
        return None
    usual = 1.5 * _INCH / sizes.scale if cushion is None else cushion.height / 2.0
    frame = workshop.stack_for(sizes.length("frame_height", usual))
    if cushion is not None and frame.thickness >= cushion.height:
        raise FormError(
            f"the frame is {sizes.say(frame.thickness)} high, and the cushion of {sizes.say(cushion.height)} "
            "would sink below its rim.",
            "frame_height",
            "Lower the frame, or give the cushion more batting.",
        )
    return frame


def _frame_and_cushion(
    m: _Measures, sizes: Sizes, workshop: Workshop
) -> tuple[tuple[Part, ...], tuple[Cushion, ...]]:
    rail = sizes.length("frame_width") if m.frame is not None else 0.0
    inner = (m.width - 2.0 * rail, m.depth - 2.0 * rail)
    if m.frame is not None:
        web = workshop.board.smallest_web(workshop.cutter)
        if rail < web:
            raise FormError(
                f"rails of {sizes.say(rail)} are narrower than the board allows.",
                "frame_width",
                f"Give at least {sizes.least(web)}.",
            )
    cushion, smallest = workshop.cushion("seat"), min(inner)
    if cushion is not None:
        smallest -= 2.0 * (cushion.side + cushion.clearance)
    if smallest < _LEAST_CUSHION:
        raise FormError(
            f"rails of {sizes.say(rail)} leave no opening for a cushion.",
            "frame_width",
            "Make the rails narrower, or the seat larger.",
        )
    frame = _frame(m, sizes, rail, inner)
    if cushion is None:
        return frame, ()
    around = 2.0 * (cushion.side + cushion.clearance)
    outline = centred(inner[0] - around, inner[1] - around)
    rim = 0.0 if m.frame is None else m.frame.thickness
    return frame, (Cushion("cushion", "seat", cushion, outline, rim),)


def _frame(m: _Measures, sizes: Sizes, rail: float, inner: tuple[float, float]) -> tuple[Part, ...]:
    if m.frame is None:
        return ()
    stack, on = m.frame, m.seat_top
    asked = sizes.length("frame_height", -1.0)
    thick = asked if asked > 0.0 else None
    faces: frozenset[Face] = frozenset({"upper"})
    outer = centred(m.width, m.depth)
    if sizes.choice("frame", "ring") == "ring":
        ring = Region(outer.outline, (centred(*inner).outline,))
        return (Part("frame", "Frame", ring, stack, level(on), show=faces, wanted_thickness=thick),)
    long, short = centred(m.width, rail), centred(rail, inner[1])
    x, y = (m.width - rail) / 2.0, (m.depth - rail) / 2.0
    return tuple(
        Part(f"frame-{name}", f"Frame, {name}", outline, stack, level(on, *at), faces, wanted_thickness=thick)
        for name, outline, at in (
            ("front", long, (0.0, -y)),
            ("back", long, (0.0, y)),
            ("left", short, (-x, 0.0)),
            ("right", short, (x, 0.0)),
        )
    )


def _rules(m: _Measures, sizes: Sizes) -> tuple[JointRule, ...]:
    corners: JointKind = "rebate"
    depth: int | None = None
    if sizes.choice("corners") == "fingers":
        corners = "fingers"
    elif sizes.choice("corners") == "housing":
        corners, depth = "housing", half_depth(m.leg, "a leg panel", "panel_layers")
    into_seat = (JointRule(("seat", pattern), "tabs", through=sizes.flag("through")) for pattern in _LEGS)
    return (
        *into_seat,
        # A groove from floor to seat would cut the inner layers of the long panels in two.
        JointRule(("long-*", "short-*"), corners, depth=depth, stopped="both" if depth else None),
        JointRule(("seat", "frame*"), "glue"),
    )


_LEGS = ("long-*", "short-*")

FORM = Form(
    "boxed-seat",
    "Boxed seat",
    "A seat board on four leg panels with shaped aprons, and a frame on it for a drop-in cushion.",
    PARAMETERS,
    make,
)
