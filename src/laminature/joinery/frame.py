"""The closed form of a joint: two slabs of board and the line in which their mid-planes meet.

Square to that line the whole problem is flat. Let *s* run in the mid-plane of the
entering part towards the receiver, *h* be the height above that mid-plane, *r* run in the
mid-plane of the receiver and *a* be the height above that one, counted the way the
entering part goes in. With θ the angle between the planes

    a = s·sin θ + h·c          (c = cos θ, signed)
    h = r·q + a·c              (q = ± sin θ)

Everything a joint needs follows from these two lines, exactly: where a layer's square
edge first touches the receiver's face, where a tab has to end, and which strip of a
receiver's layer the entering slab sweeps. Slots, tabs, notches and shoulders are
therefore rectangles in (t, s) or (t, r), t being the position along the line.
"""

from __future__ import annotations

from dataclasses import dataclass

from laminature.geometry.pose import Vector
from laminature.model.part import Face, Part

Corner = tuple[float, float]
#: Slabs are shrunk by this on both sides before shadows are cast, so that faces that
#: just touch do not cut the layer next door, mm.
INSET = 1e-6


@dataclass(frozen=True)
class Plane:
    """A part's mid-plane seen from the joint: how (t, w) maps to the part's own x and y."""

    origin: Corner
    along: Corner
    across: Corner

    def at(self, t: float, w: float) -> Corner:
        """The point at ``t`` along the line and ``w`` across it, in the part's own plane."""
        return (
            round(self.origin[0] + t * self.along[0] + w * self.across[0], 10),
            round(self.origin[1] + t * self.along[1] + w * self.across[1], 10),
        )

    def rectangle(self, t0: float, t1: float, w0: float, w1: float) -> tuple[Corner, ...]:
        """The corners of a rectangle given in (t, w)."""
        return (self.at(t0, w0), self.at(t1, w0), self.at(t1, w1), self.at(t0, w1))

    def tongue(self, t0: float, t1: float, w0: float, w1: float, lead_in: float) -> tuple[Corner, ...]:
        """A rectangle whose two corners at ``w1`` are cut off by ``lead_in`` at 45°."""
        cut = max(0.0, min(lead_in, (t1 - t0) / 3.0, (w1 - w0) / 2.0))
        if cut <= 0.0:
            return self.rectangle(t0, t1, w0, w1)
        return (
            self.at(t0, w0),
            self.at(t1, w0),
            self.at(t1, w1 - cut),
            self.at(t1 - cut, w1),
            self.at(t0 + cut, w1),
            self.at(t0, w1 - cut),
        )


