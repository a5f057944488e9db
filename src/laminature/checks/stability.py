"""Whether the piece stands level, and how far it can be tilted before it tips."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from laminature.checks.checked import Checked
from laminature.errors import GeometryError
from laminature.geometry.pose import Vector
from laminature.geometry.rest import footprint, settled, tilt
from laminature.geometry.section import Section, section
from laminature.model.finding import Finding

#: Feet within this of the lowest point touch the ground, mm.
TOUCH = 0.05
#: A piece that tips before this many degrees is easily knocked over (common practice, no source;
#: EN 1022 tests full-size seats with a push instead).
FIRM = 8.0


def standing(given: Checked) -> tuple[Finding, ...]:
    """``not-level``, ``tips``, ``tips-easily``, or the note ``stands`` with its margin in degrees.

    The weight is that of the layers; loose groups are taken to lie in their places.
    """
    if not given.piece.stands or not given.solids:
        return ()
    mass, centre = centre_of_mass(given)
    points = np.concatenate([s.points for s in given.solids.values()])
    ground = float(points[:, 2].min())
    foot = footprint(points, TOUCH)
    height = float(centre[2]) - ground
    if foot is not None:
        margin, edge = foot.margin(centre[:2])
        angle = math.degrees(math.atan2(margin, height))
        if margin > 0.0:
            return (_stands(angle, mass, (float(edge[0]), float(edge[1]), ground)),)
    where = (float(centre[0]), float(centre[1]), ground)
    try:
        lean = tilt(settled(points, centre))
    except GeometryError:
        return ()
    if foot is not None:
        return (
            Finding(
                "tips",
                "stop",
                f"The piece tips over: its weight lies {-margin:.2f} mm outside its feet. "
                f"It comes to rest leaning {lean:.1f}°.",
                "Move the feet outwards under the weight, or make what hangs over lighter. "
                "A piece that hangs on a wall has stands = false.",
                None,
                None,
                where,
            ),
        )
    balances = lean < 0.01
    rest = "it only balances on them" if balances else f"it comes to rest leaning {lean:.1f}°"
    return (
        Finding(
            "not-level",
            "stop" if balances or lean > 0.5 else "care",
            "The piece does not stand level: fewer than three of its feet reach the ground "
            f"within {TOUCH:g} mm, and {rest}.",
            "Bring the feet to one height. A piece that hangs on a wall has stands = false.",
            None,
            None,
            where,
        ),
    )


def _stands(angle: float, mass: float, edge: Vector) -> Finding:
    if angle < FIRM:
        return Finding(
            "tips-easily",
            "care",
            f"The piece stands level but tips when it is tilted by {angle:.1f}°.",
            "Move the feet outwards, make it lower, or put weight low down.",
            None,
            None,
            edge,
        )
    return Finding(
        "stands",
        "note",
        f"The piece stands level and could be tilted by {angle:.1f}° before it tips; "
        f"its board weighs about {mass:.{1 if mass < 100.0 else 0}f} g.",
        "",
        None,
        None,
        edge,
    )


def centre_of_mass(given: Checked) -> tuple[float, NDArray[np.float64]]:
    """Mass of all layers in grams and its centre in the piece's frame, mm.

    Dry board alone: neither glue nor paint nor cloth is weighed.
    """
    mass, moment = 0.0, np.zeros(3)
    known: dict[bytes, Section] = {}  # most layers of a part are alike
    for part in given.piece.parts:
        own = np.zeros(3)
        heavy = 0.0
        for layer in given.layers_of[part.name]:
            thick = layer.upper - layer.lower
            for shape in layer.regions:
                key = shape.wkb
                values = known[key] if key in known else known.setdefault(key, section(shape))
                grams = values.area * thick * given.boards[layer.board].density / 1000.0
                heavy += grams
                own += grams * np.array([*values.centroid, layer.lower + thick / 2])
        if heavy > 0.0:
            mass += heavy
            moment += heavy * part.pose.to_piece(own / heavy)
    return mass, moment / mass
