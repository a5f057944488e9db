"""A line drawing without its hidden lines: what is seen of bodies along one way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.bodies import Body
from laminature.geometry.flat import Flat, Shape
from laminature.geometry.linework import cells, joined, loose, within
from laminature.geometry.outer import SEAM
from laminature.geometry.visible import Scene, View

Array = NDArray[np.float64]

#: A normal this steep looks up: its face takes the light from above.
UPWARDS = 0.6


@dataclass(frozen=True, eq=False)
class Patch:
    """An area of one body that is seen, in the plane of view, and how it is turned to the light (0 to 2)."""

    area: Flat
    body: int
    shade: int


@dataclass(frozen=True, eq=False)
class Seen:
    """What is seen, in the plane of view and mm of the piece.

    ``rims`` are the visible outlines of bodies, ``edges`` the other visible edges, ``marks`` and ``faint``
    lines on bodies, ``seams`` those between layers, ``hidden`` what bodies hide of edges, ``ways`` what is
    seen of the lines asked for besides.
    """

    rims: Shape
    edges: Shape
    marks: Shape
    faint: Shape
    seams: Shape
    hidden: Shape
    ways: Shape
    patches: tuple[Patch, ...]


def see(
    bodies: Sequence[Body],
    view: View,
    *,
    seams: bool = False,
    hidden: bool = False,
    ways: Array | None = None,
) -> Seen:
    """What ``view`` shows of ``bodies``.

    ``ways`` (n, 2, 3) are lines in space that bodies hide as they do edges. Seams and hidden edges are
    only worked out where asked for.
    """
    scene = Scene([(b.skin, b.pose) for b in bodies], view)
    drawn = scene.edges(seams=seams)
    seam = drawn.kind == SEAM
    rim, inner = ~seam & drawn.rim, ~seam & ~drawn.rim
    edges = joined(drawn.start[~seam], drawn.end[~seam])
    rims = joined(drawn.start[rim], drawn.end[rim])
    behind = loose(np.zeros((0, 2)), np.zeros((0, 2)))
    if hidden:
        covered = scene.edges(hidden=True)
        behind = joined(covered.start, covered.end, edges)
    return Seen(
        rims,
        joined(drawn.start[inner], drawn.end[inner], rims),
        _lines(scene, _marks(bodies, faint=False)),
        _lines(scene, _marks(bodies, faint=True)),
        loose(drawn.start[seam], drawn.end[seam]),
        behind,
        _lines(scene, ways),
        _patches(scene, edges, view),
    )


def _marks(bodies: Sequence[Body], faint: bool) -> Array | None:
    found = [b.marks for b in bodies if b.marks is not None and b.faint == faint]
    return np.concatenate(found) if found else None


def _lines(scene: Scene, lines: Array | None) -> Shape:
    """What is seen of lines in space."""
    start = np.zeros((0, 3)) if lines is None else lines[:, 0]
    end = np.zeros((0, 3)) if lines is None else lines[:, 1]
    of, low, high = scene.stretches(start, end)
    p, q = scene.view.flat(start), scene.view.flat(end)
    way = (q - p)[of]
    return loose(p[of] + low[:, None] * way, p[of] + high[:, None] * way)


def _patches(scene: Scene, edges: Shape, view: View) -> tuple[Patch, ...]:
    """The cells between the visible edges: each shows one face, or the sides of one curve."""
    found = cells(edges)
    spots = np.array([within(c) for c in found], dtype=float).reshape(-1, 2)
    body, normal = scene.front(spots)
    patches = []
    for cell, number, n in zip(found, body, normal, strict=True):
        if number >= 0:
            shade = 0 if n[2] > UPWARDS else 1 if float(n @ view.right) < 0.0 and n[2] > -UPWARDS else 2
            patches.append(Patch(cell, int(number), shade))
    return tuple(patches)
