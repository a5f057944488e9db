"""Turn contacts into joints: decide their kind, share out cells and depth, then cut.

First every contact is decided on its own (kind, cells, depth), then entries that
would meet inside one receiver share its layers, then all are cut.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from functools import partial

import numpy as np

from laminature.geometry.flat import Flat, holds_point, overlap_area
from laminature.joinery import crossing, entering
from laminature.joinery.entering import Entering
from laminature.joinery.entries import barred, ways_in
from laminature.joinery.fits import fit_among, fit_between
from laminature.joinery.footing import drawn_end
from laminature.joinery.frame import Frame, frame, in_piece
from laminature.joinery.groups import on_one_line, radial_group
from laminature.joinery.intervals import Interval, Intervals, minus
from laminature.joinery.rules import rule_for
from laminature.joinery.tabs import finger_cells, shared_cells, tab_cells
from laminature.joinery.words import no_budget, too_short, wants_cleat
from laminature.model.finding import Finding
from laminature.model.fit import Fit
from laminature.model.joint import Cell, Contact, Joint, JointKind, JointRule, Run
from laminature.model.memory import Memory
from laminature.model.part import Face, Part
from laminature.model.piece import Piece

#: Board left between the slots of neighbours on one line where nothing is said, mm (a knife's smallest web
#: in 22 points: common practice, no source).
WEB = 1.5


def make_joints(
    piece: Piece, contacts: Sequence[Contact], fit: Fit, memory: Memory | None = None, web: float = WEB
) -> tuple[tuple[Joint, ...], tuple[Finding, ...]]:
    """The joints of a piece from its contacts, and what could not be joined as wanted.

    ``web`` is the least board that may stand between two slots, mm.
    """
    memory = memory or Memory()
    parts = {p.name: p for p in piece.parts}
    findings: list[Finding] = []
    joints: list[Joint] = []
    plans: list[tuple[Contact, JointRule, Entering]] = []
    groups, singles = on_one_line([c for c in contacts if c.kind == "crossing"])
    for members in groups:
        joints += radial_group(members, parts, piece.rules, fit, findings)
    for c in singles:
        rule = rule_for(piece.rules, c.receiver, c.entering)
        if rule.kind == "none":
            continue
        for n, run in enumerate(c.runs):
            name = f"{c.receiver}/{c.entering}" + (f"/{n + 1}" if n else "")
            pair = {p: parts[p] for p in (c.receiver, c.entering)}
            own_fit = rule.fit or fit_among(fit, pair.values())
            work = partial(crossing.halving, c, (run.start, run.end), pair, own_fit, name)
            joints.append(memory.recall(("halving", c, n, *pair.values(), own_fit), work))
    passers = [c for c in contacts if c.kind in ("crossing", "corner")]
    for c in contacts:
        if c.kind in ("crossing", "passing", "near-miss"):
            continue
        rule = rule_for(piece.rules, c.receiver, c.entering)
        if rule.kind == "none":
            continue
        if c.kind == "faces":
            joints.append(_glued(c, fit))
            continue
        own_fit = rule.fit or fit_between(fit, parts[c.receiver], parts[c.entering])
        # What a third part cuts may be as wide as the usual fit makes it.
        room = web + max(0.0, fit.side - own_fit.side)
        plan = _decide(c, rule, parts, own_fit, passers, findings, room)
        plans.append((c, rule, plan))
    shared = _share_layers(plans, findings)
    own: dict[str, list[tuple[Contact, Entering]]] = defaultdict(list)
    for c, _, plan in shared:
        if plan.depth:
            own[c.entering].append((c, plan))
    for c, rule, plan in shared:
        stands_before = barred(c, plan, own[c.receiver])
        joints.append(
            memory.recall(("cut", c, rule, plan, stands_before), partial(_cut, c, rule, plan, stands_before))
        )
    return tuple(joints), tuple(findings)


# --- deciding -------------------------------------------------------------------------


def _decide(
    c: Contact,
    rule: JointRule,
    parts: dict[str, Part],
    fit: Fit,
    passers: Sequence[Contact],
    findings: list[Finding],
    web: float,
) -> Entering:
    f = frame(parts[c.receiver], parts[c.entering], c.origin, c.along, c.entering_way)
    runs: Intervals = tuple((r.start, r.end) for r in c.runs)
    whole = _solid_layers(f, runs)
    far: Face = "upper" if f.near == "lower" else "lower"
    show = 1 if f.receiver.shows(far) or whole < f.receiver.stack.count else 0
    through = rule.through if rule.through is not None else show == 0
    covered = f.receiver.last_face == far
    if rule.kind == "fingers":
        through, whole = True, f.receiver.stack.count
    if covered:
        # Through the whole core, and as far as its face: what is glued over it stays whole.
        through, fit = False, replace(fit, end=0.0)
    most = whole if through else whole - max(1, show)
    kind = rule.kind or _default_kind(c, through, most)
    depth = _depth(c, rule, f, kind, most, runs)
    depth = min(depth, most) if covered else depth
    through = through and depth >= f.receiver.stack.count
    plan = Entering(f, kind, runs, (), depth, through, fit)
    if kind in ("glue", "cleat"):
        return replace(plan, depth=0)
    if kind == "tabs" and not through and rule.depth is None and most < 2:
        findings.append(wants_cleat(c, f, whole))
        return replace(plan, kind="glue", depth=0)
    if depth < 1:
        findings.append(wants_cleat(c, f, whole))
        return replace(plan, kind="glue", depth=0)
    crossed, cornered = (
        _crossed(f, [p for p in passers if p.kind == k], parts, fit, web) for k in ("crossing", "corner")
    )
    cells = _cells(plan, rule, crossed, cornered, web)
    if not cells:
        findings.append(too_short(c, plan))
        return replace(plan, kind="glue", depth=0)
    return replace(plan, cells=cells)


def _default_kind(c: Contact, through: bool, most: int) -> JointKind:
    if c.kind == "inside":
        return "housing"
    if c.kind == "corner":
        if through or most < 1:
            return "fingers"
        return "rebate"
    return "tabs"


def _solid_layers(f: Frame, runs: Intervals) -> int:
    """Layers of the receiver that have board above the footprint: a rim's opening leaves fewer."""
    n = f.receiver.stack.count
    rim = f.receiver.rim
    if rim is None or f.near == "upper":
        return n
    opening = rim.opening.flat
    for lo, hi in runs:
        for share in (0.05, 0.5, 0.95):
            x, y = f.receiver_plane.at(lo + share * (hi - lo), f.foot)
            if holds_point(opening, x, y):
                return n - rim.layers
    return n


