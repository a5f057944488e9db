"""What must hold of any piece, measured on its finished layers and on nothing that made them."""

from __future__ import annotations

from functools import cached_property
from itertools import groupby

import manifold3d as m3
import numpy as np
import shapely

from laminature.geometry.thinness import thin_webs
from laminature.joinery.contacts import find_contacts
from laminature.joinery.joints import make_joints
from laminature.joinery.rules import rule_for
from laminature.layering.aligning.pins import with_pins
from laminature.layering.layers import make_layers
from laminature.model.form import Workshop
from laminature.model.piece import Piece


class Assembled:
    """A piece with its joints and layers, and solids stacked from the layers' own polygons."""

    def __init__(self, piece: Piece, workshop: Workshop) -> None:
        self.piece, self.fit = piece, workshop.fit
        self.contacts = find_contacts(piece.parts)
        web = workshop.board.smallest_web(workshop.cutter)
        self.joints, self.findings = make_joints(piece, self.contacts, workshop.fit, web=web)
        self.unpierced = make_layers(piece, self.joints, workshop.edge_sanding)
        boards = {workshop.board.name: workshop.board}
        self.layers, _ = with_pins(piece.parts, self.unpierced, boards, workshop.cutter)
        self.parts = {p.name: p for p in piece.parts}
        self._solids: dict[tuple[str, bool], m3.Manifold] = {}
        self._by_layer = {(x.part, x.index): shapely.MultiPolygon(x.regions) for x in self.layers}

    def layer(self, part: str, index: int) -> shapely.MultiPolygon:
        """The board of one layer, in its part's own plane."""
        return self._by_layer[(part, index)]

    def own(self, name: str, pierced: bool = True) -> m3.Manifold:
        """The stacked extrusion of a part's layers, in its own frame (64-bit); with its openings for pins."""
        slabs = []
        mine = [x for x in (self.layers if pierced else self.unpierced) if x.part == name and x.regions]
        # Layers that are alike and lie on each other are one slab: there are far fewer solids to add up.
        for _, run in groupby(enumerate(mine), key=lambda n: (n[1].regions, n[1].index - n[0])):
            alike = [x for _, x in run]
            rings = [np.asarray(r.coords)[:-1] for p in alike[0].regions for r in (p.exterior, *p.interiors)]
            cross = m3.CrossSection(rings, m3.FillRule.EvenOdd)
            low, high = alike[0].lower, alike[-1].upper
            slabs.append(m3.Manifold.extrude(cross, high - low).translate((0, 0, low)))
        return m3.Manifold.batch_boolean(slabs, m3.OpType.Add)

    def solid(self, name: str, pierced: bool = True) -> m3.Manifold:
        """The same, where it stands in the piece."""
        key = (name, pierced or not any(x.pins for x in self.layers if x.part == name))
        if key not in self._solids:
            pose = self.parts[name].pose
            self._solids[key] = self.own(*key).transform(np.column_stack([pose.matrix, pose.shift]))
        return self._solids[key]

    @cached_property
    def boxes(self) -> dict[str, np.ndarray]:
        """Least and greatest x, y, z of every part, shape (6,)."""
        return {n: np.array(self.solid(n).bounding_box()) for n in self.parts}

    def apart(self, one: str, other: str, slack: float = 0.0) -> bool:
        """Whether the boxes of two parts are further apart than ``slack``."""
        p, q = self.boxes[one], self.boxes[other]
        return bool((p[:3] > q[3:] + slack).any() or (q[:3] > p[3:] + slack).any())

    def intended(self, name: str, index: int) -> shapely.Geometry:
        """A layer as it was drawn, before any joint: outline less edge profile and rim."""
        part = self.parts[name]
        shape = part.outline.flat
        if part.profile is not None and part.profile.insets[index - 1]:
            shape = shape.buffer(-part.profile.insets[index - 1], join_style="mitre")
        if part.rim is not None and index > part.stack.count - part.rim.layers:
            shape = shape.difference(part.rim.opening.flat)
        return shape


def empty_layers(a: Assembled) -> list[str]:
    """Layers of which nothing is left."""
    return [f"{x.part} {x.index}" for x in a.layers if not x.regions or not x.cut]


def overlaps(a: Assembled, limit: float = 1e-3) -> list[tuple[str, str, float]]:
    """Pairs of parts that share more than ``limit`` mm³."""
    names = list(a.parts)
    found = []
    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            if a.apart(one, other):
                continue
            volume = (a.solid(one) ^ a.solid(other)).volume()
            if volume > limit:
                found.append((one, other, round(volume, 6)))
    return found


def jams(a: Assembled) -> list[str]:
    """Joints that do not come apart along the way in which they are said to go together.

    The part that enters is drawn back a little, half its depth and out; the two may
    never share board. Pairs that are joined in several places come apart as a whole or not at all,
    which a check of its own looks after.
    """
    faults = []
    pairs = [frozenset((j.receiver, j.entering)) for j in a.joints if j.depth]
    for joint in a.joints:
        if not joint.depth:
            continue
        if not joint.entries:
            faults.append(f"{joint.name} ({joint.kind}): no way in")
        if pairs.count(frozenset((joint.receiver, joint.entering))) > 1:
            continue
        far = max(joint.projection, a.parts[joint.receiver].thickness)
        for way in joint.entries:
            for share in (0.05, 0.5, 1.05):
                drawn = a.solid(joint.entering).translate(tuple(-share * far * v for v in way))
                volume = (drawn ^ a.solid(joint.receiver)).volume()
                if volume > 1e-3:
                    faults.append(f"{joint.name} ({joint.kind}): jams along {way}, {volume:.3f} mm³")
                    break
    return faults


