"""What the invariants are measured on: benches, pieces of every form, and panels listed freely."""

import math
from dataclasses import dataclass, replace

import numpy as np
from hypothesis import assume, event
from hypothesis import strategies as st

from laminature.errors import FormError
from laminature.geometry.pose import facing, turned
from laminature.geometry.region import box
from laminature.model import stack
from laminature.model.board import Board
from laminature.model.fit import Fit
from laminature.model.form import Form, Parameter, Workshop
from laminature.model.part import Part
from laminature.model.piece import Piece


@dataclass(frozen=True)
class Drawn:
    """A piece, the bench it was made at, and what was asked for."""

    piece: Piece
    workshop: Workshop
    asked: str

    def __repr__(self) -> str:
        """What was asked for: the piece itself fills pages."""
        shop = self.workshop
        return f"{self.asked} at 1:{shop.scale:g}, {shop.board}, {shop.fit}"


@st.composite
def workshops(draw):
    """A bench: scale, board and fit as makers have them, measured stacks too."""
    caliper = draw(st.sampled_from([0.4, 0.5, 0.5588, 0.7112, 1.0]))
    scale = draw(st.sampled_from([6.0, 8.0, 10.0, 12.0, 16.0]))
    measured = draw(st.sampled_from([(), ((4, 4 * caliper * 1.04), (3, 3 * caliper * 0.97))]))
    board = Board(
        "board",
        "Board",
        caliper,
        600.0,
        600.0,
        glue_line=draw(st.sampled_from([0.0, 0.02])),
        growth=draw(st.sampled_from([0.0, 0.01])),
        measured=measured,
    )
    fit = Fit(
        "drawn",
        across=draw(st.sampled_from([0.02, 0.04, 0.09, 0.12])),
        along=draw(st.sampled_from([0.05, 0.15])),
        end=draw(st.sampled_from([0.1, 0.2])),
    )
    return Workshop(
        scale,
        board,
        fit,
        stack_for=lambda wanted: stack.stack(board, stack.layers_for(board, wanted)),
        layers=lambda count: stack.stack(board, count),
        cutter=draw(st.sampled_from(["knife", "knife", "laser"])),
    )


def values_of(parameter: Parameter, scale: float):
    """The default most of the time, else anything that the form declares to be possible."""
    shrink = scale if parameter.kind == "length" and parameter.realm == "full" else 1.0
    default = parameter.default
    if parameter.kind == "length" and isinstance(default, (int, float)):
        default = float(default) / shrink
    low, high = parameter.low or 0.0, parameter.high
    if parameter.kind == "flag":
        drawn = st.booleans()
    elif parameter.kind == "choice":
        drawn = st.sampled_from(parameter.choices) if parameter.choices else st.just(default)
    elif high is None:
        drawn = st.just(default)
    elif parameter.kind in ("count", "layers"):
        drawn = st.integers(int(low), int(min(high, 8)))
    else:
        drawn = st.floats(low / shrink, high / shrink).map(lambda v: round(v, 4))
    return st.one_of(st.just(default), st.just(default), drawn)


@st.composite
def pieces(draw, form: Form):
    """A piece of this form; sizes that contradict each other are drawn again."""
    workshop = draw(workshops())
    values = {p.name: draw(values_of(p, workshop.scale)) for p in form.parameters}
    defaults = {p.name: p.default for p in form.parameters}
    asked = {k: v for k, v in values.items() if v is not None and v != defaults[k]}
    try:
        piece = form.make(values, workshop)
    except FormError as error:
        assert str(error).strip()
        event("refused")
        assume(False)
    return Drawn(piece, workshop, f"{form.name} {asked}")


@st.composite
def turns(draw):
    """How a piece is turned in space: not at all, or by any angle about any axis."""
    if draw(st.booleans()):
        return None
    axis = draw(st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda v: np.linalg.norm(v) > 0.1))
    return turned(axis, draw(st.floats(1.0, 359.0))).moved(13.0, -7.0, 5.0)


def placed(piece: Piece, pose) -> Piece:
    """The whole piece, moved; a turned one is no longer asked for its outer size."""
    if pose is None:
        return piece
    return replace(
        piece, parts=tuple(p.placed(p.pose.then(pose)) for p in piece.parts), size=(None, None, None)
    )


# --- panels listed freely -------------------------------------------------------------


def upright(name: str, outline, layers, degrees: float) -> Part:
    """A panel whose own y axis points up, its x axis in this direction, its mid-plane through the origin."""
    a = math.radians(degrees)
    x, n = (math.cos(a), math.sin(a), 0.0), (math.sin(a), -math.cos(a), 0.0)
    half = layers.thickness / 2.0
    return Part(name, name, outline, layers, facing(tuple(-half * v for v in n), x, (0.0, 0.0, 1.0)))


def stacks(draw, workshop: Workshop):
    return workshop.layers(draw(st.integers(2, 6)))


@st.composite
def crossing_panels(draw):
    """Two panels, or three on one line, that pass through each other at 90, 60 or 45 degrees."""
    workshop = draw(workshops())
    angles = draw(
        st.sampled_from([(0.0, 90.0), (0.0, 60.0), (0.0, 45.0), (0.0, 60.0, 120.0), (0.0, 45.0, 90.0)])
    )
    height = draw(st.floats(20.0, 60.0))
    alike = stacks(draw, workshop)
    parts = []
    for i, degrees in enumerate(angles):
        layers = alike if len(angles) == 3 else stacks(draw, workshop)
        # Clear of the neighbours' slabs on both sides, however thick and oblique they are.
        left, right = (draw(st.floats(25.0, 60.0)) for _ in range(2))
        parts.append(upright(f"panel-{i + 1}", box(-left, 0.0, right, height), layers, degrees))
    return Drawn(Piece("Crossing", tuple(parts)), workshop, f"panels crossing at {angles}")


@st.composite
def standing_panels(draw):
    """Panels that end on the faces of a plate at 90, 75 or 60 degrees: from below, from above, from both."""
    workshop = draw(workshops())
    layers = stacks(draw, workshop)
    show = draw(st.sampled_from([frozenset(), frozenset({"lower"}), frozenset({"upper"})]))
    plate = Part("plate", "plate", box(-60.0, -50.0, 60.0, 50.0), layers, show=show)
    parts = [plate]
    for i in range(draw(st.integers(1, 3))):
        lean = draw(st.sampled_from([90.0, 90.0, 75.0, 60.0, 105.0, 120.0]))
        own = stacks(draw, workshop)
        above = draw(st.booleans()) if "upper" not in show else False
        if "lower" in show:
            above = True
        way = 1.0 if above else -1.0
        c, s = math.cos(math.radians(lean)), math.sin(math.radians(lean))
        # The mid-plane's lower edge lies on the plate's face, on a line of its own at x = at.
        at = -34.0 + 34.0 * i
        z = layers.thickness if above else 0.0
        up = (c, 0.0, way * s)
        width = draw(st.floats(30.0, 80.0))
        along = np.array((0.0, way, 0.0))
        normal = np.cross(along, up)
        corner = np.array((at, 0.0, z)) - normal * own.thickness / 2.0 - along * width / 2.0
        parts.append(
            Part(
                f"panel-{i + 1}",
                "panel",
                box(0.0, 0.0, width, draw(st.floats(15.0, 40.0))),
                own,
                facing(corner.tolist(), along.tolist(), up),
            )
        )
    return Drawn(Piece("Standing", tuple(parts)), workshop, f"{len(parts) - 1} panels on a plate")
