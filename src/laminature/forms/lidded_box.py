"""A box with a lid: four walls, a bottom housed into all of them, and a lid that lifts off.

It goes together by straight moves: front and back onto the bottom, the two ends from left and
right onto the bottom and the corners; the lid's ring is glued to its plate apart from the box.
"""

from __future__ import annotations

from dataclasses import dataclass

from laminature.errors import FormError
from laminature.forms.carcase import (
    CLEAR_OF_CORNER,
    centred,
    half_depth,
    level,
    panel,
    stack_of,
    thickness_parameters,
    upright,
    wanted,
)
from laminature.forms.profiles import PROFILES, edge_profile
from laminature.forms.values import Sizes, fill
from laminature.geometry.region import Region
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointKind, JointRule
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack

_INCH = 25.4
#: Room that has to be left inside, between bottom and lid, actual size, mm.
_LEAST_ROOM = 2.0

PARAMETERS: tuple[Parameter, ...] = (
    Parameter("width", "length", "Whole width, over the lid.", 36 * _INCH, 60.0, 2000.0),
    Parameter("depth", "length", "Whole depth, over the lid.", 20 * _INCH, 60.0, 1500.0),
    Parameter("height", "length", "Whole height, with the lid on.", 20 * _INCH, 50.0, 1500.0),
    *thickness_parameters("wall", "each wall", _INCH),
    *thickness_parameters("bottom", "the bottom", _INCH),
    *thickness_parameters("lid", "the lid's plate", _INCH),
    Parameter(
        "corners",
        "choice",
        "How the walls meet: rebate (one layer's edge shows) or fingers (they show on both faces).",
        "rebate",
        choices=("rebate", "fingers"),
    ),
    Parameter(
        "bottom_up",
        "length",
        "How far the bottom lies above the floor. Left out: as low as its housings allow.",
        None,
        0.0,
        300.0,
    ),
    Parameter(
        "lid",
        "choice",
        "What keeps the lid in place, glued under its plate: a lip inside the walls, or a cap round them.",
        "lip",
        choices=("lip", "cap"),
    ),
    Parameter(
        "lid_overhang",
        "length",
        "How far the plate runs past the walls (lip) or past the ring (cap).",
        1 * _INCH,
        0.0,
        150.0,
    ),
    Parameter("ring_width", "length", "Width of the lip or cap, seen from above.", 1.25 * _INCH, 5.0, 200.0),
    Parameter("ring_height", "length", "How deep the lip or cap reaches down.", 1 * _INCH, 3.0, 300.0),
    Parameter(
        "clearance",
        "length",
        "Gap between lid and walls on each side, at miniature scale.",
        0.25,
        0.05,
        1.0,
        realm="mini",
        source="from memory; adjust to your finish",
    ),
    Parameter(
        "lid_edge",
        "choice",
        "The moulding of the lid's edge, stepped by layers.",
        "thumbnail",
        choices=("straight", *PROFILES),
    ),
)


@dataclass(frozen=True)
class _Measures:
    """What every part of the box is drawn from, mm. ``width`` and ``depth`` are over the walls."""

    width: float
    depth: float
    walls: float
    wall: Stack
    bottom: Stack
    plate: Stack
    ring: Stack
    bottom_up: float

    @property
    def inner(self) -> tuple[float, float]:
        t = 2.0 * self.wall.thickness
        return self.width - t, self.depth - t


def make(values: Values, workshop: Workshop) -> Piece:
    """The parts of a box with a lid. Raises FormError for sizes that contradict each other."""
    sizes = fill(values, PARAMETERS, workshop.scale)
    m = _measure(sizes, workshop)
    parts = (*_walls(m, sizes), *_lid(m, sizes))
    depth = half_depth(m.wall, "a wall", "wall_layers")
    corners: JointKind = "fingers" if sizes.choice("corners") == "fingers" else "rebate"
    rules = (
        JointRule(("wall-*", "wall-*"), corners),
        JointRule(("wall-*", "bottom"), "housing", depth=depth),
        # A groove from end to end would cut the inner layers of the short walls in two.
        JointRule(("wall-left", "bottom"), stopped="both"),
        JointRule(("wall-right", "bottom"), stopped="both"),
        JointRule(("lid", "lid-ring"), "glue"),
    )
    size = (sizes.length("width"), sizes.length("depth"), sizes.length("height"))
    return Piece("Box with a lid", parts, rules, size=size)


