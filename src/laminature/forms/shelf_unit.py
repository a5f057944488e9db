"""A shelf unit: shelves and dividers that cross by halvings, housed into two sides.

It goes together by straight moves: the dividers into the shelves from behind, bottom
and top onto the dividers, the sides from left and right onto all of them (or, where the top
lies over the sides, the sides first and the top last), and the back from behind.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from laminature.errors import FormError
from laminature.forms.carcase import (
    CLEAR_OF_CORNER,
    centred,
    crosswise,
    half_depth,
    level,
    panel,
    stack_of,
    thickness_parameters,
    upright,
    wanted,
)
from laminature.forms.values import Sizes, fill
from laminature.geometry.region import box
from laminature.model.form import Form, Parameter, Values, Workshop
from laminature.model.joint import JointKind, JointRule, Stopped
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack

_INCH = 25.4

PARAMETERS: tuple[Parameter, ...] = (
    Parameter("width", "length", "Whole width.", 36 * _INCH, 150.0, 3000.0),
    Parameter("height", "length", "Whole height.", 48 * _INCH, 150.0, 3000.0),
    Parameter(
        "depth",
        "length",
        "Whole depth, from front to back.",
        12 * _INCH,
        80.0,
        1200.0,
        source="bookshelves 10 to 12 in deep: from memory",
    ),
    Parameter("shelves", "count", "How many shelves between bottom and top.", 3, 0, 24),
    Parameter("dividers", "count", "How many upright dividers; 0 for none.", 0, 0, 24),
    *thickness_parameters("board", "each side, shelf and divider", _INCH),
    Parameter(
        "top",
        "choice",
        "Whether the top stands between the sides or lies over them, past their outer faces.",
        "between",
        choices=("between", "over"),
    ),
    Parameter(
        "overhang",
        "length",
        "How far a top that lies over runs past sides and front. Left out: just enough for its joints.",
        None,
        0.0,
        200.0,
    ),
    Parameter(
        "corners",
        "choice",
        "How a top between the sides, and a bottom on the floor, meet them: rebate (one layer's edge "
        "shows) or fingers (they show on both faces).",
        "rebate",
        choices=("rebate", "fingers"),
    ),
    Parameter(
        "stopped",
        "choice",
        "Where the housings of shelves and dividers end short of the edge, so that it stays whole. They "
        "always stop before a back that is thinner than the narrowest web of the board.",
        "front",
        choices=("none", "front", "back", "both"),
    ),
    Parameter(
        "back",
        "choice",
        "A back let in between sides, bottom and top: glued, or with its edges in rebates; or none.",
        "glued",
        choices=("glued", "rebated", "none"),
    ),
    *thickness_parameters("back", "the back", 0.5 * _INCH),
    Parameter(
        "plinth", "length", "Height of the plinth; 0 sets the bottom on the floor.", 3 * _INCH, 0.0, 400.0
    ),
    Parameter(
        "plinth_set_back",
        "length",
        "How far the plinth stands behind the front. Left out: 1 in, or what its board needs.",
        None,
        0.0,
        300.0,
    ),
)


@dataclass(frozen=True)
class _Measures:
    """What every part of a shelf unit is drawn from, mm. Heights are of lower faces."""

    width: float
    depth: float
    height: float
    board: Stack
    back: Stack | None
    over: bool
    overhang: float
    plinth: float

    @property
    def top(self) -> float:
        return self.height - self.board.thickness

    @property
    def floor(self) -> float:
        return self.plinth + self.board.thickness

    @property
    def inner(self) -> float:
        """Clear width between the sides."""
        return self.width - 2.0 * (self.overhang + self.board.thickness)

    @property
    def front(self) -> float:
        """Where sides and shelves begin, in y."""
        return -self.depth / 2.0 + self.overhang

    @property
    def rear(self) -> float:
        """Where shelves and dividers end, in y: at the back, where there is one."""
        return self.depth / 2.0 - (0.0 if self.back is None else self.back.thickness)


def make(values: Values, workshop: Workshop) -> Piece:
    """The parts of a shelf unit. Raises FormError for sizes that contradict each other."""
    sizes = fill(values, PARAMETERS, workshop.scale)
    m = _measure(sizes, workshop)
    shelves, dividers = sizes.count("shelves"), sizes.count("dividers")
    rises = _spread(m.floor, m.top, shelves, m.board.thickness, what="shelves", sizes=sizes)
    places = _spread(-m.inner / 2.0, m.inner / 2.0, dividers, m.board.thickness, what="dividers", sizes=sizes)
    parts = (
        *_shell(m, sizes),
        *_grid(m, sizes, rises, places),
        *_back_and_plinth(m, sizes),
    )
    return Piece("Shelf unit", parts, tuple(_rules(m, sizes, workshop)), size=(m.width, m.depth, m.height))


def _measure(sizes: Sizes, workshop: Workshop) -> _Measures:
    board = stack_of("board", sizes, workshop)
    least = board.thickness + CLEAR_OF_CORNER
    back = None if sizes.choice("back") == "none" else stack_of("back", sizes, workshop)
    over = sizes.choice("top") == "over"
    overhang = sizes.length("overhang", max(1.25 * _INCH / sizes.scale, least)) if over else 0.0
    if over and overhang < least:
        raise FormError(
            f"an overhang of {sizes.say(overhang)} puts the slots too near the edge of the top.",
            "overhang",
            f"Give at least {sizes.least(least)}, or a top between the sides.",
        )
    plinth = sizes.length("plinth")
    if 0.0 < plinth < least:
        raise FormError(
            f"a plinth of {sizes.say(plinth)} puts the bottom's housings too near the floor.",
            "plinth",
            f"Give at least {sizes.least(least)}, or 0.",
        )
    if sizes.choice("back") == "rebated" and board.count < 2:
        raise FormError(
            "sides of 1 layer cannot hold a rebate.",
            "back",
            "Glue the back in, or give the boards more layers.",
        )
    m = _Measures(
        sizes.length("width"),
        sizes.length("depth"),
        sizes.length("height"),
        board,
        back,
        over,
        overhang,
        plinth,
    )
    room = m.rear - m.front
    if room < 4.0 * board.thickness:
        raise FormError(
            f"a depth of {sizes.say(m.depth)} leaves shelves of {sizes.say(room)}.",
            "depth",
            "Make the unit deeper, or its boards thinner.",
        )
    return m


def _spread(
    start: float, end: float, count: int, thick: float, *, what: str, sizes: Sizes
) -> tuple[float, ...]:
    """Where ``count`` boards begin that leave even gaps from ``start`` to ``end``."""
    gap = (end - start - count * thick) / (count + 1)
    if gap < 2.0 * thick:
        larger = "height" if what == "shelves" else "width"
        raise FormError(
            f"{count} {what} in this {larger} leave gaps of {sizes.say(max(0.0, gap))}.",
            what if count else larger,
            f"Ask for fewer {what}, more {larger}, or thinner boards.",
        )
    return tuple(start + gap + i * (gap + thick) for i in range(count))


def _shell(m: _Measures, sizes: Sizes) -> Iterator[Part]:
    thick = wanted("board", sizes)
    side_depth = m.depth / 2.0 - m.front
    middle = (m.front + m.depth / 2.0) / 2.0
    rise = m.top if m.over else m.height
    for name in ("left", "right"):
        pose = upright(name, m.inner / 2.0).moved(dy=middle)
        yield Part(
            f"side-{name}",
            f"Side, {name}",
            panel(side_depth, rise),
            m.board,
            pose,
            wanted_thickness=thick,
        )
    board = box(-m.inner / 2.0, m.front, m.inner / 2.0, m.depth / 2.0)
    yield Part("bottom", "Bottom", board, m.board, level(m.plinth), wanted_thickness=thick)
    top = centred(m.width, m.depth) if m.over else board
    yield Part("top", "Top", top, m.board, level(m.top), wanted_thickness=thick)


def _grid(m: _Measures, sizes: Sizes, rises: tuple[float, ...], places: tuple[float, ...]) -> Iterator[Part]:
    thick = wanted("board", sizes)
    shelf = box(-m.inner / 2.0, m.front, m.inner / 2.0, m.rear)
    for i, rise in enumerate(rises, 1):
        yield Part(f"shelf-{i}", f"Shelf {i}", shelf, m.board, level(rise), wanted_thickness=thick)
    upright_board = box(m.front, 0.0, m.rear, m.top - m.floor)
    for i, x in enumerate(places, 1):
        yield Part(
            f"divider-{i}",
            f"Divider {i}",
            upright_board,
            m.board,
            crosswise(x, m.floor),
            wanted_thickness=thick,
        )


def _back_and_plinth(m: _Measures, sizes: Sizes) -> Iterator[Part]:
    if m.back is not None:
        yield Part(
            "back",
            "Back",
            panel(m.inner, m.top - m.floor),
            m.back,
            upright("back", m.rear, m.floor),
            show=frozenset({"lower"}),
            wanted_thickness=wanted("back", sizes),
        )
    if m.plinth > 0.0:
        t = m.board.thickness
        least = t + CLEAR_OF_CORNER
        set_back = sizes.length("plinth_set_back", max(_INCH / sizes.scale, least))
        if not least <= set_back <= (m.depth / 2.0 - m.front) / 2.0:
            raise FormError(
                f"a plinth cannot stand {sizes.say(set_back)} behind the front.",
                "plinth_set_back",
                f"Give at least {sizes.least(least)}, and at most half the depth.",
            )
        yield Part(
            "plinth",
            "Plinth",
            panel(m.inner, m.plinth),
            m.board,
            upright("front", -(m.front + set_back + t)),
            show=frozenset({"upper"}),
            wanted_thickness=wanted("board", sizes),
        )


def _stops(m: _Measures, sizes: Sizes, workshop: Workshop) -> Stopped:
    """Where housings stop: as asked, and before a back too thin to leave a sound web behind them."""
    web = workshop.board.smallest_web(workshop.cutter)
    asked = sizes.choice("stopped")
    thin_back = m.back is not None and m.back.thickness < web
    ends = (asked in ("front", "both"), asked in ("back", "both") or thin_back)
    names: dict[tuple[bool, bool], Stopped] = {
        (False, False): "none",
        (True, False): "front",
        (False, True): "back",
        (True, True): "both",
    }
    return names[ends]


def _short_of_rebate(m: _Measures, sizes: Sizes, workshop: Workshop) -> float | None:
    """How far from its ends the bottom's housing stops, so that the back's rebate leaves a sound web."""
    if m.back is None or sizes.choice("back") != "rebated":
        return None
    fit = workshop.fit
    return m.back.thickness + workshop.board.smallest_web(workshop.cutter) + fit.side + fit.lengthwise


def _rules(m: _Measures, sizes: Sizes, workshop: Workshop) -> Iterator[JointRule]:
    depth = half_depth(m.board, "a side", "board_layers")
    stopped = _stops(m, sizes, workshop)
    corners: JointKind = "fingers" if sizes.choice("corners") == "fingers" else "rebate"
    yield JointRule(("side-*", "shelf-*"), "housing", depth=depth, stopped=stopped)
    yield JointRule(("shelf-*", "divider-*"), "halving")
    for end in ("bottom", "top"):
        yield JointRule((end, "divider-*"), "housing", depth=depth, stopped=stopped)
    if m.over:
        yield JointRule(("top", "side-*"), "tabs")
    else:
        yield JointRule(("side-*", "top"), corners)
    if m.plinth > 0.0:
        yield JointRule(
            ("side-*", "bottom"),
            "housing",
            depth=depth,
            stopped=stopped,
            stop_length=_short_of_rebate(m, sizes, workshop),
        )
        yield JointRule(("*", "plinth"), "glue")
    else:
        yield JointRule(("side-*", "bottom"), corners)
    if m.back is not None:
        yield JointRule(("*", "back"), "glue")
        if sizes.choice("back") == "rebated":
            for end in ("side-*", "bottom", "top"):
                yield JointRule((end, "back"), "rebate")


FORM = Form(
    "shelf-unit",
    "Shelf unit",
    "Shelves and dividers that cross by halvings, housed into two sides, with a back, a plinth and a top.",
    PARAMETERS,
    make,
)
