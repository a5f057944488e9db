"""Aprons: a leg panel whose lower edge is cut to a named curve, so that two feet are left.

The curves are the trade's plain ones, drawn with exact lines, circular arcs and cubics;
their proportions are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from laminature.errors import FormError
from laminature.forms.values import Sizes
from laminature.geometry.path import Arc, Cubic, Line, Path, Point, Segment
from laminature.geometry.region import Region

#: From the foot's inner toe (-half, 0) to where the edge runs level at the rise.
_Half = Callable[[float, float], list[Segment]]


def _straight(half: float, rise: float) -> list[Segment]:
    return [Line((-half, 0.0), (-half, rise))]


def _arched(half: float, rise: float) -> list[Segment]:
    """A heel, then one arc to the crown. A flatter arch keeps its toes from running out thin."""
    heel = 0.4 * rise
    sag = rise - heel
    if sag > half:
        raise ValueError("more than half a circle")
    radius = (half * half + sag * sag) / (2.0 * sag)
    return [
        Line((-half, 0.0), (-half, heel)),
        Arc((-half, heel), (0.0, rise), (0.0, rise - radius), ccw=False),
    ]


def _bracket(half: float, rise: float) -> list[Segment]:
    """An upright foot with a quarter-round bracket under the rail."""
    q = min(0.5 * rise, 0.5 * half)
    return [
        Line((-half, 0.0), (-half, rise - q)),
        Arc((-half, rise - q), (-half + q, rise), (-half + q, rise - q), ccw=False),
    ]


def _ogee(half: float, rise: float) -> list[Segment]:
    """A heel, a hollow and a round quarter that meet smoothly, and a small upright fillet."""
    heel, q = 0.15 * rise, 0.375 * rise
    if 2.0 * q > 0.9 * half:
        raise ValueError("the two ogees meet")
    x, y = -half, heel
    return [
        Line((x, 0.0), (x, y)),
        Arc((x, y), (x + q, y + q), (x + q, y), ccw=False),
        Arc((x + q, y + q), (x + 2 * q, y + 2 * q), (x + q, y + 2 * q), ccw=True),
        Line((x + 2 * q, y + 2 * q), (x + 2 * q, rise)),
    ]


def _stepped(half: float, rise: float) -> list[Segment]:
    s = min(0.5 * rise, half / 3.0)
    corners = [(-half, 0.0), (-half, 0.5 * rise), (-half + s, 0.5 * rise), (-half + s, rise)]
    return [Line(p, q) for p, q in pairwise(corners)]


def _serpentine(half: float, rise: float) -> list[Segment]:
    """Two swells with a soft drop between them, level in the middle."""
    heel, drop = 0.3 * rise, 0.25 * rise
    crown, middle = (-0.5 * half, rise), (0.0, rise - drop)
    return [
        Line((-half, 0.0), (-half, heel)),
        Cubic((-half, heel), (-half, heel + 0.6 * (rise - heel)), (-0.8 * half, rise), crown),
        Cubic(crown, (-0.25 * half, rise), (-0.25 * half, rise - drop), middle),
    ]


_CURVES: dict[str, _Half] = {
    "straight": _straight,
    "arched": _arched,
    "bracket": _bracket,
    "ogee": _ogee,
    "stepped": _stepped,
    "serpentine": _serpentine,
}

#: Names of the curves, in the order in which they are offered.
APRONS: tuple[str, ...] = tuple(_CURVES)


def apron_panel(
    length: float, height: float, foot: float, rise: float, curve: str, *, opening: float, sizes: Sizes
) -> Region:
    """A panel ``length`` × ``height`` mm on two feet ``foot`` wide, cut ``rise`` mm high between them.

    It stands on y = 0 and is centred in x. A rise of 0 leaves the panel whole, down to the floor.
    ``opening`` is the narrowest gap that the board allows, mm. Raises FormError where the feet
    leave no such gap, or where the curve has no room between them.
    """
    x = length / 2.0
    upper = [Line((x, 0.0), (x, height)), Line((x, height), (-x, height)), Line((-x, height), (-x, 0.0))]
    if rise == 0.0:
        return Region(Path((Line((-x, 0.0), (x, 0.0)), *upper)))
    half = x - foot
    if 2.0 * half < opening:
        raise FormError(
            f"feet of {sizes.say(foot)} leave no gap in a panel of {sizes.say(length)}.",
            "foot",
            "Make the feet narrower, or give the apron a rise of 0.",
        )
    try:
        left = _CURVES[curve](half, rise)
    except ValueError:
        raise FormError(
            f"a curve {curve!r} cannot rise by {sizes.say(rise)} between feet {sizes.say(2 * half)} apart.",
            "rise",
            "Let it rise less, make the feet narrower, or choose another curve: straight takes least room.",
        ) from None
    edge = _joined([*left], [_mirrored(s) for s in reversed(left)])
    segments = (Line((-x, 0.0), (-half, 0.0)), *edge, Line((half, 0.0), (x, 0.0)), *upper)
    return Region(Path(segments))


def _joined(left: list[Segment], right: list[Segment]) -> list[Segment]:
    a, b = left[-1], right[0]
    if isinstance(a, Arc) and isinstance(b, Arc) and a.centre == b.centre:
        return [*left[:-1], Arc(a.start, b.end, a.centre, a.ccw), *right[1:]]
    return [*left, *right] if a.end == b.start else [*left, Line(a.end, b.start), *right]


def _mirrored(s: Segment) -> Segment:
    """The segment on the other side of the middle, walked from the middle outwards."""

    def to(p: Point) -> Point:
        return (-p[0], p[1])

    if isinstance(s, Line):
        return Line(to(s.end), to(s.start))
    if isinstance(s, Arc):
        # Mirroring turns the sense of turning, walking backwards turns it again.
        return Arc(to(s.end), to(s.start), to(s.centre), s.ccw)
    return Cubic(to(s.end), to(s.c2), to(s.c1), to(s.start))