def slivers(a: Assembled) -> list[str]:
    """Crumbs of board, doubled points, points on the line of their neighbours, and threads of board."""
    faults = []
    for x in a.layers:
        for polygon in (*x.regions, *x.cut):
            if polygon.area < 1e-4:
                faults.append(f"{x.part} {x.index}: a crumb of {polygon.area:.2e} mm²")
            if not polygon.is_valid:
                faults.append(f"{x.part} {x.index}: an outline that crosses itself")
            for ring in (polygon.exterior, *polygon.interiors):
                points = np.asarray(ring.coords)[:-1]
                step = np.roll(points, -1, axis=0) - points
                length = np.hypot(step[:, 0], step[:, 1])
                if length.min() < 1e-6:
                    faults.append(f"{x.part} {x.index}: points {length.min():.1e} mm apart")
                ahead = np.roll(step, -1, axis=0)
                bend = np.abs(step[:, 0] * ahead[:, 1] - step[:, 1] * ahead[:, 0])
                off = bend / np.maximum(np.hypot(*(step + ahead).T), 1e-12)
                if (off < 1e-9).any():
                    faults.append(f"{x.part} {x.index}: a point too many on a straight line")
    return faults


def threads(a: Assembled, width: float = 0.1) -> list[str]:
    """Board thinner than ``width`` mm between two cuts that was not drawn so."""
    drawn: dict[str, bool] = {}
    faults = []
    shapes = {shape.wkb: (x, shape) for x in a.layers for shape in x.cut}
    found = thin_webs([shape for _, shape in shapes.values()], width)
    for (x, _), thin in zip(shapes.values(), found, strict=True):
        if not thin:
            continue
        if x.part not in drawn:
            drawn[x.part] = any(thin_webs([a.parts[x.part].outline.flat], width)[0])
        if not drawn[x.part]:
            faults.append(f"{x.part} {x.index}: board {thin[0].width:.3f} mm thin at {thin[0].point}")
    return faults


def broken_show_faces(a: Assembled) -> list[str]:
    """Show faces with an opening that nobody asked for, measured on the layers themselves.

    What is missing of the layer that is seen must lie under the foot of a part that stands on that very
    face, or have been asked for: a joint said to go through, a crossing, fingers or a rebate.
    """
    faults = []
    for part in a.piece.parts:
        for face, index, seen in _seen_layers(a, part.name):
            missing = seen.difference(a.layer(part.name, index)).buffer(-1e-4)
            if missing.area < 1e-3:
                continue
            for other in a.parts:
                if other != part.name and not a.apart(part.name, other, 0.1):
                    missing = missing.difference(_asked_opening(a, part.name, face, index, other))
            if missing.area > 1e-3:
                spot = missing.representative_point()
                faults.append(
                    f"{part.name} {face} (layer {index}): {missing.area:.3f} mm² missing "
                    f"about {spot.x:.2f}, {spot.y:.2f}"
                )
    return faults


def _seen_layers(a: Assembled, name: str):
    """Each shown face, the layer seen there and where: in a rim's opening that is the floor's layer."""
    part = a.parts[name]
    for face in sorted(part.show):
        index = 1 if face == "lower" else part.stack.count
        yield face, index, a.intended(name, index)
        if face == "upper" and part.rim is not None:
            floor = part.stack.count - part.rim.layers
            yield face, floor, a.intended(name, floor).intersection(part.rim.opening.flat)


def _asked_opening(a: Assembled, name: str, face: str, index: int, other: str) -> shapely.Geometry:
    """Where ``other`` may have opened the layer ``index`` of ``name`` that is seen on ``face``."""
    part = a.parts[name]
    low, high = part.stack.bounds[index - 1 : index + 1]
    joints = [j for j in a.joints if {j.receiver, j.entering} == {name, other} and j.depth]
    pose = part.pose
    inverse = np.column_stack([pose.matrix.T, -pose.matrix.T @ pose.shift])
    solid = a.solid(other, pierced=False).transform(inverse)
    loose = max(a.fit.side, a.fit.lengthwise, a.fit.beyond)
    asked = any(j.kind in ("halving", "radial", "fingers", "rebate") for j in joints) or any(
        j.through and rule_for(a.piece.rules, name, other).through for j in joints
    )
    if asked:
        # Crossings on one line clear each other beyond their own slabs; cuts run out over a near border.
        passing = _shadow(solid, low - 0.05, high + 0.05)
        return passing.buffer(max(1.1, part.thickness) + loose, join_style="mitre")
    outside = (high, high + 0.05) if face == "upper" else (low - 0.05, low)
    return _shadow(solid, *outside).buffer(2.0 * loose + 0.4, join_style="mitre")


def _shadow(solid: m3.Manifold, low: float, high: float) -> shapely.Geometry:
    """The outline, seen along z, of what a solid has between two heights."""
    between = solid.trim_by_plane((0.0, 0.0, 1.0), low).trim_by_plane((0.0, 0.0, -1.0), -high)
    if between.is_empty():
        return shapely.Polygon()
    rings = [np.asarray(r) for r in between.project().to_polygons()]
    return shapely.union_all([shapely.Polygon(r).buffer(0) for r in rings if len(r) >= 3])


def outer_size(a: Assembled) -> np.ndarray:
    """The piece's extents, mm, shape (3,)."""
    boxes = np.array(list(a.boxes.values()))
    return boxes[:, 3:].max(axis=0) - boxes[:, :3].min(axis=0)
