"""What pieces built of upright and level panels share: where panels stand, and their stacks."""

from __future__ import annotations

from laminature.errors import FormError
from laminature.forms.values import Sizes
from laminature.geometry.pose import Pose, Vector, facing
from laminature.geometry.region import Region, box
from laminature.model.form import Parameter, Workshop
from laminature.model.stack import Stack

#: A panel's edge counts as a corner of its neighbour where it is nearer to that one's border than
#: the neighbour is thick. Forms that want an edge *on a face* keep this much further away, mm.
CLEAR_OF_CORNER = 0.1

_OUTWARDS: dict[str, tuple[Vector, Vector]] = {
    "front": ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0)),
    "back": ((0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)),
    "left": ((-1.0, 0.0, 0.0), (0.0, -1.0, 0.0)),
    "right": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
}


def upright(side: str, inner_face: float, lift: float = 0.0) -> Pose:
    """The pose of a panel that stands on one of the four sides and looks outwards.

    ``side`` is "front", "back", "left" or "right"; ``inner_face`` is how far from the middle of
    the piece the panel's inner (lower) face stands, mm; ``lift`` the height of its y = 0. The
    panel's x axis runs level, to the right for somebody who looks at its outer face.
    """
    (wx, wy, _), x = _OUTWARDS[side]
    return facing((wx * inner_face, wy * inner_face, lift), x, (0.0, 0.0, 1.0))


def level(height: float, x: float = 0.0, y: float = 0.0) -> Pose:
    """The pose of a board that lies flat, its lower face at ``height`` mm."""
    return Pose((x, y, height))


def crosswise(x: float, lift: float = 0.0) -> Pose:
    """The pose of an upright board that stands from front to back, its left (lower) face at ``x`` mm.

    Its own x axis runs away from the viewer, its y axis up from ``lift``.
    """
    return facing((x, 0.0, lift), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def centred(width: float, depth: float) -> Region:
    """A rectangle about the origin. Raises GeometryError unless both sizes are above zero."""
    return box(-width / 2.0, -depth / 2.0, width / 2.0, depth / 2.0)


def panel(width: float, height: float) -> Region:
    """A rectangle that stands on y = 0, centred in x. Raises GeometryError as :func:`centred` does."""
    return box(-width / 2.0, 0.0, width / 2.0, height)


def thickness_parameters(
    name: str, what: str, default: float, low: float = 3.0, high: float = 150.0
) -> tuple[Parameter, Parameter]:
    """A wanted thickness (full-size mm), and a number of layers that overrides it."""
    source = "1 in nominal is four layers of 22 points at 1:12, 1.056 in; common practice, no source"
    return (
        Parameter(
            f"{name}_thickness",
            "length",
            f"How thick {what} should be. The nearest number of layers is taken.",
            default,
            low,
            high,
            source=source if default == 25.4 else "common practice, no source",
        ),
        Parameter(
            f"{name}_layers",
            "layers",
            f"How many layers {what} has. Left out, it follows from the thickness.",
            None,
            1,
            40,
        ),
    )


def stack_of(name: str, sizes: Sizes, workshop: Workshop) -> Stack:
    """The stack for the two parameters of :func:`thickness_parameters`."""
    if sizes.given(f"{name}_layers"):
        return workshop.layers(sizes.count(f"{name}_layers"))
    return workshop.stack_for(sizes.length(f"{name}_thickness"))


def wanted(name: str, sizes: Sizes) -> float | None:
    """The thickness asked for, mm; None where the maker gave a number of layers instead."""
    return None if sizes.given(f"{name}_layers") else sizes.length(f"{name}_thickness")


def half_depth(stack: Stack, what: str, parameter: str) -> int:
    """How many layers deep a housing goes: half of them. Raises FormError for a single layer."""
    if stack.count < 2:
        raise FormError(
            f"{what} of 1 layer cannot hold a housing.",
            parameter,
            "Give at least 2 layers, or a thinner board.",
        )
    return stack.count // 2
