"""Turn contacts into joints: decide their kind, share out cells and depth, then cut.

First every contact is decided on its own (kind, cells, depth), then entries that
would meet inside one receiver share its layers, then all are cut.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from laminature.geometry.flat import Flat, holds_point, overlap_area
from laminature.geometry.pose import Vector
from laminature.joinery import crossing, entering
from laminature.joinery.entering import Entering
from laminature.joinery.footing import borders, drawn_end
from laminature.joinery.frame import Frame, frame
from laminature.joinery.intervals import Interval, Intervals, minus
from laminature.joinery.rules import rule_for
from laminature.joinery.tabs import finger_cells, shared_cells, tab_cells
from laminature.model.finding import Finding
from laminature.model.fit import Fit
from laminature.model.joint import Cell, Contact, Joint, JointKind, JointRule, Run
from laminature.model.part import Face, Part
from laminature.model.piece import Piece

#: Board left between the slots of neighbours that share one line, mm (the knife's smallest web in 22 points).
APART = 1.6


def make_joints(
    piece: Piece, contacts: Sequence[Contact], fit: Fit
) -> tuple[tuple[Joint, ...], tuple[Finding, ...]]:
    """The joints of a piece from its contacts, and what could not be joined as wanted."""
    parts = {p.name: p for p in piece.parts}
    findings: list[Finding] = []
    joints: list[Joint] = []
    plans: list[tuple[Contact, JointRule, Entering]] = []
    groups, singles = _on_one_line([c for c in contacts if c.kind == "crossing"])
    for members in groups:
        joints += _radial_group(members, parts, piece.rules, fit, findings)
    crossings = [c for c in contacts if c.kind == "crossing"]
    for c in singles:
        rule = rule_for(piece.rules, c.receiver, c.entering)
        if rule.kind == "none":
            continue
        for n, run in enumerate(c.runs):
            name = f"{c.receiver}/{c.entering}" + (f"/{n + 1}" if n else "")
            joints.append(crossing.halving(c, (run.start, run.end), parts, rule.fit or fit, name, "halving"))
    for c in contacts:
        if c.kind in ("crossing", "passing", "near-miss"):
            continue
        rule = rule_for(piece.rules, c.receiver, c.entering)
        if rule.kind == "none":
            continue
        if c.kind == "faces":
            joints.append(_glued(c, fit))
            continue
        plan = _decide(c, rule, parts, rule.fit or fit, crossings, findings)
        plans.append((c, rule, plan))
    for c, rule, plan in _share_layers(plans, findings):
        joints.append(_cut(c, rule, plan))
    return tuple(joints), tuple(findings)


# --- deciding -------------------------------------------------------------------------


def _decide(
    c: Contact,
    rule: JointRule,
    parts: dict[str, Part],
    fit: Fit,
    crossings: Sequence[Contact],
    findings: list[Finding],
) -> Entering:
    f = frame(parts[c.receiver], parts[c.entering], c.origin, c.along, c.entering_way)
    runs: Intervals = tuple((r.start, r.end) for r in c.runs)
    whole = _solid_layers(f, runs)
    far: Face = "upper" if f.near == "lower" else "lower"
    show = 1 if f.receiver.shows(far) or whole < f.receiver.stack.count else 0
    through = rule.through if rule.through is not None else show == 0
    if rule.kind == "fingers":
        through, whole = True, f.receiver.stack.count
    most = whole if through else whole - max(1, show)
    kind = rule.kind or _default_kind(c, f, through, most)
    depth = _depth(c, rule, f, kind, most, runs)
    through = through and depth >= f.receiver.stack.count
    plan = Entering(f, kind, runs, (), depth, through, fit, c.kind == "inside")
    if kind in ("glue", "cleat"):
        return replace(plan, depth=0)
    if kind == "tabs" and not through and rule.depth is None and most < 2:
        findings.append(_wants_cleat(c, f, whole))
        return replace(plan, kind="glue", depth=0)
    if depth < 1:
        findings.append(_wants_cleat(c, f, whole))
        return replace(plan, kind="glue", depth=0)
    cells = _cells(plan, rule, crossings, parts)
    if not cells:
        findings.append(_too_short(c, plan))
        return replace(plan, kind="glue", depth=0)
    return replace(plan, cells=cells)


def _default_kind(c: Contact, f: Frame, through: bool, most: int) -> JointKind:
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


def _cells(
    plan: Entering, rule: JointRule, crossings: Sequence[Contact], parts: dict[str, Part]
) -> Intervals:
    f = plan.frame
    if plan.kind == "fingers":
        return tuple(
            cell for run in plan.runs for cell in finger_cells(run, plan.projection, rule.count, rule.width)
        )
    free = minus(plan.runs, _crossed(f, crossings, parts, plan.fit))
    if plan.kind == "tabs":
        inset = f.receiver.thickness
        if rule.share is not None:
            # Slots of neighbours on one line keep a web between them.
            apart = APART + 2.0 * plan.fit.lengthwise
            return shared_cells(free, inset / 2.0, plan.projection, rule.share, apart)
        return tab_cells(free, inset, plan.projection, rule.count, rule.width)
    stop = rule.stop_length if rule.stop_length is not None else max(2.0, f.receiver.thickness)
    front = stop if rule.stopped in ("front", "both") else 0.0
    back = stop if rule.stopped in ("back", "both") else 0.0
    cells = []
    for lo, hi in free:
        low = lo + (front if any(abs(lo - r[0]) < 1e-6 for r in plan.runs) else 0.0)
        high = hi - (back if any(abs(hi - r[1]) < 1e-6 for r in plan.runs) else 0.0)
        if high - low > 1.0:
            cells.append((low, high))
    return tuple(cells)


def _crossed(f: Frame, crossings: Sequence[Contact], parts: dict[str, Part], fit: Fit) -> Intervals:
    """Stretches of the line where the entering part is itself crossed by another: no tab may stand there."""
    u = np.asarray(_in_piece(f, f.entering_plane.along))
    na = np.asarray(f.receiver.pose.z)
    o = f.entering.pose.to_piece(np.array([*f.entering_plane.origin, f.entering.thickness / 2.0]))
    out: list[Interval] = []
    for c in crossings:
        if f.entering.name not in (c.receiver, c.entering):
            continue
        other = parts[c.entering if c.receiver == f.entering.name else c.receiver]
        direction, start = np.asarray(c.along), np.asarray(c.origin)
        slope = float(direction @ na)
        if abs(slope) < 1e-6:
            continue
        at = float((o - start) @ na) / slope
        if not any(r.start - 3.0 <= at <= r.end + 3.0 for r in c.runs):
            continue
        t = float((start + at * direction - o) @ u)
        lean = abs(float(np.asarray(other.pose.z) @ u))
        wide = (other.thickness / 2.0 + fit.side) / max(lean, 0.1) + APART + f.entering.thickness / 2.0
        out.append((t - wide, t + wide))
    out.sort()
    return tuple(out)


def _in_piece(f: Frame, direction: tuple[float, float]) -> Vector:
    m = f.entering.pose.matrix
    v = m[:, 0] * direction[0] + m[:, 1] * direction[1]
    return (float(v[0]), float(v[1]), float(v[2]))


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
                    findings.append(_no_budget(one, other, layers))
    return out


def _limited(plan: Entering, depth: int) -> Entering:
    return replace(plan, depth=min(plan.depth, depth), through=False)


# --- cutting --------------------------------------------------------------------------


def _cut(c: Contact, rule: JointRule, plan: Entering) -> Joint:
    suffix = "" if c.kind != "corner" else "/corner"
    return Joint(
        name=f"{c.receiver}/{c.entering}{suffix}",
        kind=plan.kind,
        contact=c,
        cells=tuple(Cell(c.entering, Run(lo, hi)) for lo, hi in plan.cells),
        depth=plan.depth,
        through=plan.through,
        fit=plan.fit,
        entries=_entries(c, rule, plan) if plan.depth else (),
        patches=entering.patches(plan),
        projection=plan.projection if plan.depth else 0.0,
    )


def _entries(c: Contact, rule: JointRule, plan: Entering) -> tuple[Vector, ...]:
    """Ways in: straight on always; along the line where a groove runs out; sideways at an open corner."""
    ways: list[Vector] = [c.entering_way]
    f = plan.frame
    run = plan.runs[0]
    open_start, open_end, below, above = borders(f, run)
    u = c.along
    stopped = rule.stopped or "none"
    if plan.kind in ("housing", "rebate"):
        if open_start and stopped in ("none", "back"):
            ways.append(u)
        if open_end and stopped in ("none", "front"):
            ways.append((-u[0], -u[1], -u[2]))
    if plan.kind in ("fingers", "rebate") and (below == 0.0) != (above == 0.0):
        m = f.receiver.pose.matrix
        across = m[:, 0] * f.receiver_plane.across[0] + m[:, 1] * f.receiver_plane.across[1]
        inward = across if below == 0.0 else -across
        ways.append((float(inward[0]), float(inward[1]), float(inward[2])))
    return tuple(ways)


def _glued(c: Contact, fit: Fit) -> Joint:
    return Joint(f"{c.receiver}/{c.entering}", "glue", c, (), 0, False, fit, ())


# --- three or more on one line --------------------------------------------------------


def _on_one_line(contacts: Sequence[Contact]) -> tuple[list[list[Contact]], list[Contact]]:
    """Crossings that share one line, three parts or more, and the single ones."""
    clusters: list[list[Contact]] = []
    for c in contacts:
        for cluster in clusters:
            if _same_line(cluster[0], c):
                cluster.append(c)
                break
        else:
            clusters.append([c])
    groups, singles = [], []
    for cluster in clusters:
        names = {n for c in cluster for n in (c.receiver, c.entering)}
        if len(names) >= 3:
            groups.append(cluster)
        else:
            singles.extend(cluster)
    return groups, singles


def _same_line(a: Contact, b: Contact) -> bool:
    ua, ub = np.asarray(a.along), np.asarray(b.along)
    if float(np.linalg.norm(np.cross(ua, ub))) > 1e-3:
        return False
    return float(np.linalg.norm(np.cross(np.asarray(b.origin) - np.asarray(a.origin), ua))) < 0.05


def _radial_group(
    members: list[Contact],
    parts: dict[str, Part],
    rules: Sequence[JointRule],
    fit: Fit,
    findings: list[Finding],
) -> list[Joint]:
    names = [n for n in parts if any(n in (c.receiver, c.entering) for c in members)]
    first = members[0]
    runs = [_shifted(c, first) for c in members]
    run = (max(r[0] for r in runs), min(r[1] for r in runs))
    wanted = [rule_for(rules, c.receiver, c.entering) for c in members]
    if any(r.kind == "none" for r in wanted):
        return []
    if run[1] - run[0] < len(names) * 2.0:
        findings.append(
            Finding(
                "radial-too-short",
                "stop",
                f"{', '.join(names)} cross on one line, but share only {max(0.0, run[1] - run[0]):.1f} mm of it.",
                "Make the parts taller where they cross, or join them on slotted hub plates.",
                part=names[0],
                point=first.origin,
            )
        )
        return []
    return crossing.radial(_on_line_of(members, first), run, names, parts, _first_fit(wanted, fit))


def _first_fit(rules: Iterable[JointRule], fit: Fit) -> Fit:
    return next((r.fit for r in rules if r.fit is not None), fit)


def _shift(c: Contact, first: Contact) -> float:
    return float((np.asarray(c.origin) - np.asarray(first.origin)) @ np.asarray(first.along))


def _shifted(c: Contact, first: Contact) -> Interval:
    shift = _shift(c, first)
    return (c.runs[0].start + shift, c.runs[-1].end + shift)


def _on_line_of(members: list[Contact], first: Contact) -> list[Contact]:
    """The same contacts, all counting along the line from the first one's origin."""
    out = []
    for c in members:
        shift = _shift(c, first)
        runs = tuple(Run(r.start + shift, r.end + shift) for r in c.runs)
        out.append(replace(c, origin=first.origin, along=first.along, runs=runs))
    return out


