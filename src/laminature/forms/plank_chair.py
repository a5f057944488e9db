"""A plank chair: a raked seat on two slab sides, and a leaning back whose tongues go through the seat."""

from __future__ import annotations

from dataclasses import dataclass, replace

from laminature.errors import FormError
from laminature.forms.values import Sizes, fill
from laminature.geometry.path import Cubic, Line, Path, Point, polyline
from laminature.geometry.pose import Pose, cos_sin, facing
from laminature.geometry.region import Region, box, shape
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointRule
from laminature.model.part import Face, Part
from laminature.model.piece import Cushion, Piece
from laminature.model.stack import Stack

_NYE = "A. C. Nye's furniture dimensions: seat 18 in high, 19 deep, back top 38"

PARAMETERS: tuple[Parameter, ...] = (
    Parameter("height", "length", "from the floor to the top of the back", 965.2, 400.0, 1600.0, source=_NYE),
    Parameter(
        "seat_height", "length", "from the floor to the seat's front edge", 457.2, 150.0, 900.0, source=_NYE
    ),
    Parameter("width", "length", "width of the seat, and of the whole chair", 457.2, 200.0, 1500.0),
    Parameter("depth", "length", "depth of the seat plank", 482.6, 200.0, 900.0, source=_NYE),
    Parameter("seat_rake", "angle", "how far the seat falls towards the back", 4.0, 0.0, 12.0),
    Parameter(
        "back_rake",
        "angle",
        "how far the back leans from upright",
        11.0,
        0.0,
        25.0,
        source="A. C. Nye: a back slopes by up to 1/5 of its depth, which is 11 degrees",
    ),
    Parameter("splay", "angle", "how far the sides lean out towards the floor", 6.0, 0.0, 15.0),
    Parameter("slats", "count", "upright slats of the back; 1 is a solid back", 3, 1, 9),
    Parameter("thickness", "length", "thickness wanted of every plank", 25.4, 6.0, 100.0),
    Parameter("layers", "layers", "layers of every plank, instead of a thickness", None, 2, 40),
)


@dataclass(frozen=True)
class _Plan:
    """Sizes in mm that several planks share. The seat's front lower edge lies on y = 0."""

    sizes: Sizes
    stack: Stack
    wanted: float | None
    web: float
    width: float
    depth: float
    #: Height of the seat's front lower edge.
    under: float
    #: The sides' middle planes on the floor: how far out, and how high their middle lies there.
    foot_x: float
    foot_z: float

    @property
    def thickness(self) -> float:
        return self.stack.thickness

    def part(self, name: str, title: str, outline: Region, pose: Pose) -> Part:
        return Part(name, title, outline, self.stack, pose, wanted_thickness=self.wanted)

    def side_top(self, y: float) -> float:
        """How far up a side's middle plane the seat's lower face lies, measured along the slab."""
        (cr, sr), (cs, _) = cos_sin(self.sizes.angle("seat_rake")), cos_sin(self.sizes.angle("splay"))
        return (self.under - self.foot_z - y * sr / cr) / cs


def make(values: Values, workshop: Workshop) -> Piece:
    """The chair's parts, with rules for its joints.

    Raises FormError for sizes that contradict each other.
    """
    sizes = fill(values, PARAMETERS, workshop.scale)
    if sizes.given("layers"):
        stack, wanted = workshop.layers(sizes.count("layers")), None
    else:
        wanted = sizes.length("thickness")
        stack = workshop.stack_for(wanted)
    if stack.count < 2:
        raise FormError("planks of one layer hold no joints.", "layers", "Give at least 2, better 4.")
    plan = _plan(sizes, stack, wanted, workshop.board.smallest_web(workshop.cutter))
    sides, rail = _sides(plan), _rail(plan)
    back = _back(plan, workshop.board.smallest_opening(workshop.cutter))
    outline = box(-plan.width / 2.0, 0.0, plan.width / 2.0, plan.depth)
    seat = replace(
        plan.part("seat", "Seat", outline, _seat_pose(plan)),
        show=frozenset[Face]({"upper"}),
        marks=_gauges(plan),
    )
    cushion = workshop.cushion("seat")
    return Piece(
        "Plank chair",
        (seat, *sides, rail, back),
        (
            JointRule(("seat", "side-*"), kind="tabs", count=2),
            JointRule(("side-*", "rail"), kind="tabs", count=1),
            JointRule(("seat", "back"), kind="tabs", through=True),
        ),
        cushions=() if cushion is None else (Cushion("cushion", "seat", cushion),),
        size=(plan.width, None, sizes.length("height")),
    )


