"""Gaps of joints, measured on cross-sections of the finished layers square to a joint's line.

In such a section every layer is a stretch of board between two heights, so distances are exact.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from laminature.model.joint import Joint

from .assembled import Assembled

#: What right angles are held to, mm, and all others as a share of the fit.
EXACT, OBLIQUE = 1e-6, 0.01


def stretches(shape: shapely.Geometry, start: np.ndarray, way: np.ndarray) -> list[tuple[float, float]]:
    """Where the line start + w · way runs inside a flat region, as stretches of w."""
    points = []
    for polygon in shapely.get_parts(shape):
        for ring in (polygon.exterior, *polygon.interiors):
            p = np.asarray(ring.coords) - start
            along, off = p @ way, p[:, 1] * way[0] - p[:, 0] * way[1]
            above = off > 0.0
            cut = np.nonzero(above[:-1] != above[1:])[0]
            share = off[cut] / (off[cut] - off[cut + 1])
            points += (along[cut] + share * (along[cut + 1] - along[cut])).tolist()
    points.sort()
    return list(zip(points[0::2], points[1::2], strict=True))


@dataclass(frozen=True)
class Side:
    """One part seen along a joint's line: ``w`` runs in its plane, square to the line."""

    a: Assembled
    name: str
    origin: np.ndarray
    u: np.ndarray

    @property
    def part(self):
        return self.a.parts[self.name]

    @property
    def normal(self) -> np.ndarray:
        return np.asarray(self.part.pose.z)

    @property
    def w(self) -> np.ndarray:
        return np.cross(self.normal, self.u)

    def slab(self, layer: int) -> tuple[float, float]:
        return self.part.stack.bounds[layer - 1 : layer + 1]

    def across(self, layer: int, t: float, intended: bool = False) -> list[tuple[float, float]]:
        """Stretches of board across the line, at ``t`` along it."""
        return self._stretches(layer, self.origin + t * self.u, self.w, intended)

    def along(self, layer: int, w: float, intended: bool = False) -> list[tuple[float, float]]:
        """Stretches of board along the line, ``w`` beside it."""
        return self._stretches(layer, self.origin + w * self.w, self.u, intended)

    def _stretches(self, layer, start, way, intended):
        pose = self.part.pose
        start = pose.to_part(start)[:2]
        shape = self.a.intended(self.name, layer) if intended else self.a.layer(self.name, layer)
        return stretches(shape, start, way @ pose.matrix[:, :2])

    def point(self, w: float, height: float) -> np.ndarray:
        """The point of the section at ``w`` across, at a height in the stack, in the piece's frame."""
        return self.origin + w * self.w + (height - self.height(self.origin)) * self.normal

    def height(self, point: np.ndarray) -> float:
        """How high above the part's layer 1 face a point lies."""
        return float((point - self.part.pose.shift) @ self.normal)


def gap_faults(a: Assembled) -> list[str]:
    """Tabs, tongues and notches whose gaps are not those of the fit, and slots that are not clear."""
    faults: list[str] = []
    for joint in a.joints:
        if not joint.depth:
            continue
        said = f"{joint.name} ({joint.kind}, {joint.contact.angle:.1f}°)"
        found = _crossing(a, joint) if joint.kind in ("halving", "radial") else _entering(a, joint)
        faults += [f"{said}: {fault}" for fault in found]
    return faults


def _sides(a: Assembled, joint: Joint) -> dict[str, Side]:
    origin, u = np.asarray(joint.contact.origin), np.asarray(joint.contact.along)
    return {n: Side(a, n, origin, u) for n in (joint.receiver, joint.entering)}


def _near(joint: Joint) -> float:
    square = abs(joint.contact.angle - 90.0) < 1e-6
    return EXACT if square else OBLIQUE * joint.fit.side


def _crossing(a: Assembled, joint: Joint):
    sides = _sides(a, joint)
    for cell in joint.cells:
        inner = sides[cell.owner]
        outer = next(s for n, s in sides.items() if n != cell.owner)
        t = cell.run.start + 0.47 * cell.run.length
        for layer in range(1, outer.part.stack.count + 1):
            yield from _gap(joint, inner, outer, layer, t, at_least=joint.kind == "radial")
        for layer in range(1, inner.part.stack.count + 1):
            if not any(lo < 0.0 < hi for lo, hi in inner.across(layer, t)):
                yield f"layer {layer} of {inner.name} is not whole in its own cell"
    if joint.kind == "halving" and len(joint.cells) == 2:
        yield from _bottoms(joint, sides)