@dataclass(frozen=True)
class Frame:
    """Two parts and their line. ``sin`` and ``c`` are of the angle between their planes.

    ``near`` is the face of the receiver that the entering part meets. ``receiver_plane``
    measures (t, r), ``entering_plane`` (t, s) with s growing into the receiver.
    """

    receiver: Part
    entering: Part
    receiver_plane: Plane
    entering_plane: Plane
    near: Face
    sin: float
    c: float
    q: float

    @property
    def half(self) -> float:
        """From the line to the receiver's face, in the entering part's mid-plane, mm."""
        return self.receiver.thickness / 2.0 / self.sin

    @property
    def skew(self) -> float:
        """How much nearer the face comes at the entering part's outer layer, mm; 0 where square."""
        return self.entering.thickness / 2.0 * abs(self.c) / self.sin

    @property
    def foot(self) -> float:
        """The middle of the entering part's footprint on the near face, in r, mm."""
        return self.receiver.thickness / 2.0 * self.c / self.q

    @property
    def foot_half(self) -> float:
        """Half the width of that footprint, mm."""
        return self.entering.thickness / 2.0 / self.sin

    @property
    def receiver_order(self) -> range:
        """The receiver's layers, counted from 1, in the order in which they are met."""
        n = self.receiver.stack.count
        return range(1, n + 1) if self.near == "lower" else range(n, 0, -1)

    def receiver_slab(self, layer: int) -> tuple[float, float]:
        """Heights *a* of the two faces of the receiver's ``layer``, mm."""
        low, high = self.receiver.stack.bounds[layer - 1 : layer + 1]
        half = self.receiver.thickness / 2.0
        return (low - half, high - half) if self.near == "lower" else (half - high, half - low)

    def entering_slab(self, layer: int) -> tuple[float, float]:
        """Heights *h* of the two faces of the entering part's ``layer``, mm."""
        low, high = self.entering.stack.bounds[layer - 1 : layer + 1]
        half = self.entering.thickness / 2.0
        return (low - half, high - half)

    @property
    def passing(self) -> tuple[float, float]:
        """Heights *h* of what goes in of the entering part: not a face that is glued on later."""
        layers = self.passing_layers
        return self.entering_slab(layers[0])[0], self.entering_slab(layers[-1])[1]

    @property
    def passing_layers(self) -> range:
        """The layers of the entering part that go in, counted from 1."""
        n, last = self.entering.stack.count, self.entering.last_face
        return range(2 if last == "lower" else 1, n if last == "upper" else n + 1)

    def depth(self, layers: int) -> float:
        """Thickness of the first ``layers`` layers of the receiver that are met, mm."""
        if layers >= self.receiver.stack.count:
            return self.receiver.thickness
        bounds = self.receiver.stack.bounds
        return bounds[layers] if self.near == "lower" else self.receiver.thickness - bounds[-1 - layers]

    def reach(self, layer: int, depth: float) -> float:
        """How far in *s* the entering part's ``layer`` may go before it is ``depth`` mm into the receiver.

        The tighter of the layer's two faces decides, because its edge is cut square.
        """
        a = depth - self.receiver.thickness / 2.0
        low, high = self.entering_slab(layer)
        return min((a - low * self.c) / self.sin, (a - high * self.c) / self.sin)

    def sweep(self, layer: int, clearance: float) -> tuple[float, float]:
        """The strip in *r* of the receiver's ``layer`` that the entering slab passes, grown by ``clearance``.

        The clearance is normal to the entering part's faces; at the tightest point of the layer it is
        exactly that.
        """
        h0, h1 = self.passing
        low, high = self.receiver_slab(layer)
        low, high = low + INSET, high - INSET
        ends = [(h - a * self.c) / self.q for h in (h0 - clearance, h1 + clearance) for a in (low, high)]
        return min(ends), max(ends)


def frame(receiver: Part, entering: Part, origin: Vector, along: Vector, way: Vector) -> Frame:
    """The frame of a contact, from its line and the way in (unit vectors in the piece's frame)."""
    na, nb = receiver.pose.z, entering.pose.z
    sin = dot(way, na)
    near: Face = "lower" if sin > 0.0 else "upper"
    if sin < 0.0:
        na, sin = (-na[0], -na[1], -na[2]), -sin
    across = cross(na, along)
    return Frame(
        receiver=receiver,
        entering=entering,
        receiver_plane=_plane(receiver, origin, along, across),
        entering_plane=_plane(entering, origin, along, way),
        near=near,
        sin=sin,
        c=_clean(dot(nb, na)),
        q=dot(nb, across),
    )


def dot(a: Vector, b: Vector) -> float:
    """The inner product; plain floats, because numpy costs more than it does on three numbers."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """The vector square to both."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def in_piece(part: Part, direction: Corner) -> Vector:
    """A direction in a part's own plane, seen in the piece."""
    (x, y), px, py = direction, part.pose.x, part.pose.y
    return (px[0] * x + py[0] * y, px[1] * x + py[1] * y, px[2] * x + py[2] * y)


def _plane(part: Part, origin: Vector, along: Vector, across: Vector) -> Plane:
    pose = part.pose
    at = (origin[0] - pose.origin[0], origin[1] - pose.origin[1], origin[2] - pose.origin[2])
    return Plane(
        (dot(at, pose.x), dot(at, pose.y)),
        (_clean(dot(along, pose.x)), _clean(dot(along, pose.y))),
        (_clean(dot(across, pose.x)), _clean(dot(across, pose.y))),
    )


def _clean(value: float) -> float:
    """Exact zero and ±1 where rounding left a crumb: a right angle stays one."""
    if abs(value) < 1e-12:
        return 0.0
    if abs(abs(value) - 1.0) < 1e-12:
        return 1.0 if value > 0.0 else -1.0
    return value