def _measure(sizes: Sizes, workshop: Workshop) -> _Measures:
    wall, bottom, plate = (stack_of(name, sizes, workshop) for name in ("wall", "bottom", "lid"))
    ring = workshop.stack_for(sizes.length("ring_height"))
    around = sizes.length("lid_overhang")
    if sizes.choice("lid") == "cap":
        around += sizes.length("ring_width") + sizes.length("clearance")
    width, depth = sizes.length("width") - 2.0 * around, sizes.length("depth") - 2.0 * around
    for name, over in (("width", width), ("depth", depth)):
        if over < 6.0 * wall.thickness:
            raise FormError(
                f"a {name} of {sizes.say(sizes.length(name))} leaves no room for the box under its lid.",
                name,
                "Make the box larger, its walls thinner, or the lid's overhang and ring smaller.",
            )
    least = wall.thickness + CLEAR_OF_CORNER
    bottom_up = sizes.length("bottom_up", max(least, 1.25 * wall.thickness))
    if bottom_up < least:
        raise FormError(
            f"a bottom {sizes.say(bottom_up)} above the floor has its housings too near the walls' edge.",
            "bottom_up",
            f"Give at least {sizes.least(least)}, or leave it out.",
        )
    walls = sizes.length("height") - plate.thickness
    lip = ring.thickness if sizes.choice("lid") == "lip" else 0.0
    room = walls - bottom_up - bottom.thickness - lip
    if room < _LEAST_ROOM:
        raise FormError(
            f"a height of {sizes.say(sizes.length('height'))} leaves no room between bottom and lid.",
            "height",
            "Make the box higher, or bottom and lid thinner.",
        )
    if sizes.choice("lid") == "cap" and ring.thickness > walls:
        raise FormError(
            f"a cap of {sizes.say(ring.thickness)} reaches below the floor.",
            "ring_height",
            f"Give at most {sizes.most(walls)}.",
        )
    m = _Measures(width, depth, walls, wall, bottom, plate, ring, bottom_up)
    _check_ring(m, sizes, workshop)
    return m


def _check_ring(m: _Measures, sizes: Sizes, workshop: Workshop) -> None:
    wide = sizes.length("ring_width")
    web, opening = (
        workshop.board.smallest_web(workshop.cutter),
        workshop.board.smallest_opening(workshop.cutter),
    )
    if wide < web:
        raise FormError(
            f"a ring of {sizes.say(wide)} under the lid is narrower than the board allows.",
            "ring_width",
            f"Give at least {sizes.least(web)}.",
        )
    left = min(m.inner) - 2.0 * (sizes.length("clearance") + wide)
    if sizes.choice("lid") == "lip" and left < opening:
        raise FormError(
            f"a lip of {sizes.say(wide)} leaves no opening within the walls.",
            "ring_width",
            "Make the lip narrower, or the box larger.",
        )


def _walls(m: _Measures, sizes: Sizes) -> tuple[Part, ...]:
    thick = wanted("wall", sizes)
    inner_width, inner_depth = m.inner
    sides = (
        ("front", m.width, inner_depth / 2.0),
        ("back", m.width, inner_depth / 2.0),
        ("left", inner_depth, inner_width / 2.0),
        ("right", inner_depth, inner_width / 2.0),
    )
    walls = (
        Part(
            f"wall-{name}",
            f"Wall, {name}",
            panel(long, m.walls),
            m.wall,
            upright(name, inner),
            wanted_thickness=thick,
        )
        for name, long, inner in sides
    )
    bottom = Part(
        "bottom",
        "Bottom",
        centred(inner_width, inner_depth),
        m.bottom,
        level(m.bottom_up),
        show=frozenset({"upper"}),
        wanted_thickness=wanted("bottom", sizes),
    )
    return (*walls, bottom)


def _lid(m: _Measures, sizes: Sizes) -> tuple[Part, ...]:
    width, depth = sizes.length("width"), sizes.length("depth")
    try:
        profile = edge_profile(sizes.choice("lid_edge"), m.plate)
    except FormError as error:
        raise FormError(f"the lid's edge: {error.message}", "lid_edge", error.remedy) from error
    if profile is not None and 4.0 * max(profile.insets) > min(width, depth):
        raise FormError(
            f"a {profile.name} on a lid so small leaves nothing of its top layer.",
            "lid_edge",
            "Choose a straight edge, or a thinner lid.",
        )
    plate = Part(
        "lid",
        "Lid",
        centred(width, depth),
        m.plate,
        level(m.walls),
        profile=profile,
        group="lid",
        wanted_thickness=wanted("lid", sizes),
    )
    gap, wide = sizes.length("clearance"), sizes.length("ring_width")
    if sizes.choice("lid") == "lip":
        outer = (m.inner[0] - 2.0 * gap, m.inner[1] - 2.0 * gap)
        inner = (outer[0] - 2.0 * wide, outer[1] - 2.0 * wide)
        title = "Lid's lip"
    else:
        inner = (m.width + 2.0 * gap, m.depth + 2.0 * gap)
        outer = (inner[0] + 2.0 * wide, inner[1] + 2.0 * wide)
        title = "Lid's cap"
    ring = Part(
        "lid-ring",
        title,
        Region(centred(*outer).outline, (centred(*inner).outline,)),
        m.ring,
        level(m.walls - m.ring.thickness),
        group="lid",
        wanted_thickness=sizes.length("ring_height"),
    )
    return (plate, ring)


FORM = Form(
    "lidded-box",
    "Box with a lid",
    "Four walls with a housed bottom, and a lid that lifts off with a little play all round.",
    PARAMETERS,
    make,
)