def _depth(c: Contact, rule: JointRule, f: Frame, kind: JointKind, most: int, runs: Intervals) -> int:
    if rule.depth is not None:
        return max(0, min(rule.depth, f.receiver.stack.count))
    if c.kind == "inside":
        middle = (runs[0][0] + runs[0][1]) / 2.0
        drawn = (drawn_end(f, middle) + f.half) * f.sin
        n = f.receiver.stack.count
        return min(range(1, n + 1), key=lambda k: (abs(f.depth(k) - drawn), k))
    if kind == "housing":
        return min(most, max(1, f.receiver.stack.count // 2))
    return most


def _cells(plan: Entering, rule: JointRule, crossed: Intervals, cornered: Intervals, web: float) -> Intervals:
    f = plan.frame
    if plan.kind == "fingers":
        return tuple(
            cell for run in plan.runs for cell in finger_cells(run, plan.projection, rule.count, rule.width)
        )
    free = minus(plan.runs, crossed)
    if plan.kind == "tabs":
        free = minus(free, cornered)
        inset = f.receiver.thickness
        if rule.share is not None:
            # Slots of neighbours on one line keep a web between them, and a little for the check.
            apart = web + 0.1 + 2.0 * plan.fit.lengthwise
            return shared_cells(free, inset, plan.projection, rule.share, apart)
        return tab_cells(free, inset, plan.projection, rule.count, rule.width)
    stop = rule.stop_length if rule.stop_length is not None else max(2.0, f.receiver.thickness)
    front = stop if rule.stopped in ("front", "both") else 0.0
    back = stop if rule.stopped in ("back", "both") else 0.0
    cells = []
    for lo, hi in free:
        low = lo + (front if any(abs(lo - r[0]) < 1e-6 for r in plan.runs) else 0.0)
        high = hi - (back if any(abs(hi - r[1]) < 1e-6 for r in plan.runs) else 0.0)
        # A groove may run out past a corner, but one that stops there would leave a thread of tongue.
        for before, after in cornered:
            low = after if front and before < low < after else low
            high = before if back and before < high < after else high
        if high - low > 1.0:
            cells.append((low, high))
    return tuple(cells)


def _crossed(f: Frame, passers: Sequence[Contact], parts: dict[str, Part], fit: Fit, web: float) -> Intervals:
    """Stretches of the line where the entering part is itself cut by another: no tab may stand there.

    That is where another crosses it, and where another ends on it at its own corner.
    """
    u = np.asarray(in_piece(f.entering, f.entering_plane.along))
    na = np.asarray(f.receiver.pose.z)
    o = f.entering.pose.to_piece(np.array([*f.entering_plane.origin, f.entering.thickness / 2.0]))
    out: list[Interval] = []
    for c in passers:
        corner = c.kind == "corner"
        if f.entering.name != c.receiver and (corner or f.entering.name != c.entering):
            continue
        other = parts[c.entering if c.receiver == f.entering.name else c.receiver]
        direction, start = np.asarray(c.along), np.asarray(c.origin)
        slope = float(direction @ na)
        if abs(slope) < 1e-6:
            continue
        at = float((o - start) @ na) / slope
        # The crossing ends at the receiver's face, half its thickness before this plane, or soon after.
        slack = 3.0 + f.receiver.thickness / 2.0 / abs(slope)
        if not any(r.start - slack <= at <= r.end + slack for r in c.runs):
            continue
        t = float((start + at * direction - o) @ u)
        lean = abs(float(np.asarray(other.pose.z) @ u))
        wide = (other.thickness / 2.0 + fit.side) / max(lean, 0.1) + web
        if not corner:
            # The other's own slots in the receiver keep away from this part's by as much.
            wide += f.entering.thickness / 2.0
        out.append((t - wide, t + wide))
    out.sort()
    return tuple(out)


# --- entries that meet inside one receiver --------------------------------------------


def _share_layers(
    plans: list[tuple[Contact, JointRule, Entering]], findings: list[Finding]
) -> list[tuple[Contact, JointRule, Entering]]:
    """Entries from opposite faces share one budget of layers where their slots would meet."""
    by_receiver: dict[str, list[int]] = defaultdict(list)
    for i, (c, _, plan) in enumerate(plans):
        if plan.depth:
            by_receiver[c.receiver].append(i)
    out = list(plans)
    for indices in by_receiver.values():
        prints = {i: [Flat(p) for p in out[i][2].footprints()] for i in indices}
        for n, i in enumerate(indices):
            for j in indices[n + 1 :]:
                one, other = out[i][2], out[j][2]
                layers = one.frame.receiver.stack.count
                if one.frame.near == other.frame.near or one.depth + other.depth <= layers:
                    continue
                if not any(overlap_area(p, q) > 1e-6 for p in prints[i] for q in prints[j]):
                    continue
                share = layers // 2
                out[i] = (out[i][0], out[i][1], _limited(one, share))
                out[j] = (out[j][0], out[j][1], _limited(other, share))
                if share < 2 and "tabs" in (one.kind, other.kind):
                    findings.append(no_budget(one, other, layers))
    return out


def _limited(plan: Entering, depth: int) -> Entering:
    return replace(plan, depth=min(plan.depth, depth), through=False)


# --- cutting --------------------------------------------------------------------------


def _cut(c: Contact, rule: JointRule, plan: Entering, stands_before: tuple[float, float]) -> Joint:
    suffix = "" if c.kind != "corner" else "/corner"
    return Joint(
        name=f"{c.receiver}/{c.entering}{suffix}",
        kind=plan.kind,
        contact=c,
        cells=tuple(Cell(c.entering, Run(lo, hi)) for lo, hi in plan.cells),
        depth=plan.depth,
        through=plan.through,
        fit=plan.fit,
        entries=ways_in(c, rule, plan, stands_before) if plan.depth else (),
        patches=entering.patches(plan, stands_before),
        projection=plan.projection if plan.depth else 0.0,
    )


def _glued(c: Contact, fit: Fit) -> Joint:
    return Joint(f"{c.receiver}/{c.entering}", "glue", c, (), 0, False, fit, ())
