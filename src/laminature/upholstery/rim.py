"""Where the panel's edge comes to lie on the flat cloth.

From the nearest of the outermost buttons the cloth runs straight out over the batting's shoulder; as
long as it is on the way, so far from the button's mark the edge comes to lie. That line would be wavy, for
the way is longest at the buttons. The edge is drawn as the tightest line around it whose sides run as
the outline's do: straight ones stay straight, and no place gets less cloth than it wants.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from laminature.errors import GeometryError
from laminature.geometry.flat import Flat, convex, flat, holds_point, tidy
from laminature.geometry.region import Region
from laminature.model.cushion import Surface
from laminature.upholstery.heights import arc_lengths
from laminature.upholstery.outermost import hull, way_to, ways_out

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]
#: Ways to the edge are measured at most this far apart, mm.
APART = 1.0
#: The outline has a corner where it turns by more than this, degrees.
CORNER = 30.0
#: Sides whose directions differ by less than this get evened-out gains of cloth, degrees.
ALIKE = 44.0
#: A side that turns back by more than this makes a bay, degrees: less is the roughness of a flattened curve.
BACK = 0.05
#: Points on a straight line within this belong to one side, mm.
STRAIGHT = 1e-6


@dataclass(frozen=True, eq=False)
class Rim:
    """The edge on the flat cloth: its corners and sides, walked to the left.

    ``cloth`` (n, 2) are points, mm; ``outwards`` unit vectors out of the side from each to the next;
    ``turn`` how far the edge turns to the left at each point, degrees.
    """

    cloth: Array
    outwards: Array
    turn: Array

    @property
    def corner(self) -> Mask:
        """Where the outline has a corner, outwards or inwards."""
        found: Mask = np.abs(self.turn) > CORNER
        return found

    @property
    def shape(self) -> Flat:
        """The region within the edge."""
        if self.turn.min() < -BACK:
            return flat(self.cloth)
        # Neighbouring sides of a curve may meet in one point: what is doubled is dropped.
        return tidy(convex(self.cloth.round(6)))

    def moved(self, shift: Array) -> Rim:
        """The same, shifted."""
        return replace(self, cloth=self.cloth + shift)


def rim(outline: Region, surface: Surface, anchors: Array, marks: Array) -> Rim:
    """The edge of ``outline`` on the cloth, where ``anchors`` of the panel lie at ``marks`` on the cloth.

    Around an outline with bays each side moves out by what it needs itself. Where that comes out crossed, the
    cloth is that of the outline without its bays, to be trimmed there.
    """
    ring = _ring(outline)
    out, turn = _sides(ring)
    if turn.min() < -BACK:
        bayed = _bayed(ring, out, turn, surface, anchors, marks)
        if bayed is not None:
            return bayed
        ring = _corners(np.asarray(convex(ring).exterior.coords)[:-1])
        out, turn = _sides(ring)
    panel, _ = _walked(ring)
    around = hull(anchors)
    reached = _reached(panel, *_feet(panel, anchors[around], marks[around]), surface)
    high = (np.concatenate([reached, marks]) @ out.T).max(axis=0)
    plain = (ring * out).sum(axis=1)
    smooth = _meeting(plain + _evened(high - plain, out), out)
    return Rim(smooth if _forwards(smooth, out) else _meeting(high, out), out, turn)


def _bayed(
    ring: Array, out: Array, turn: Array, surface: Surface, anchors: Array, marks: Array
) -> Rim | None:
    """The edge where the outline has bays, or None where it would cross itself."""
    panel, side = _walked(ring)
    # From the nearest button, and from the outermost ones straight out as their pleats go.
    near = np.argmin(((panel[:, None, :] - anchors) ** 2).sum(axis=2), axis=1)
    foot, image = anchors[near], marks[near]
    for k, way, _ in ways_out(anchors):
        end = way_to(anchors[k], way, ring)
        if end is not None:
            hit = int(np.argmin(np.abs(((end - ring) * out).sum(axis=1)) + _off(end, ring)))
            panel, side = np.concatenate([panel, end[None]]), np.append(side, hit)
            foot, image = np.concatenate([foot, anchors[k][None]]), np.concatenate([image, marks[k][None]])
    gains = (_reached(panel, foot, image, surface) - panel) @ out.T
    plain = (ring * out).sum(axis=1)
    gain = np.zeros(len(ring))
    # A corner is an end of the side before it too.
    first = np.isin(np.arange(len(panel)), np.searchsorted(side[: len(near)], np.arange(len(ring))))
    for who, sides in ((slice(None), side), (first, (side[first] - 1) % len(ring))):
        np.maximum.at(gain, sides, gains[who][np.arange(len(sides)), sides])
    cloth = _meeting(plain + _evened(gain, out), out)
    if not _forwards(cloth, out):
        return None
    try:
        shape = flat(cloth)
    except GeometryError:
        return None
    return Rim(cloth, out, turn) if all(holds_point(shape, *m) for m in marks.tolist()) else None


def _off(point: Array, ring: Array) -> Array:
    """How far a point lies beyond the ends of each side, mm."""
    step = np.roll(ring, -1, axis=0) - ring
    long = np.hypot(step[:, 0], step[:, 1])
    at = ((point - ring) * step).sum(axis=1) / long
    beyond: Array = np.maximum(np.maximum(-at, at - long), 0.0)
    return beyond


def _sides(ring: Array) -> tuple[Array, Array]:
    """Unit vectors out of each side, and the turn to the left at each corner, degrees."""
    step = np.roll(ring, -1, axis=0) - ring
    out: Array = np.column_stack([step[:, 1], -step[:, 0]]) / np.hypot(step[:, 0], step[:, 1])[:, None]
    before = np.roll(out, 1, axis=0)
    turn: Array = np.degrees(
        np.arctan2(before[:, 0] * out[:, 1] - before[:, 1] * out[:, 0], (before * out).sum(axis=1))
    )
    return out, turn


def _reached(panel: Array, foot: Array, image: Array, surface: Surface) -> Array:
    """Where points of the panel's edge come to lie: from the image of each foot on, as the cloth is long."""
    way = panel - foot
    far = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)
    reached: Array = image + way * (arc_lengths(surface, foot, panel, (False, True)) / far)[:, None]
    return reached


