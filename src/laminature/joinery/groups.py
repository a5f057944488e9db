"""Crossings that share one line: three parts or more, joined together."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace

from laminature.geometry.pose import Vector
from laminature.joinery import crossing
from laminature.joinery.fits import fit_among
from laminature.joinery.frame import cross, dot
from laminature.joinery.intervals import Interval
from laminature.joinery.rules import rule_for
from laminature.model.finding import Finding
from laminature.model.fit import Fit
from laminature.model.joint import Contact, Joint, JointRule, Run
from laminature.model.part import Part


def on_one_line(contacts: Sequence[Contact]) -> tuple[list[list[Contact]], list[Contact]]:
    """Crossings that share one line, three parts or more, and the single ones.

    Only crossings that have a part in common can belong together, so only those are compared.
    """
    leader = list(range(len(contacts)))
    by_part: dict[str, list[int]] = defaultdict(list)
    for i, c in enumerate(contacts):
        for name in (c.receiver, c.entering):
            for j in by_part[name]:
                if _same_line(contacts[j], c) and _overlap(contacts[j], c):
                    one, other = sorted((_led(leader, i), _led(leader, j)))
                    leader[other] = one
            by_part[name].append(i)
    clusters: dict[int, list[Contact]] = defaultdict(list)
    for i, c in enumerate(contacts):
        clusters[_led(leader, i)].append(c)
    groups = [cluster for cluster in clusters.values() if len(cluster) > 1]
    return groups, [cluster[0] for cluster in clusters.values() if len(cluster) == 1]


def _led(leader: list[int], i: int) -> int:
    while leader[i] != i:
        i = leader[i]
    return i


def _overlap(a: Contact, b: Contact) -> bool:
    """Whether they share a stretch: legs on opposite sides of a hub lie on one line, but never meet."""
    low, high = _shifted(b, a)
    return min(high, a.runs[-1].end) - max(low, a.runs[0].start) > 1.0


def _same_line(a: Contact, b: Contact) -> bool:
    lean = cross(a.along, b.along)
    if dot(lean, lean) > 1e-6:
        return False
    off = cross(_between(a, b), a.along)
    return dot(off, off) < 0.05**2


def _between(a: Contact, b: Contact) -> Vector:
    p, q = a.origin, b.origin
    return (q[0] - p[0], q[1] - p[1], q[2] - p[2])


def radial_group(
    members: list[Contact],
    parts: dict[str, Part],
    rules: Sequence[JointRule],
    fit: Fit,
    findings: list[Finding],
) -> list[Joint]:
    """The joints of a group, or none and a finding where the parts share too little of their line."""
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
                f"{', '.join(names)} cross on one line, but share only "
                f"{max(0.0, run[1] - run[0]):.1f} mm of it.",
                "Make the parts taller where they cross, or join them on slotted hub plates.",
                part=names[0],
                point=first.origin,
                parts=tuple(names),
            )
        )
        return []
    own_fit = _first_fit(wanted, fit_among(fit, (parts[n] for n in names)))
    return crossing.radial(_on_line_of(members, first), run, names, parts, own_fit)


def _first_fit(rules: Iterable[JointRule], fit: Fit) -> Fit:
    return next((r.fit for r in rules if r.fit is not None), fit)


def _shift(c: Contact, first: Contact) -> float:
    return dot(_between(first, c), first.along)


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
