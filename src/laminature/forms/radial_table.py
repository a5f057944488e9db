"""A round or many-sided table or stool on shaped legs that meet on its axis."""

from __future__ import annotations

import math

import numpy as np

from laminature.errors import FormError
from laminature.forms.leg_curves import CURVES
from laminature.forms.outlines import EDGES, top_outline
from laminature.forms.profiles import PROFILES, check_room, edge_profile, rim
from laminature.forms.radial_legs import JOINED, JOININGS, LegPlan
from laminature.forms.values import Sizes, fill
from laminature.geometry.flat import Flat, grown
from laminature.geometry.pose import Pose, cos_sin
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointRule
from laminature.model.part import Face, Part
from laminature.model.piece import Cushion, Piece
from laminature.model.stack import Stack

PARAMETERS: tuple[Parameter, ...] = (
    Parameter(
        "height",
        "length",
        "from the floor to the top's upper face, or to the top of a cushion on it",
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
    plan = LegPlan(
        sizes,
        legs,
        stack,
        _level(sizes, workshop) - top.thickness,
        _leg_top(sizes, top, stack, web),
        web,
        workshop.fit,
    )
    if plan.height < 4.0 * plan.thickness:
        raise FormError(
            f"the top leaves legs that are only {sizes.say(max(0.0, plan.height))} high.",
            "height",
            "Make the table higher or its top thinner.",
        )
    parts, rules = JOINED[joining](plan)
    depth = _tab_depth(plan, top, sizes.count("rim_layers"))
    under = tuple(
        JointRule(("top", p.name), count=2 if p.name.startswith("panel") else 1, depth=depth)
        for p in parts
        if not p.name.startswith("hub")
    )
    round_top = sides == 0 and sizes.choice("edge") == "straight"
    square_on = sizes.choice("edge") == "straight" and sides % 4 == 0
    width = sizes.length("width")
    cushion = workshop.cushion("top")
    return Piece(
        "Radial table",
        (top, *parts),
        (*under, *rules),
        size=(
            width
            if round_top or (sides > 0 and sides % 2 == 0 and sizes.choice("edge") == "straight")
            else None,
            width if round_top or square_on else None,
            _level(sizes, workshop),
        ),
        cushions=() if cushion is None else (Cushion("cushion", "top", cushion),),
    )


def _level(sizes: Sizes, workshop: Workshop) -> float:
    """Where the top's upper face lies: what is asked for is where one sits, if there is a cushion."""
    cushion = workshop.cushion("top")
    return sizes.length("height") - (0.0 if cushion is None else cushion.height)


def _top(sizes: Sizes, workshop: Workshop) -> Part:
    stack = _stack(sizes, workshop, "top")
    depth = sizes.length("scallop_depth") if sizes.given("scallop_depth") else None
    scallops = sizes.count("scallops") if sizes.given("scallops") else None
    outline = top_outline(sizes.count("sides"), sizes.length("width"), sizes.choice("edge"), scallops, depth)
    # With a rim the moulding is the rim's and the floor's alike: it runs over the whole edge.
    profile = edge_profile(sizes.choice("profile"), stack)
    rim_layers, rim_width = sizes.count("rim_layers"), sizes.length("rim_width")
    check_room(outline, stack, profile, rim_layers, rim_width, workshop.board.smallest_web(workshop.cutter))
    return Part(
        "top",
        "Top",
        outline,
        stack,
        Pose((0.0, 0.0, _level(sizes, workshop) - stack.thickness)),
        show=frozenset[Face]({"upper"}),
        profile=profile,
        rim=rim(outline, stack, rim_layers, rim_width),
        wanted_thickness=None if sizes.given("top_layers") else sizes.length("top_thickness"),
    )


def _tab_depth(plan: LegPlan, top: Part, rim_layers: int) -> int:
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
                f"Give at most about {sizes.most(2.0 * widest)}.",
            )
    return reach


def _nearest(ring: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """Distance from the origin to a closed ring of points, mm."""
    p, d = ring[:-1], np.diff(ring, axis=0)
    t = np.clip(-(p * d).sum(axis=1) / (d * d).sum(axis=1), 0.0, 1.0)
    return float(np.hypot(*(p + d * t[:, None]).T).min())


FORM = Form(
    "radial-table",
    "Radial table",
    "A round or many-sided table or stool on 3 to 8 shaped legs that meet on its axis.",
    PARAMETERS,
    make,
)
