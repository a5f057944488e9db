"""Joints in which one part ends on another: tabs, housings, fingers and rebates.

They are one thing: the entering part stops at its shoulder, stands out of it in the
cells it was given, and the receiver's first layers are cut where those cells pass.
"""

from __future__ import annotations

from dataclasses import dataclass

from laminature.joinery.footing import NEAR, borders, drawn_end, sections
from laminature.joinery.frame import Frame
from laminature.joinery.intervals import Interval, Intervals, holding
from laminature.model.fit import Fit
from laminature.model.joint import JointKind, Patch

#: How far a cutter goes on where nothing is left to cut, mm. Twice the largest sanding allowance at least.
OVERSHOOT = 1.0
#: How far an added tab reaches back into its own part, so that the two become one outline, mm.
ROOT = 0.05


@dataclass(frozen=True)
class Entering:
    """A joint that is decided but not yet cut: ``cells`` along the line, ``depth`` in layers."""

    frame: Frame
    kind: JointKind
    runs: Intervals
    cells: Intervals
    depth: int
    through: bool
    fit: Fit

    @property
    def depth_mm(self) -> float:
        """Thickness of the layers that are passed, mm."""
        return self.frame.depth(self.depth)

    @property
    def projection(self) -> float:
        """How far the tabs stand out of the shoulder, mm along the entering part's plane."""
        return self.depth_mm / self.frame.sin

    def footprints(self) -> list[tuple[tuple[float, float], ...]]:
        """The cells' slots in the receiver's own plane, one rectangle each, all passed layers together."""
        passed = list(self.frame.receiver_order)[: self.depth]
        swept = [self.frame.sweep(k, self.fit.side) for k in passed]
        low, high = min(s[0] for s in swept), max(s[1] for s in swept)
        return [
            self.frame.receiver_plane.rectangle(t0 - self.fit.lengthwise, t1 + self.fit.lengthwise, low, high)
            for t0, t1 in self.cells
        ]


def patches(joint: Entering, stands_before: tuple[float, float] = (0.0, 0.0)) -> tuple[Patch, ...]:
    """What the joint does to the layers of both parts.

    ``stands_before`` is how far tongues of the receiver stand out before the groove's two ends, mm.
    """
    return (*_shoulders(joint), *_tabs(joint), *_slots(joint, stands_before))


def _shoulders(joint: Entering) -> list[Patch]:
    f = joint.frame
    name = f.entering.name
    out: list[Patch] = []
    (body,) = sections(f.entering, f.entering_plane, [-f.half - f.skew - 2.0 * ROOT])
    for run in joint.runs:
        edge = drawn_end(f, (run[0] + run[1]) / 2.0)
        wide = _widened(run, body)
        for k in range(1, f.entering.stack.count + 1):
            shoulder = edge if f.entering.square_edges else f.reach(k, 0.0)
            far = max(edge, shoulder)
            out.append(
                Patch(
                    name, k, "bare", f.entering_plane.rectangle(*wide, min(edge, shoulder), far + OVERSHOOT)
                )
            )
            if shoulder < edge - 1e-9:
                out.append(
                    Patch(name, k, "trim", f.entering_plane.rectangle(*wide, shoulder, edge + OVERSHOOT))
                )
            elif shoulder > edge + 1e-9:
                out.append(Patch(name, k, "add", f.entering_plane.rectangle(*run, edge - ROOT, shoulder)))
    return out


def _widened(run: Interval, body: Intervals) -> Interval:
    """The run, with the room for a sanding allowance where the part itself ends."""
    whole = holding(body, (run[0] + run[1]) / 2.0, OVERSHOOT) or run
    low = run[0] - OVERSHOOT if whole[0] > run[0] - ROOT else run[0]
    high = run[1] + OVERSHOOT if whole[1] < run[1] + ROOT else run[1]
    return low, high


def _tabs(joint: Entering) -> list[Patch]:
    f = joint.frame
    short = joint.depth_mm - (0.0 if joint.through else joint.fit.beyond)
    lead = joint.fit.lead_in if joint.kind == "tabs" else 0.0
    out: list[Patch] = []
    ends = [drawn_end(f, (lo + hi) / 2.0) for lo, hi in joint.cells]
    for k in f.passing_layers:
        reach = f.reach(k, short)
        for (lo, hi), edge in zip(joint.cells, ends, strict=True):
            root = min(edge, edge if f.entering.square_edges else f.reach(k, 0.0)) - ROOT
            if reach > root + 2.0 * ROOT:
                out.append(
                    Patch(f.entering.name, k, "add", f.entering_plane.tongue(lo, hi, root, reach, lead))
                )
    return out


def _slots(joint: Entering, stands_before: tuple[float, float]) -> list[Patch]:
    f = joint.frame
    out: list[Patch] = []
    # Where the cut would leave no more of a tongue than a thread, all of it goes.
    over0, over1 = (OVERSHOOT + (s if s - OVERSHOOT < NEAR else 0.0) for s in stands_before)
    for run in joint.runs:
        open_start, open_end, below, above = borders(f, run)
        for lo, hi in joint.cells:
            if not run[0] - 1e-6 <= (lo + hi) / 2.0 <= run[1] + 1e-6:
                continue
            # Only through open faces: a cell that ends at the receiver's own border is cut out over it.
            t0 = lo - (over0 if open_start and lo < run[0] + 1e-6 else joint.fit.lengthwise)
            t1 = hi + (over1 if open_end and hi > run[1] - 1e-6 else joint.fit.lengthwise)
            for k in list(f.receiver_order)[: joint.depth]:
                r0, r1 = f.sweep(k, joint.fit.side)
                # Beside the receiver's border nothing would stand but a thread of board.
                r0 -= OVERSHOOT if below < NEAR else 0.0
                r1 += OVERSHOOT if above < NEAR else 0.0
                out.append(Patch(f.receiver.name, k, "cut", f.receiver_plane.rectangle(t0, t1, r0, r1)))
    return out
