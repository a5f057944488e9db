"""Rings grown or shrunk by a beam's half width, and whether anything of them is lost by that."""

from __future__ import annotations

import numpy as np

from laminature.geometry.fitting import fitted
from laminature.geometry.flat import Flat, Shape, grown, pieces, tidy
from laminature.geometry.path import Path
from laminature.geometry.provenance import Parallel, circles_of
from laminature.geometry.region import Region
from laminature.geometry.walk import signed_area

#: What may be lost where a sharp corner is blunted, mm².
LOST = 0.02


def moved_ring(ring: Flat, distance: float) -> Flat | None:
    """A region without openings grown by ``distance`` mm (shrunk where negative), corners kept sharp.

    None where it does not survive that as it is: it vanishes, falls into pieces, or a slit in it
    closes. Shrinking the answer again by as much gives the region back.
    """
    moved = grown(ring, distance)
    found = pieces(moved)
    if len(found) != 1 or found[0].interiors:
        return None
    return found[0] if _difference(grown(found[0], -distance), ring) < LOST else None


def moved_path(path: Path, distance: float) -> Path | None:
    """A closed path with the region in it grown by ``distance`` mm; None as for :func:`moved_ring`.

    Straight runs and the corners between them are exact, arcs are arcs again about their own centres,
    and other curves are fitted anew. The way round is kept.
    """
    moved = moved_ring(Flat(path.flattened), distance)
    if moved is None:
        return None
    ring = np.asarray(tidy(moved).exterior.coords)[:-1]
    made = fitted(ring, circles_of([Parallel(Region(path), distance)]))
    return made if signed_area(made) * signed_area(path) > 0.0 else made.reversed()


def _difference(a: Shape, b: Shape) -> float:
    return float(a.symmetric_difference(b).area)