def _forwards(cloth: Array, out: Array) -> bool:
    """Whether every side still runs the way it did."""
    step = np.roll(cloth, -1, axis=0) - cloth
    return bool(((step[:, 1] * out[:, 0] - step[:, 0] * out[:, 1]) > -STRAIGHT).all())


def _meeting(high: Array, out: Array) -> Array:
    """The points where each side's line meets the one before; a side lies ``high`` along its normal."""
    before, one = np.roll(out, 1, axis=0), np.roll(high, 1)
    sine = before[:, 0] * out[:, 1] - before[:, 1] * out[:, 0]
    return np.column_stack(
        [(one * out[:, 1] - high * before[:, 1]) / sine, (high * before[:, 0] - one * out[:, 0]) / sine]
    )


def _evened(gain: Array, out: Array) -> Array:
    """The gain of each side, evened with those that face nearly its way, nowhere less than it was.

    The greatest of the neighbours, then the mean of those: so round a curve the waves between buttons
    go, and a round cushion has a round cloth.
    """
    near = out @ out.T > math.cos(math.radians(ALIKE))
    most = np.where(near, gain[None, :], -np.inf).max(axis=1)
    evened: Array = (near * most[None, :]).sum(axis=1) / near.sum(axis=1)
    return evened


def sharpest_corner(outline: Region) -> float:
    """The inner angle of the outline's sharpest corner, degrees; 180 where it has none."""
    _, turn = _sides(_ring(outline))
    return 180.0 - float(turn.max()) if turn.max() > CORNER else 180.0


def outline_walked(outline: Region, apart: float) -> Array:
    """Points (n, 2) along the outline, to the left, its corners among them, at most ``apart`` mm on."""
    return _walked(_ring(outline), apart)[0]


def _ring(outline: Region) -> Array:
    """The outline's corners, walked to the left, without points on straight lines."""
    return _corners(np.asarray(outline.flat.exterior.coords)[:-1])


def _corners(ring: Array) -> Array:
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    chord, step = after - before, ring - before
    off = np.abs(chord[:, 0] * step[:, 1] - chord[:, 1] * step[:, 0])
    kept: Array = ring[off > STRAIGHT * np.hypot(chord[:, 0], chord[:, 1])]
    return kept


def _walked(ring: Array, apart: float = APART) -> tuple[Array, NDArray[np.int64]]:
    """Points along the ring, its corners among them, not too far apart, and the side each is on."""
    steps = np.roll(ring, -1, axis=0) - ring
    count = np.maximum(1, np.ceil(np.hypot(steps[:, 0], steps[:, 1]) / apart - 1e-9)).astype(np.int64)
    who = np.repeat(np.arange(len(ring)), count)
    share = (np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)) / count[who]
    return ring[who] + share[:, None] * steps[who], who


def _feet(points: Array, around: Array, images: Array) -> tuple[Array, Array]:
    """The nearest places on the closed line ``around``, and where these lie on ``images``."""
    a, b = around, np.roll(around, -1, axis=0)
    step = b - a
    square = np.maximum((step**2).sum(axis=1), 1e-18)
    share = np.clip(((points[:, None, :] - a) * step).sum(axis=2) / square, 0.0, 1.0)
    foot = a + share[..., None] * step
    near = np.argmin(((points[:, None, :] - foot) ** 2).sum(axis=2), axis=1)
    who = np.arange(len(points))
    t = share[who, near][:, None]
    image: Array = images[near] * (1 - t) + np.roll(images, -1, axis=0)[near] * t
    return foot[who, near], image
