"""What of a stack is open, and what of that is seen once the piece stands: areas, layer by layer.

From a side a stack is open where no other of its layers lies in front: its outer layer, a floor within a
rim, the steps of a moulding. Seen is what of that no other part covers and no cushion lies on.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from laminature.geometry.flat import Flat, Flats, Shape, grown, mapped, minus, pieces, union
from laminature.geometry.plane_cut import cut_out
from laminature.geometry.pose import Array, Pose
from laminature.model.cushion import Upholstery
from laminature.model.layer import Layer
from laminature.model.part import Face, Part
from laminature.model.piece import Piece

#: What stands so near before a face covers it, mm: more than any clearance, less than a layer of card.
NEAR = 0.3
#: Less than this share of a face is no face to sand: it is hidden.
HIDDEN = 0.02
#: A layer with at least this share of what is seen of a face is named.
NAMED = 0.15
#: Crumbs that are counted nowhere, mm².
CRUMB = 0.02
#: The thicknesses of cloth below a panel, where corners are pleated.
PLEAT = 3


@dataclass(frozen=True)
class Seen:
    """What is seen of a face: the ``labels`` of the layers that it lies on, the outer first, and its area."""

    face: Face
    labels: tuple[str, ...]
    area: float


@dataclass(frozen=True)
class _Slab:
    """A layer of another part, or a cushion: what may cover a face."""

    regions: Flats
    lower: float
    upper: float
    pose: Pose
    corners: Array


class Surroundings:
    """All parts and cushions of a piece, to be asked what of a part is seen among them."""

    def __init__(
        self, piece: Piece, layers: Mapping[str, Sequence[Layer]], cushions: Sequence[Upholstery]
    ) -> None:
        self.piece = piece
        self._cushions = {made.name: (made, _footprint(made, piece)) for made in cushions}
        self._slabs: dict[str, list[_Slab]] = {}
        for part in piece.parts:
            mine = layers.get(part.name, ())
            self._slabs[part.name] = [_slab(x.regions, x.lower, x.upper, part.pose) for x in mine]
        self._soft = [
            _slab((shape,), -_base(made), made.envelope.height - _base(made), made.pose)
            for made, shape in self._cushions.values()
        ]

    def seen(self, part: Part, layers: Sequence[Layer]) -> tuple[Seen, ...]:
        """The faces of a part that show, and how much of each; those that are covered are left out."""
        found = []
        for face in _FACES:
            if not part.shows(face):
                continue
            lies_open = opened(layers, face)
            shown = [
                (layer, sum(p.area for p in self._left(part, face, layer, shapes, n > 0)))
                for n, (layer, shapes) in enumerate(lies_open)
            ]
            total = sum(area for _, area in shown)
            if total > HIDDEN * open_area(lies_open):
                labels = tuple(layer.label for layer, area in shown if area >= NAMED * total)
                found.append(Seen(face, labels, total))
        return tuple(found)

    def _left(self, part: Part, face: Face, layer: Layer, shapes: Flats, deeper: bool) -> Flats:
        """What of ``shapes``, open on a layer, nothing covers.

        In what lies ``deeper`` there may be slots: the play round a tab is neither sanded nor coated.
        """
        if not shapes:
            return ()
        own, height = (part.pose, layer.upper) if face == "upper" else (_turned(part.pose), -layer.lower)
        mine = shapes if face == "upper" else tuple(_flipped(shape) for shape in shapes)
        others = [
            slab
            for other in self.piece.parts
            if other.name != part.name and other.group == part.group
            for slab in self._slabs[other.name]
        ]
        covers: list[Shape] = list(_above((*others, *self._soft), own, height, mine))
        if deeper:
            covers = [grown(one, NEAR) for one in covers]
        for made, shape in self._cushions.values():
            # What lies under a cushion is hidden by it however deep it lies.
            if made.on == part.name and float(np.dot(made.pose.z, own.z)) > 0.99:
                covers += cut_out((shape,), 0.0, 1.0, _level(made.pose, own, height), own, height, NEAR)
        return pieces(minus(_one(mine), _one(covers)), CRUMB) if covers else mine


_FACES: tuple[Face, Face] = ("lower", "upper")


def opened(layers: Sequence[Layer], face: Face) -> list[tuple[Layer, Flats]]:
    """The layers of a stack from a side of it inwards, each with what no layer before it hides."""
    ordered = list(layers if face == "lower" else reversed(layers))
    found = [(ordered[0], ordered[0].regions)]
    before, last = _one(ordered[0].regions), ordered[0].regions
    for layer in ordered[1:]:
        if layer.regions == last:
            found.append((layer, ()))
            continue
        last = layer.regions
        open_ = pieces(minus(_one(last), before), CRUMB)
        found.append((layer, open_))
        before = union((before, *open_)) if open_ else before
    return found


def _one(shapes: Sequence[Shape]) -> Shape:
    return shapes[0] if len(shapes) == 1 else union(shapes)


def open_area(lies_open: Sequence[tuple[Layer, Flats]]) -> float:
    """The area of all that is open of a stack from a side, mm²."""
    return float(sum(shape.area for _, shapes in lies_open for shape in shapes))


def _above(slabs: Sequence[_Slab], own: Pose, height: float, mine: Flats) -> list[Flat]:
    """What of slabs lies just over a height of a frame, in its x and y, where it may meet ``mine``."""
    if not slabs:
        return []
    bounds = np.array([p.bounds for p in mine])
    local = own.to_part(np.stack([slab.corners for slab in slabs]))
    low, high = local.min(axis=1), local.max(axis=1)
    near = (low[:, 2] < height + NEAR) & (high[:, 2] > height)
    near &= (low[:, :2] < bounds[:, 2:].max(axis=0)).all(axis=1)
    near &= (high[:, :2] > bounds[:, :2].min(axis=0)).all(axis=1)
    found: list[Flat] = []
    for n in np.nonzero(near)[0]:
        slab = slabs[int(n)]
        found += cut_out(slab.regions, slab.lower, slab.upper, slab.pose, own, height, NEAR)
    return found


def _slab(regions: Flats, lower: float, upper: float, pose: Pose) -> _Slab:
    xs = [p.bounds for p in regions]
    x0, y0 = min(b[0] for b in xs), min(b[1] for b in xs)
    x1, y1 = max(b[2] for b in xs), max(b[3] for b in xs)
    corners = np.array(list(itertools.product((x0, x1), (y0, y1), (lower, upper))))
    return _Slab(regions, lower, upper, pose, pose.to_piece(corners))


def _base(made: Upholstery) -> float:
    """How far a cushion reaches below the upper face of its panels, mm."""
    return made.envelope.panel_thickness + PLEAT * made.envelope.cloth


def _footprint(made: Upholstery, piece: Piece) -> Flat:
    """What a covered cushion hides: with its cloth, and with the gap where a frame stands round it."""
    rim = any(c.name == made.name and c.rim > 0.0 for c in piece.cushions)
    wide = made.envelope.side + (made.envelope.clearance if rim else 0.0)
    return max(pieces(grown(Flat(made.outline.flat.exterior), wide)), key=lambda p: p.area)


def _turned(pose: Pose) -> Pose:
    """The frame of a part seen from below: turned half round about its x axis."""

    def back(v: tuple[float, float, float]) -> tuple[float, float, float]:
        return (-v[0], -v[1], -v[2])

    return Pose(pose.origin, pose.x, back(pose.y), back(pose.z))


def _flipped(shape: Flat) -> Flat:
    return mapped(shape, ((1.0, 0.0), (0.0, -1.0)))


def _level(pose: Pose, own: Pose, height: float) -> Pose:
    """A cushion's frame brought down onto a height of a part."""
    origin = own.to_part(pose.shift)
    x, y, z = (float(v) for v in own.to_piece(np.array([origin[0], origin[1], height])))
    return Pose((x, y, z), pose.x, pose.y, pose.z)
