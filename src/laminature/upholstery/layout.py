"""A layout of buttons before it is numbered, and what all patterns of it are chosen by."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.errors import FormError
from laminature.geometry.flat import Shape, holds_points
from laminature.geometry.path import Array
from laminature.upholstery.symmetry import Symmetry

#: More buttons than this are no upholstery but an oversight in the spacing.
MOST_BUTTONS = 1000
#: A button on the field's very border counts as inside although both are flattened, mm.
ON_BORDER = 0.005


@dataclass(frozen=True)
class Layout:
    """Buttons in no particular order: ``points`` (n, 2), pairs of neighbours, and the spacing got."""

    points: Array
    links: tuple[tuple[int, int], ...]
    spacing: tuple[float, float]


def inside(field: Shape, points: Array, outline: Symmetry) -> NDArray[np.bool_]:
    """Which points lie in the field, all their mirror images with them.

    A flattened curve is not quite symmetric itself; a layout on it shall be.
    """
    images = [points]
    for wanted, axis in ((outline.sides, 0), (outline.ends, 1)):
        if wanted:
            for image in list(images):
                flipped = image.copy()
                flipped[:, axis] = 2.0 * outline.middle[axis] - flipped[:, axis]
                images.append(flipped)
    held = np.ones(len(points), dtype=bool)
    for image in images:
        held &= holds_points(field, image)
    return held


def counts_near(wanted: float, least: int = 0, even: bool = False) -> list[int]:
    """Whole numbers of steps that come near to ``wanted``: those around it, even ones only where asked.

    Raises FormError where there would be more steps than :data:`MOST_BUTTONS`.
    """
    if wanted > MOST_BUTTONS:
        raise too_many()
    by = 2 if even else 1
    low = by * math.floor(wanted / by)
    return sorted({n for n in range(low - by, low + 2 * by + 1, by) if n >= least})


def nearest_count(wanted: float, least: int = 1) -> int:
    """The whole number of steps whose step comes nearest to the one wanted, as a ratio."""
    low = max(least, math.floor(wanted), 1)
    n = low if wanted * wanted <= low * (low + 1) else low + 1
    if n > MOST_BUTTONS:
        raise too_many()
    return n


def too_many() -> FormError:
    """What is said where the buttons would be too many to be meant."""
    return FormError(
        f"the cushion would have more than {MOST_BUTTONS} buttons.",
        "spacing",
        "Give a wider spacing; it is written in full size.",
    )


def subset(layout: Layout, keep: Sequence[bool] | NDArray[np.bool_]) -> Layout:
    """The layout with only those buttons, its links numbered anew."""
    kept = np.flatnonzero(keep)
    number = {int(old): new for new, old in enumerate(kept)}
    links = tuple((number[a], number[b]) for a, b in layout.links if a in number and b in number)
    return Layout(layout.points[kept], links, layout.spacing)
