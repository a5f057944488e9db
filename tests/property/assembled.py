"""What must hold of any piece, measured on its finished layers and on nothing that made them."""

from __future__ import annotations

import manifold3d as m3
import numpy as np

from laminature.joinery.contacts import find_contacts
from laminature.joinery.joints import make_joints
from laminature.layering.layers import make_layers
from laminature.model.fit import Fit
from laminature.model.joint import Joint
from laminature.model.piece import Piece


class Assembled:
    """A piece with its joints and layers, and solids stacked from the layers' own polygons."""

    def __init__(self, piece: Piece, fit: Fit, edge_sanding: float = 0.15) -> None:
        self.piece, self.fit = piece, fit
        self.contacts = find_contacts(piece.parts)
        self.joints, self.findings = make_joints(piece, self.contacts, fit)
        self.layers = make_layers(piece, self.joints, edge_sanding)
        self.parts = {p.name: p for p in piece.parts}
        self._solids: dict[str, m3.Manifold] = {}

    def layer(self, part: str, index: int):
        return next(x for x in self.layers if x.part == part and x.index == index)

    def solid(self, name: str) -> m3.Manifold:
        """The stacked extrusion of a part's layers, in the piece's frame (64-bit)."""
        if name not in self._solids:
            part = self.parts[name]
            slabs = []
            for x in self.layers:
                if x.part != name or not x.regions:
                    # A layer with nothing left is a finding of its own; manifold3d cannot extrude it.
                    continue
                rings = [np.asarray(r.coords)[:-1] for p in x.regions for r in (p.exterior, *p.interiors)]
                cross = m3.CrossSection(rings, m3.FillRule.EvenOdd)
                slabs.append(m3.Manifold.extrude(cross, x.upper - x.lower).translate((0, 0, x.lower)))
            whole = m3.Manifold.batch_boolean(slabs, m3.OpType.Add)
            matrix = np.column_stack([part.pose.matrix, part.pose.shift])
            self._solids[name] = whole.transform(matrix)
        return self._solids[name]

    def slab(self, name: str) -> m3.Manifold:
        """All space between a part's two faces, in the piece's frame."""
        part = self.parts[name]
        wide = 2000.0
        box = m3.Manifold.cube((wide, wide, part.thickness), False).translate((-wide / 2, -wide / 2, 0.0))
        return box.transform(np.column_stack([part.pose.matrix, part.pose.shift]))


def overlaps(a: Assembled, limit: float = 1e-3) -> list[tuple[str, str, float]]:
    """Pairs of parts that share more than ``limit`` mm³."""
    names = list(a.parts)
    boxes = {n: np.array(a.solid(n).bounding_box()) for n in names}
    found = []
    for i, one in enumerate(names):
        for other in names[i + 1 :]:
            p, q = boxes[one], boxes[other]
            if (p[:3] > q[3:]).any() or (q[:3] > p[3:]).any():
                continue
            volume = (a.solid(one) ^ a.solid(other)).volume()
            if volume > limit:
                found.append((one, other, volume))
    return found


def shifted_overlap(a: Assembled, joint: Joint, shift: np.ndarray) -> float:
    """The volume that two joined parts share after the entering one is shifted, mm³.

    Of a part that ends on the other only what lies within the other's slab counts as moved: a
    shoulder that leans on an oblique face would be driven into it by any shift.
    """
    moved, other = joint.entering, joint.receiver
    inside = a.solid(moved)
    if joint.kind not in ("halving", "radial"):
        inside = inside ^ a.slab(other)
    return (inside.translate(tuple(shift)) ^ a.solid(other)).volume()


def gap_faults(a: Assembled) -> list[str]:
    """Joints whose gap, normal to the faces of what goes in, is not the fit's.

    The part that goes in is shifted along its own normal: by a little less than the
    clearance it must stay free, by a little more it must touch.
    """
    faults = []
    for joint in a.joints:
        if not joint.depth or joint.kind in ("fingers", "rebate"):
            continue
        part = a.parts[joint.entering]
        normal = np.asarray(part.pose.z)
        square = abs(joint.contact.angle - 90.0) < 1e-6
        side = joint.fit.side
        little = 1e-5 if square else 0.01 * side
        for sign in (1.0, -1.0):
            free = shifted_overlap(a, joint, sign * (side - little) * normal)
            tight = shifted_overlap(a, joint, sign * (side + little) * normal)
            if free > 1e-3:
                faults.append(f"{joint.name} ({joint.kind}): less than the fit, {free:.2e} mm³ shared")
            if tight <= 1e-9:
                faults.append(f"{joint.name} ({joint.kind}): more than the fit")
    return faults


def slivers(a: Assembled) -> list[str]:
    """Crumbs of board, doubled points and points that lie on the line of their neighbours."""
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


def broken_show_faces(a: Assembled) -> list[str]:
    """Show faces with an opening that nobody asked for.

    Asked for are through joints and crossings, and what lies under the foot of a part that
    stands on that very face.
    """
    faults = []
    for part in a.piece.parts:
        for face in sorted(part.show):
            index = 1 if face == "lower" else part.stack.count
            for joint in a.joints:
                if joint.receiver != part.name or not joint.depth or joint.through:
                    continue
                if joint.kind in ("halving", "radial"):
                    continue
                way = float(np.asarray(joint.contact.entering_way) @ np.asarray(part.pose.z))
                met = "lower" if way > 0 else "upper"
                if met == face:
                    continue
                touched = [
                    p for p in joint.patches if p.part == part.name and p.layer == index and p.action == "cut"
                ]
                if touched:
                    faults.append(f"{part.name} {face}: cut by {joint.name}")
    return faults


def outer_size(a: Assembled) -> np.ndarray:
    """The piece's extents, mm, shape (3,)."""
    boxes = np.array([a.solid(n).bounding_box() for n in a.parts])
    return boxes[:, 3:].max(axis=0) - boxes[:, :3].min(axis=0)