def _bottoms(joint: Joint, sides: dict[str, Side]):
    """The two notches of a halving leave the fit's gap between their bottoms."""
    first, second = joint.cells
    at = first.run.end
    ends = []
    for cell in (first, second):
        side = sides[cell.owner]
        other = next(s for n, s in sides.items() if n != cell.owner)
        for layer in range(1, side.part.stack.count + 1):
            t = (cell.run.start + cell.run.end) / 2.0
            there = side.along(layer, _middle(other, side, layer))
            lo, hi = next((s for s in there if s[0] < t < s[1]), (t, t))
            ends.append(at - hi if cell is first else lo - at)
    if abs(2.0 * min(ends) - joint.fit.beyond) > EXACT or abs(2.0 * max(ends) - joint.fit.beyond) > EXACT:
        yield f"the bottoms leave {2.0 * min(ends):.6f} to {2.0 * max(ends):.6f} mm"


def _entering(a: Assembled, joint: Joint):
    sides = _sides(a, joint)
    inner, outer = sides[joint.entering], sides[joint.receiver]
    count = outer.part.stack.count
    upwards = float(np.asarray(joint.contact.entering_way) @ outer.normal) > 0.0
    passed = list(range(1, count + 1)) if upwards else list(range(count, 0, -1))
    for cell in joint.cells:
        t = cell.run.start + 0.47 * cell.run.length
        for layer in passed[: joint.depth]:
            yield from _gap(joint, inner, outer, layer, t)
        yield from _tab(joint, inner, outer, upwards, t)
        if joint.kind == "tabs":
            yield from _lengthwise(joint, inner, outer, passed, cell.run, t)
    if joint.kind == "tabs" and not inner.part.square_edges:
        yield from _shoulders(joint, inner, outer, upwards)


def _middle(inner: Side, outer: Side, layer: int) -> float:
    """Where across the line the inner part's mid-plane passes half-way up a layer of the outer one."""
    off = inner.height(outer.point(0.0, sum(outer.slab(layer)) / 2.0)) - inner.part.thickness / 2.0
    return -off / float(outer.w @ inner.normal)


def _gap(joint: Joint, inner: Side, outer: Side, layer: int, t: float, at_least: bool = False):
    """The slot of ``inner`` in one layer of ``outer`` is clear, and as wide as the fit says."""
    low, high = outer.slab(layer)
    half = inner.part.thickness / 2.0
    slope = float(outer.w @ inner.normal)

    def beside(w: float) -> tuple[float, float]:
        """How far from the inner part's mid-plane the layer's two corners lie at ``w``."""
        heights = [inner.height(outer.point(w, z)) - half for z in (low, high)]
        return min(heights), max(heights)

    middle = _middle(inner, outer, layer)
    board = outer.across(layer, t)
    if any(lo < middle < hi for lo, hi in board):
        yield f"layer {layer} of {outer.name} is not cut at {t:.2f}"
        return
    drawn = outer.across(layer, t, intended=True)
    side = joint.fit.side
    for way in (1.0, -1.0):
        # Corners on that side of the inner part: the nearest of them is the tightest point.
        step = way / slope
        edges = [w for pair in board for w in pair if (w - middle) * step > 0.0]
        nominal = middle + step * (half + side + (beside(0.0)[1] - beside(0.0)[0]) / 2.0)
        met = min(edges, key=lambda w: abs(w - middle), default=None)
        wide = np.inf if met is None else (beside(met)[0] if way > 0 else -beside(met)[1]) - half
        if wide < side - _near(joint):
            yield f"layer {layer} of {outer.name}: only {wide:.6f} mm beside {inner.name}, not {side:g}"
        elif wide > side + _near(joint) and not at_least:
            # Near a border the cut runs out, and where no board was drawn there is none to measure.
            beyond = nominal + np.sign(step) * 0.45
            board_drawn = any(lo < min(nominal, beyond) and max(nominal, beyond) < hi for lo, hi in drawn)
            where = outer.point(nominal, (low + high) / 2.0) + t * outer.u
            if board_drawn and not _taken_by_a_third(joint, outer, where):
                yield f"layer {layer} of {outer.name}: {wide:.6f} mm beside {inner.name}, not {side:g}"


