"""Edge profiles and rims: what is done to the layers at a part's border.

A profile is a curve from the lower face of a stack to its upper one. Each layer is cut
where the curve, within that layer, lies furthest *out*, so that the steps stand proud of
the curve everywhere and sanding reaches it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np

from laminature.errors import FormError
from laminature.geometry.flat import Flat, grown, pieces
from laminature.geometry.path import Arc, circle, polyline
from laminature.geometry.region import Region
from laminature.model.part import EdgeProfile, Face, Rim
from laminature.model.stack import Stack


def _quarter_round(u: float) -> float:
    return 1.0 - math.sqrt(max(0.0, 1.0 - u * u))


def _ogee(u: float) -> float:
    """A convex quarter below, a hollow one above, meeting level in the middle (cyma recta)."""
    if u <= 0.5:
        return 0.5 * _quarter_round(2.0 * u)
    return 0.5 + 0.5 * math.sqrt(max(0.0, 1.0 - (2.0 - 2.0 * u) ** 2))


def _bevel(u: float) -> float:
    return u


def _thumbnail(u: float) -> float:
    """A flat quarter ellipse over three quarters of the height, then a small upright fillet."""
    return _quarter_round(min(1.0, u / 0.75))


#: Curve (share of the height -> share of the reach, never falling) and reach per thickness.
#: The curves are the classical mouldings of those names; the reaches are common practice, no source.
_CURVES: dict[str, tuple[Callable[[float], float], float]] = {
    "quarter-round": (_quarter_round, 1.0),
    "ogee": (_ogee, 1.25),
    "bevel": (_bevel, 1.0),
    "thumbnail": (_thumbnail, 1.5),
}

#: Heights at which a curve is kept, as shares of the whole; closer where curves are steep, so that a
#: curve of 5 mm is met within 0.02 mm.
_SHARES: tuple[float, ...] = tuple(
    sorted(
        {
            low + (high - low) * (1.0 - math.cos(math.pi * k / 16)) / 2.0
            for low, high in ((0.0, 0.5), (0.5, 0.75), (0.75, 1.0))
            for k in range(17)
        }
    )
)

#: Names of the profiles, in the order in which they are offered.
PROFILES: tuple[str, ...] = tuple(_CURVES)


def profile_inset(name: str, share: float) -> float:
    """How far profile ``name`` lies in at ``share`` (0…1) of the height, as a share of its reach."""
    return _CURVES[name][0](share)


def edge_profile(
    profile: str | Sequence[float] | None,
    stack: Stack,
    reach: float | None = None,
    face: Face = "upper",
) -> EdgeProfile | None:
    """The profile's insets for the layers of ``stack``, or None for a straight edge.

    ``profile`` is a name of :data:`PROFILES`, ``"straight"`` (or None), or a list of insets in
    mm, one per layer from layer 1 up. ``reach`` is how far the curve comes in, mm; None takes
    the profile's own in proportion to the thickness. ``face`` is the face at which the edge
    lies furthest in. Raises FormError for an unknown name or a list that does not fit the stack.
    """
    if profile is None or profile == "straight":
        return None
    if not isinstance(profile, str):
        return _listed(tuple(float(v) for v in profile), stack)
    if profile not in _CURVES:
        raise FormError(
            f"there is no edge profile {profile!r}.",
            "profile",
            f"Choose one of {', '.join(PROFILES)}, or a list.",
        )
    if stack.count < 2:
        raise FormError(
            f"a {profile} needs at least 2 layers to step, and this part has 1.",
            "profile",
            "Use a thinner board or a straight edge.",
        )
    curve, share = _CURVES[profile]
    reach = share * stack.thickness if reach is None else reach
    bounds = stack.bounds
    lows = bounds[:-1] if face == "upper" else tuple(stack.thickness - b for b in reversed(bounds[1:]))
    # The curves never fall, so within a layer they lie furthest out at the layer's beginning.
    insets = tuple(reach * curve(low / stack.thickness) for low in lows)
    points = [(share * stack.thickness, reach * curve(share)) for share in _SHARES]
    if face == "lower":
        points = [(stack.thickness - z, inset) for z, inset in reversed(points)]
    return EdgeProfile(profile, insets if face == "upper" else insets[::-1], tuple(points))


def _listed(insets: tuple[float, ...], stack: Stack) -> EdgeProfile:
    if len(insets) != stack.count:
        raise FormError(
            f"the edge profile lists {len(insets)} insets, but the part has {stack.count} layers.",
            "profile",
            "Give one inset for each layer, from the lowest up.",
        )
    if not all(math.isfinite(v) and v >= 0.0 for v in insets):
        raise FormError("the insets of an edge profile are lengths of 0 mm or more.", "profile")
    # Sanding takes steps down to their inner corners: the curve goes through those.
    inner = [(z, max(a, b)) for z, a, b in zip(stack.bounds[1:-1], insets, insets[1:], strict=False)]
    return EdgeProfile("listed", insets, ((0.0, insets[0]), *inner, (stack.thickness, insets[-1])))


def inset(region: Region, distance: float, what: str = "rim") -> Region:
    """The region whose border lies ``distance`` mm inside that of ``region``, openings ignored.

    A circle stays a circle. Raises FormError, naming ``what``, where nothing or more
    than one piece would be left.
    """
    round_one = _radius_and_centre(region)
    if round_one is not None and round_one[0] > distance:
        return Region(circle(round_one[0] - distance, round_one[1]))
    left = pieces(grown(Flat(region.flat.exterior), -distance))
    if round_one is not None or len(left) != 1:
        raise FormError(
            f"a {what} of {distance:.2f} mm leaves no single opening in this outline.",
            what,
            f"Make the {what} narrower.",
        )
    return Region(polyline(np.asarray(left[0].exterior.coords)[:-1]))


def rim(region: Region, stack: Stack, layers: int, width: float) -> Rim | None:
    """The uppermost ``layers`` as a ring of ``width`` mm, or None where ``layers`` is 0.

    Raises FormError where no layer would be left under the rim, or no opening within it.
    """
    if layers == 0:
        return None
    if layers >= stack.count:
        raise FormError(
            f"a rim of {layers} layers leaves nothing of a stack of {stack.count} below it.",
            "rim_layers",
            f"Give the rim at most {stack.count - 1} layers, or the part more.",
        )
    if not width > 0.0:
        raise FormError("a rim needs a width of more than 0 mm.", "rim_width")
    return Rim(layers, inset(region, width))


def check_room(
    region: Region, stack: Stack, profile: EdgeProfile | None, rim_layers: int, rim_width: float, web: float
) -> None:
    """Raise FormError where an edge profile takes so much that less than ``web`` mm of a layer is left.

    The profile is cut from the outside, a rim's opening from the inside: what stands of the rim's
    layers is the rim's width less the profile's inset there.
    """
    deepest = max(profile.insets, default=0.0) if profile else 0.0
    wanted = web + max(profile.insets[stack.count - rim_layers :], default=0.0) if profile else web
    if 0 < rim_layers < stack.count and rim_width < wanted:
        raise FormError(
            f"a rim of {rim_width:.2f} mm leaves less than {web:g} mm of board"
            + (f" inside the {profile.name}." if profile else "."),
            "rim_width",
            f"Give the rim at least {math.ceil(100.0 * wanted) / 100.0:.2f} mm"
            + (", or choose another profile." if profile else "."),
        )
    if deepest > 0.0 and len(pieces(grown(Flat(region.flat.exterior), -deepest - web / 2.0))) != 1:
        raise FormError(
            f"the {profile.name if profile else ''} comes in by {deepest:.2f} mm, "
            "and leaves too little of the uppermost layer.",
            "profile",
            "Make the part larger or thinner, or choose a straight edge.",
        )


def _radius_and_centre(region: Region) -> tuple[float, tuple[float, float]] | None:
    first = region.outline.segments[0]
    if not isinstance(first, Arc):
        return None
    alike = all(
        isinstance(s, Arc)
        and s.ccw
        and math.dist(s.centre, first.centre) < 1e-9
        and abs(s.radius - first.radius) < 1e-9
        for s in region.outline.segments
    )
    return (first.radius, first.centre) if alike else None