def _plan(sizes: Sizes, stack: Stack, wanted: float | None, web: float) -> _Plan:
    t, width = stack.thickness, sizes.length("width")
    (cr, sr), (cs, ss) = cos_sin(sizes.angle("seat_rake")), cos_sin(sizes.angle("splay"))
    depth, under = sizes.length("depth"), sizes.length("seat_height") - t * cr
    if depth < 8.0 * t:
        raise FormError(
            f"a seat {sizes.say(depth)} deep is too small for planks {sizes.say(t)} thick.",
            "depth",
            f"Give at least {sizes.least(8.0 * t)}, or thinner planks.",
        )
    lowest = under - depth * sr
    if lowest < 6.0 * t:
        raise FormError(
            f"at its back the seat is only {sizes.say(max(0.0, lowest))} above the floor.",
            "seat_height",
            "Make the seat higher, its rake less, or the planks thinner.",
        )
    # A square lower edge rests on its inner corner; the foot's outer corner is the widest point.
    foot_z = t / 2.0 * ss
    # The sides' tops need board beyond them in the seat, or their slots would break out at its ends.
    inset = 2.0 * t + web
    foot_x = min(width / 2.0 - t / 2.0 * cs, width / 2.0 - inset + (lowest - foot_z) / cs * ss)
    # Between the sides' tops the back's tongues go down, with a web on both sides.
    if foot_x - under * ss / cs < 4.0 * t + web:
        raise FormError(
            f"a seat of {sizes.say(width)} leaves no room for the back between its sides.",
            "width",
            "Make the chair wider, the splay less, or the planks thinner.",
        )
    return _Plan(sizes, stack, wanted, web, width, depth, under, foot_x, foot_z)


def _seat_pose(plan: _Plan) -> Pose:
    cosine, sine = cos_sin(plan.sizes.angle("seat_rake"))
    return facing((0.0, 0.0, plan.under), (1.0, 0.0, 0.0), (0.0, cosine, -sine))


def _sides(plan: _Plan) -> tuple[Part, Part]:
    """The slabs: their upper edges run along the seat's lower face, their feet stand on the floor."""
    cs, ss = cos_sin(plan.sizes.angle("splay"))
    cr, _ = cos_sin(plan.sizes.angle("seat_rake"))
    front, back = 0.07 * plan.depth, 0.95 * plan.depth * cr
    foot, arch = 0.24 * (back - front), 0.38 * plan.side_top(back)
    a, b = (front + foot, 0.0), (back - foot, 0.0)
    # A cubic reaches three quarters of the way to its control points.
    rise = arch / 0.75
    outline = Region(
        Path(
            (
                Line((front, 0.0), a),
                Cubic(a, (a[0], rise), (b[0], rise), b),
                Line(b, (back, 0.0)),
                Line((back, 0.0), (back, plan.side_top(back))),
                Line((back, plan.side_top(back)), (front, plan.side_top(front))),
                Line((front, plan.side_top(front)), (front, 0.0)),
            )
        )
    )

    def standing(name: str, hand: float) -> Part:
        # The stack grows along +x on both hands: begin half a thickness before the middle plane.
        half = plan.thickness / 2.0
        origin = (hand * plan.foot_x - half * cs, 0.0, plan.foot_z - hand * half * ss)
        return plan.part(name, "Side", outline, facing(origin, (0.0, 1.0, 0.0), (-hand * ss, 0.0, cs)))

    return standing("side-1", -1.0), standing("side-2", 1.0)