def _taken_by_a_third(joint: Joint, outer: Side, where: np.ndarray) -> bool:
    """Whether a third part, joined to the outer one as well, passes at a point of it."""
    a = outer.a
    for other in a.joints:
        pair = {other.receiver, other.entering} - {outer.name}
        if len(pair) != 1 or not other.depth:
            continue
        third = a.parts[pair.pop()]
        if third.name in (joint.entering, joint.receiver):
            continue
        height = float((where - third.pose.shift) @ np.asarray(third.pose.z))
        if -0.5 < height < third.thickness + 0.5:
            return True
    return False


def _depths(inner: Side, outer: Side, upwards: bool, layer: int, w: float) -> float:
    """How deep in the receiver the deeper corner of an entering layer lies at ``w``, mm."""
    heights = [outer.height(inner.point(w, z)) for z in inner.slab(layer)]
    return max(heights) if upwards else outer.part.thickness - min(heights)


def _tongue(joint: Joint, inner: Side, outer: Side, upwards: bool, layer: int, t: float):
    """The stretch of an entering layer that passes the receiver's near face at ``t``, or None."""
    sign = 1.0 if float(inner.w @ np.asarray(joint.contact.entering_way)) > 0.0 else -1.0
    there = [sign * w for pair in inner.across(layer, t) for w in pair]
    there.sort()
    for lo, hi in zip(there[0::2], there[1::2], strict=True):
        deep = [_depths(inner, outer, upwards, layer, sign * w) for w in (lo, hi)]
        if deep[0] < -0.2 and deep[1] > -0.2:
            return sign * lo, sign * hi, deep[1]
    return None


def _tab(joint: Joint, inner: Side, outer: Side, upwards: bool, t: float):
    """Every layer of the tab goes on from its own part to the depth that it was given."""
    bounds, count = outer.part.stack.bounds, outer.part.stack.count
    deep = bounds[joint.depth] if upwards else outer.part.thickness - bounds[count - joint.depth]
    wanted = deep - (0.0 if joint.through else joint.fit.beyond)
    for layer in range(1, inner.part.stack.count + 1):
        found = _tongue(joint, inner, outer, upwards, layer, t)
        if found is None:
            yield f"layer {layer} of {inner.name} has no tab at {t:.2f}"
        elif abs(found[2] - wanted) > EXACT:
            yield f"layer {layer} of {inner.name} goes {found[2]:.6f} mm deep at {t:.2f}, not {wanted:.6f}"


def _shoulders(joint: Joint, inner: Side, outer: Side, upwards: bool):
    """Between tabs the shoulder closes: each layer's tighter corner touches the face."""
    for run in joint.contact.runs:
        ends = [run.start, *(e for c in joint.cells for e in (c.run.start, c.run.end)), run.end]
        for lo, hi in zip(ends[0::2], ends[1::2], strict=True):
            if lo < run.start - 1e-9 or hi > run.end + 1e-9 or hi - lo < 1.0:
                continue
            t = (lo + hi) / 2.0
            for layer in range(1, inner.part.stack.count + 1):
                found = _tongue(joint, inner, outer, upwards, layer, t)
                if found is not None and abs(found[2]) > 0.02 + EXACT:
                    yield f"layer {layer} of {inner.name} stands {found[2]:.4f} mm off at {t:.2f}"


def _lengthwise(joint: Joint, inner: Side, outer: Side, passed: list[int], run, t: float):
    """The slot is longer than the tab by the fit's clearance at both ends, in every layer it passes."""
    for layer in passed[: joint.depth]:
        low, high = outer.slab(layer)
        middle = _middle(inner, outer, layer)
        board = outer.along(layer, middle)
        drawn = outer.along(layer, middle, intended=True)
        before = max((hi for _, hi in board if hi < t), default=-np.inf)
        after = min((lo for lo, _ in board if lo > t), default=np.inf)
        for got, sign, nominal in (
            (run.start - before, -1.0, run.start - joint.fit.lengthwise),
            (after - run.end, 1.0, run.end + joint.fit.lengthwise),
        ):
            if got < joint.fit.lengthwise - EXACT:
                yield f"layer {layer} of {outer.name}: only {got:.6f} mm at the tab's end"
            elif got > joint.fit.lengthwise + EXACT:
                edge = nominal + sign * 0.45
                board_drawn = any(lo < min(nominal, edge) and max(nominal, edge) < hi for lo, hi in drawn)
                where = outer.point(middle, (low + high) / 2.0) + nominal * outer.u
                if board_drawn and not _taken_by_a_third(joint, outer, where):
                    yield f"layer {layer} of {outer.name}: {got:.6f} mm at the tab's end"
