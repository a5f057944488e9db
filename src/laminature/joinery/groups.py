"""Crossings that share one line: three parts or more, joined together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from laminature.joinery import crossing
from laminature.joinery.intervals import Interval
from laminature.joinery.rules import rule_for
from laminature.model.finding import Finding
from laminature.model.fit import Fit
from laminature.model.joint import Contact, Joint, JointRule, Run
from laminature.model.part import Part


def on_one_line(contacts: Sequence[Contact]) -> tuple[list[list[Contact]], list[Contact]]:
    """Crossings that share one line, three parts or more, and the single ones."""
    clusters: list[list[Contact]] = []
    for c in contacts:
        for cluster in clusters:
            if _same_line(cluster[0], c) and _overlap(cluster[0], c):
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


def _overlap(a: Contact, b: Contact) -> bool:
    """Whether they share a stretch: legs on opposite sides of a hub lie on one line, but never meet."""
    low, high = _shifted(b, a)
    return min(high, a.runs[-1].end) - max(low, a.runs[0].start) > 1.0


def _same_line(a: Contact, b: Contact) -> bool:
    ua, ub = np.asarray(a.along), np.asarray(b.along)
    if float(np.linalg.norm(np.cross(ua, ub))) > 1e-3:
        return False
    return float(np.linalg.norm(np.cross(np.asarray(b.origin) - np.asarray(a.origin), ua))) < 0.05


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