def _rail(plan: _Plan) -> Part:
    """The rail between the sides, its ends cut to their lean."""
    (cs, ss), t = cos_sin(plan.sizes.angle("splay")), plan.thickness
    room = plan.side_top(plan.depth) * cs
    low, high = 0.44 * room, 0.80 * room

    def reach(z: float) -> float:
        """Where the sides' inner faces lie at this height."""
        return plan.foot_x - t / (2.0 * cs) - (z - plan.foot_z) * ss / cs

    outline = shape([(-reach(low), low), (reach(low), low), (reach(high), high), (-reach(high), high)])
    middle = 0.5 * plan.depth
    pose = facing((0.0, middle + t / 2.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    return plan.part("rail", "Rail", outline, pose)


def _back(plan: _Plan, opening: float) -> Part:
    """The back: its middle plane meets the seat's upper face, its upper corner is the chair's height."""
    sizes, t = plan.sizes, plan.thickness
    (cr, sr), (cb, sb) = cos_sin(sizes.angle("seat_rake")), cos_sin(sizes.angle("back_rake"))
    at = plan.depth - 3.5 * t
    foot = (at * cr + t * sr, plan.under - at * sr + t * cr)
    length = (sizes.length("height") - foot[1] - t / 2.0 * sb) / cb
    least = max(6.0 * t, 8.0 * plan.web)
    if length < least:
        raise FormError(
            f"these heights leave a back only {sizes.say(max(0.0, length))} long.",
            "height",
            f"It needs {sizes.least(least)}: make the chair higher or the seat lower.",
        )
    # The tongues go down between the sides' tops; above them the back is nearly as wide as the seat.
    (cs, ss), half = cos_sin(sizes.angle("splay")), 0.44 * plan.width
    foot_half = min(half, plan.foot_x - plan.side_top(0.0) * ss - t / (2.0 * cs) - t - plan.web)
    outline = Region(_crested(foot_half, half, length), _between_slats(plan, half, length, opening))
    # The middle plane lies half a stack behind the front face, towards which the stack grows.
    origin = (0.0, foot[0] + t / 2.0 * cb, foot[1] - t / 2.0 * sb)
    return plan.part("back", "Back", outline, facing(origin, (1.0, 0.0, 0.0), (0.0, sb, cb)))


def _crested(foot: float, half: float, length: float) -> Path:
    """An upright plank that widens above its foot and swells to ``length`` in the middle of its top."""
    hip, shoulder = 0.22 * length, 0.88 * length
    hip_left, hip_right = (-half, hip), (half, hip)
    left, crest, right = (-half, shoulder), (0.0, length), (half, shoulder)
    return Path(
        (
            Line((-foot, 0.0), (foot, 0.0)),
            Cubic((foot, 0.0), (foot, 0.7 * hip), (half, 0.3 * hip), hip_right),
            Line(hip_right, right),
            Cubic(right, (half, length - 0.02 * length), (0.5 * half, length), crest),
            Cubic(crest, (-0.5 * half, length), (-half, length - 0.02 * length), left),
            Line(left, hip_left),
            Cubic(hip_left, (-half, 0.3 * hip), (-foot, 0.7 * hip), (-foot, 0.0)),
        )
    )


def _between_slats(plan: _Plan, half: float, length: float, opening: float) -> tuple[Path, ...]:
    slats = plan.sizes.count("slats")
    if slats == 1:
        return ()
    # Slats are as wide as one and a half of the gaps between them.
    gap = 2.0 * half / (1.5 * slats + slats - 1)
    slat = 1.5 * gap
    if gap < opening or slat < plan.web:
        raise FormError(
            f"{slats} slats leave gaps of {plan.sizes.say(gap)}; the cutter needs {opening:g} mm.",
            "slats",
            "Give fewer slats, or make the chair wider.",
        )
    low, high = 0.27 * length, 0.82 * length
    lefts = [-half + slat + i * (slat + gap) for i in range(slats - 1)]
    return tuple(polyline([(x, low), (x + gap, low), (x + gap, high), (x, high)]) for x in lefts)


def _gauges(plan: _Plan) -> tuple[Path, ...]:
    """Angle gauges among the seat's marks: the back's angle to the seat, and the sides' where they splay.

    Each is a triangle whose left corner is the angle between the two planks' faces.
    """
    lean = plan.sizes.angle("back_rake") - plan.sizes.angle("seat_rake")
    size = min(10.0, 0.2 * plan.width, 0.2 * plan.depth)
    wanted = [((-0.2 * plan.width, 0.12 * plan.depth), lean)]
    if plan.sizes.angle("splay") > 0.0:
        wanted.append(((0.05 * plan.width, 0.12 * plan.depth), plan.sizes.angle("splay")))
    return tuple(_triangle(corner, 90.0 - off, size) for corner, off in wanted)


def _triangle(corner: Point, degrees: float, size: float) -> Path:
    cosine, sine = cos_sin(degrees)
    x, y = corner
    return polyline([corner, (x + size, y), (x + size * cosine, y + size * sine)])


FORM = Form(
    "plank-chair",
    "Plank chair",
    "A chair with a raked seat, splayed slab sides and a leaning slatted back.",
    PARAMETERS,
    make,
)
