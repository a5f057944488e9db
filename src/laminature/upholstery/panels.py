"""The boards of a cushion: a guide that shows where thread goes through, and the panels behind it.

The guide has a hole under every button, at most 0.6 of the bead so that no bead slips through
(common practice, no source). Where the board cannot be cut so small the place is only pricked; it is
drilled 0.8 mm once the panel is hardened, and deburred, since a sharp rim cuts thread. Behind it lies the
relief panel, with wide holes over the knots so that the cushion does not rock on them, then
plain ones.
"""

from __future__ import annotations

import math

import numpy as np

from laminature.errors import FormError
from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, Shape, border_distances, chords, grown, minus, pieces, union
from laminature.geometry.nearness import ready, too_close
from laminature.geometry.path import Path, Point, circle, polyline
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region, disc
from laminature.model.cushion import Buttoning, Panels
from laminature.model.finding import Finding
from laminature.units import in_mm
from laminature.upholstery.relief import relief_panel
from laminature.upholstery.seams import knots, thread_places

#: A hole is at most this share of the bead (common practice, no source).
OF_BEAD = 0.6
#: A needle with its thread passes easily here, mm; no hole is larger than it need be, nor than the board's
#: smallest opening (common practice, no source).
EASY = 1.2
#: Drill for pricked places, mm (from memory).
DRILL = 0.8
#: Diameter of the washer that anchors a thread, mm (common practice, no source).
WASHER = 3.0
#: Length of a centre mark's strokes, of a tick at the edge and of the arrow, mm, where the panel is large
#: enough for them.
MARK = 2.0
TICK = 1.2
ARROW = 5.0
#: Marks keep this far from holes and pricked places, mm.
CLEAR = 0.6
#: Half the width of a drawn line, mm.
HAIR = 0.05
#: From the middle of a pricked place's cross to the ends of its strokes, mm: they show around the drill.
#: Close places have smaller crosses, at most this share of the way to each other and to the edge.
PRICK = 0.9
PRICK_SHARE = 0.4


def make_panels(
    outline: Region,
    buttoning: Buttoning,
    bead: float,
    board_opening: float,
    board_web: float,
    *,
    inset: float = 0.0,
    front: int = -1,
    name: str = "cushion",
) -> tuple[Panels, tuple[Finding, ...]]:
    """Guide, relief and backing of a cushion, all of one outline; lengths in mm.

    ``board_opening`` and ``board_web`` are the smallest that the cutter leaves whole. ``inset`` draws
    the outline in on all sides, so that piping shows. The arrow points to ``front``: -1 down the y axis,
    to the front of a seat; 1 up it, to the top of a back.
    Raises FormError where the inset leaves nothing of the panel.
    """
    board = _board(outline, inset, name)
    places = thread_places(buttoning)
    hole = min(OF_BEAD * bead, max(board_opening, EASY))
    cut = hole >= board_opening
    drill = min(DRILL, OF_BEAD * bead)
    size = hole if cut else drill
    guide = Region(
        board.outline, board.openings + (tuple(circle(hole / 2, p) for p in places) if cut else ())
    )
    relief, found = relief_panel(board, knots(buttoning), board_web, name)
    panels = Panels(
        guide=guide,
        relief=relief,
        backing=board,
        hole=size,
        pricked=() if cut else places,
        drill=drill,
        pricks=() if cut else _pricks(board, places),
        marks=_marks(board, places, size, front),
        washers=tuple(disc(WASHER / 2.0) for _ in buttoning.points),
    )
    return panels, (*_web_findings(board, places, size, board_web if cut else 0.0, name), *found)


def _board(outline: Region, inset: float, name: str) -> Region:
    if inset == 0.0:
        return outline
    left = pieces(grown(outline.flat, -inset))
    if len(left) != 1:
        raise FormError(
            f"drawn in by {in_mm(inset)} for its piping, the panel of {name} does not stay whole.",
            "piping",
            "Take a thinner cord, or make the cushion larger.",
        )
    return borders(left[0], [Parallel(outline, -inset)])


def _pricks(board: Region, places: tuple[Point, ...]) -> tuple[Path, ...]:
    """Two strokes that cross at each place, aslant: those about the panel's centre are upright."""
    if not places:
        return ()
    points = np.array(places)
    apart = np.hypot(*(points[:, None, :] - points).transpose(2, 0, 1)) + np.diag([math.inf] * len(points))
    room = np.minimum(apart.min(axis=1), np.abs(border_distances(board.flat, points)))
    arms = np.minimum(PRICK, PRICK_SHARE * room) / math.sqrt(2.0)
    return tuple(
        polyline([(x - arm, y - side * arm), (x + arm, y + side * arm)], closed=False)
        for (x, y), arm in zip(places, arms.tolist(), strict=True)
        for side in (1.0, -1.0)
    )


