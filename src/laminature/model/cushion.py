"""A cushion: the place it takes, and all that it is made from.

Everything lies in the cushion's own frame: the middle of its panel is the origin, x to the right and
y away from whoever sits before it (up, for a back), z out of the panel into the crown; lengths are mm
at miniature scale, which for soft materials is their actual size.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from laminature.geometry.path import Path, Point
from laminature.geometry.pose import Pose
from laminature.geometry.region import Region

Array = NDArray[np.float64]
Pattern = Literal["plain", "diamond", "square", "row", "concentric", "channels", "points"]
#: Buttons that only dent the cushion, or that draw the cloth down into pleats.
Manner = Literal["pulled-in", "deep"]


@dataclass(frozen=True)
class CushionEnvelope:
    """Outer measures of a covered cushion, mm at miniature scale.

    ``side`` is what cloth, folds and piping add on each side beyond the panel;
    ``height`` the whole height over the middle; ``clearance`` the gap to a frame per side;
    ``cloth`` the thickness of the cloth.
    """

    panel_thickness: float
    side: float
    height: float
    clearance: float
    cloth: float = 0.0


@dataclass(frozen=True)
class Buttoning:
    """Where buttons (or the seams of channels) lie on the panel.

    ``points`` are the buttons, row by row from below, each row from the left. ``links`` are pairs of
    neighbours, between which the cloth dips and a fold of a deep pattern lies. ``rings`` counts each
    button's distance from the centre outwards in rings, from 0. ``spacing`` is the spacing got (across,
    up), mm; for one that is round the spacing along and between the circles. ``seams`` are the lines
    of channels.
    """

    pattern: Pattern
    points: tuple[Point, ...] = ()
    links: tuple[tuple[int, int], ...] = ()
    rings: tuple[int, ...] = ()
    spacing: tuple[float, float] = (0.0, 0.0)
    seams: tuple[tuple[Point, Point], ...] = ()


@dataclass(frozen=True)
class Panels:
    """The boards of a cushion, with what is cut in them.

    ``guide`` is pierced where threads go through, ``relief`` has wide holes over the knots and
    lies against them, ``backing`` is plain; all have one outline. ``pricked`` are the places that
    are only marked, where holes would be too small for the cutter, and are drilled after hardening at
    ``drill`` mm; ``pricks`` are the strokes that cross there. ``washers`` are the card discs that
    anchor threads, one for each button.
    """

    guide: Region
    relief: Region
    backing: Region
    hole: float
    pricked: tuple[Point, ...]
    drill: float
    pricks: tuple[Path, ...]
    marks: tuple[Path, ...]
    washers: tuple[Region, ...]


@dataclass(frozen=True)
class Batting:
    """Layers of batting in the order of gluing, largest first; ``thickness`` of each is as compressed.

    ``numbers`` are the layers that the outlines belong to, from 1: a layer on a panel with a waist may
    be in two pieces.
    """

    outlines: tuple[Region, ...]
    thickness: float
    crown: float
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False)
class Surface:
    """The cloth over the crown as a height field on a square grid.

    ``heights`` (rows, columns) are mm over the panel's upper face at ``x`` (columns) and ``y`` (rows); NaN
    outside the cushion. ``cell`` is the grid's step, mm. They come from ``share``, which is 1 where the
    crown is highest and 0 along the edge (carried on outside), and ``drop``, how far buttons draw
    the cloth down, mm (carried on under the buttons): what lies between nodes is read from these two, which
    are smooth where heights are not. ``crown`` and ``swell`` are the crown's height, mm, and its
    exponent. Under ``buttons`` (n, 2), discs of ``radius`` mm, the drop is ``depths`` (n,).
    """

    x: Array
    y: Array
    heights: Array
    cell: float
    share: Array
    drop: Array
    crown: float
    swell: float
    buttons: Array
    radius: float
    depths: Array


@dataclass(frozen=True)
class Fold:
    """A fold of deep buttoning: from one button to another on the cloth, open towards ``towards``.

    ``width`` is the cloth that the fold takes up, mm; ``towards`` is a unit vector on the cloth: for a
    seat the fold opens to the front, for a back downwards, so that dust falls out.
    """

    start: Point
    end: Point
    width: float
    towards: Point


@dataclass(frozen=True)
class Cloth:
    """The cloth as it is marked and cut, flat, its middle the origin.

    ``marks`` are the buttons' places on the cloth, in the order of the buttons; wider apart than there.
    ``edge`` is where the panel's edge comes to lie, ``cut`` the cut line with wrap and turn-under, ``folds``
    those between buttons, ``corners`` those at corners of the outline (start, end). ``buy`` is the width
    and the length to buy, the length along the warp, mm. ``lengths`` are the cloth's lengths along each
    of the buttoning's links, mm. ``seams`` are the lines of channels on the cloth, ``darts`` the slits from
    the cut line inwards that let cloth turn under round a curve.
    """

    marks: tuple[Point, ...]
    edge: Path
    cut: Path
    folds: tuple[Fold, ...]
    corners: tuple[tuple[Point, Point], ...]
    buy: tuple[float, float]
    lengths: tuple[float, ...]
    seams: tuple[tuple[Point, Point], ...] = ()
    darts: tuple[tuple[Point, Point], ...] = ()


@dataclass(frozen=True)
class Stitching:
    """The order of the buttons and the thread.

    ``order`` holds button numbers, from the centre outwards. ``needlefuls`` are runs of that order
    that one length of thread serves, with that length, mm: ``(first, after last, length)`` as places in
    ``order``. ``bead`` is the diameter of the beads, mm; ``travel`` the way between buttons on the back.
    """

    order: tuple[int, ...]
    needlefuls: tuple[tuple[int, int, float], ...]
    bead: float
    travel: float

    @property
    def thread(self) -> float:
        """All thread, with knots and tails, mm."""
        return sum(length for _, _, length in self.needlefuls)


@dataclass(frozen=True)
class Piping:
    """Cord round the cushion's edge: diameter, length with overlap, its strip of cloth (width, length)."""

    cord: float
    length: float
    strip: tuple[float, float]


@dataclass(frozen=True, eq=False)
class Shell:
    """A closed or open skin of triangles with smooth shading, for pictures.

    ``vertices`` and ``normals`` (n, 3) in mm and as unit vectors; ``faces`` (m, 3) count vertices
    from 0, outsides walked to the left. One that is empty has no rows.
    """

    vertices: Array
    normals: Array
    faces: NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class CushionMesh:
    """A covered cushion as skins in its own frame: the ``cloth``, the ``beads`` and the ``piping``."""

    cloth: Shell
    beads: Shell
    piping: Shell


@dataclass(frozen=True)
class Upholstery:
    """All of a cushion, solved. ``outline`` is the panels'; ``pose`` brings its frame into the piece's, with
    the panels' upper face at z 0.

    ``back`` says that it stands, so that its y axis points up; else y points away from who sits.
    """

    name: str
    on: str
    outline: Region
    pose: Pose
    back: bool
    envelope: CushionEnvelope
    manner: Manner
    buttoning: Buttoning
    panels: Panels
    batting: Batting
    surface: Surface
    cloth: Cloth
    stitching: Stitching
    piping: Piping | None