# --- what could not be joined as wanted -----------------------------------------------


def _place(plan_frame: Frame, run: Interval) -> Vector:
    x, y = plan_frame.entering_plane.at((run[0] + run[1]) / 2.0, -plan_frame.half)
    p = plan_frame.entering.pose.to_piece(np.array([x, y, plan_frame.entering.thickness / 2.0]))
    return (float(p[0]), float(p[1]), float(p[2]))


def _wants_cleat(c: Contact, f: Frame, whole: int) -> Finding:
    run = (c.runs[0].start, c.runs[0].end)
    return Finding(
        "blind-too-shallow",
        "care",
        f"{c.entering} meets {c.receiver}, whose {whole} layer{'s' if whole != 1 else ''} cannot hold a blind tab "
        "below an unbroken show layer: the joint is glued only.",
        'Give it a locating cleat (kind = "cleat"), three or more layers, or allow the tab to come through '
        "(through = true).",
        part=c.receiver,
        point=_place(f, run),
    )


def _too_short(c: Contact, plan: Entering) -> Finding:
    longest = max((hi - lo for lo, hi in plan.runs), default=0.0)
    return Finding(
        "run-too-short",
        "care",
        f"{c.entering} meets {c.receiver} along {longest:.1f} mm only: no room for a tab that is three times as wide "
        f"as its {plan.projection:.1f} mm, one thickness from the ends. The joint is glued only.",
        "Lengthen the edge, make the tab narrower (width), the joint shallower (depth), or ask for glue.",
        part=c.entering,
        point=_place(plan.frame, plan.runs[0]),
    )


def _no_budget(one: Entering, other: Entering, layers: int) -> Finding:
    return Finding(
        "opposite-entries",
        "care",
        f"{one.frame.entering.name} and {other.frame.entering.name} enter {one.frame.receiver.name} at the same place "
        f"from opposite faces; its {layers} layers leave each {layers // 2}.",
        "Shift one of them, let their tabs alternate (share), or give the part more layers.",
        part=one.frame.receiver.name,
        point=_place(one.frame, one.runs[0]),
    )