def _web_findings(
    board: Region, places: tuple[Point, ...], hole: float, web: float, name: str
) -> list[Finding]:
    """The weakest web between two holes of the guide, and between a hole and the edge."""
    if not places:
        return []
    points = np.array(places)
    least = max(web, hole / 2.0)
    found = []
    between = too_close([disc(hole / 2.0, p).flat for p in places], least)
    if between:
        a, b, _ = min(between, key=lambda pair: math.dist(places[pair[0]], places[pair[1]]))
        left = math.dist(places[a], places[b]) - hole
        at = ((points[a] + points[b]) / 2.0).tolist()
        found.append(_weak(name, f"between two holes of the guide panel of {name}", left, least, at))
    away = border_distances(board.flat, points) - hole / 2.0
    k = int(np.argmin(away))
    if away[k] < least - 1e-6:
        found.append(
            _weak(
                name, f"between a hole and the edge of the guide panel of {name}", away[k], least, places[k]
            )
        )
    return found


def _weak(name: str, where: str, left: float, least: float, at: Point | list[float]) -> Finding:
    said = f"The web {where} is {in_mm(max(0.0, float(left)))}; {in_mm(least)} is wanted."
    return Finding(
        "guide-web-weak", "care", said, "Space the buttons wider.", name, point=(at[0], at[1], 0.0)
    )


def _marks(board: Region, places: tuple[Point, ...], hole: float, front: int) -> tuple[Path, ...]:
    """Strokes about the centre and at the ends of the centre lines, and an arrow that shows the way round."""
    x0, y0, x1, y1 = board.bounds
    small = min(x1 - x0, y1 - y0)
    taken = union([disc(hole / 2.0 + CLEAR, p).flat for p in places]) if places else Flat()
    room = ready(minus(grown(board.flat, -CLEAR), taken))
    strokes = [s for s in _centre_marks(board, hole / 2.0 + CLEAR + 2.0 * HAIR, small) if _fits(s, room)]
    arrow = min(ARROW, 0.2 * small)
    for tip in _spots(board, front, arrow):
        drawn = _arrow(tip, front, arrow)
        if all(_fits(stroke, room) for stroke in drawn):
            strokes += drawn
            break
    return tuple(polyline(stroke, closed=False) for stroke in strokes)


def _centre_marks(board: Region, gap: float, small: float) -> list[list[Point]]:
    """From ``gap`` mm beside the centre outwards, and from just inside the edge inwards."""
    x0, y0, x1, y1 = board.bounds
    cx, cy = (x0 + x1) / 2.0, (y0 + y1) / 2.0
    long, tick = min(MARK, 0.1 * small), min(TICK, 0.05 * small)
    found: list[list[Point]] = []
    for dx, dy in ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)):
        found.append([(cx + dx * t, cy + dy * t) for t in (gap, gap + long)])
        far = (cx + dx * (x1 - x0), cy + dy * (y1 - y0))
        for _, (ex, ey) in chords(board.flat, (cx, cy), far)[-1:]:
            inwards = (CLEAR + 2.0 * HAIR, CLEAR + 2.0 * HAIR + tick)
            found.append([(ex - dx * t, ey - dy * t) for t in inwards])
    return found


def _arrow(tip: Point, front: int, length: float) -> list[list[Point]]:
    x, y = tip
    barb = 0.3 * length
    return [
        [(x, y - front * length), tip],
        [(x - barb, y - front * barb), tip, (x + barb, y - front * barb)],
    ]


def _spots(board: Region, front: int, length: float) -> list[Point]:
    """Where the arrow's tip may lie: near the front first, on the centre line first."""
    x0, y0, x1, y1 = board.bounds
    cx, edge = (x0 + x1) / 2.0, y1 if front > 0 else y0
    found = []
    for down in np.arange(0.1, 1.0, 0.1) * length + CLEAR + TICK + 4.0 * HAIR:
        for aside in np.arange(0.0, 0.45, 0.02) * (x1 - x0):
            for side in (1.0, -1.0):
                found.append((cx + side * float(aside), edge - front * float(down)))
    for up in np.arange(0.0, 1.0, 0.05) * (y1 - y0):
        for aside in np.arange(0.0, 0.45, 0.05) * (x1 - x0):
            found.append((cx + float(aside), edge - front * float(up)))
    return found


def _fits(stroke: list[Point], room: Shape) -> bool:
    # A hair's breadth of board along the stroke.
    hair = union([disc(HAIR, p).flat for p in stroke]).convex_hull
    return bool(room.covers(hair))
