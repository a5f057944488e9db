"""Parts that hang in the air: near misses, and parts that nothing holds."""

from __future__ import annotations

from laminature.checks.checked import Checked
from laminature.checks.places import along, in_piece
from laminature.model.finding import Finding
from laminature.model.joint import Contact
from laminature.model.part import Part


def floating_parts(given: Checked) -> tuple[Finding, ...]:
    """``part-not-attached``: nothing holds a part. ``near-miss``: two parts that almost touch."""
    misses = [c for c in given.contacts if c.kind == "near-miss"]
    loose = _loose(given)
    found = [_not_attached(part, misses) for part in loose]
    told = {part.name for part in loose}
    for miss in misses:
        if miss.receiver in told or miss.entering in told:
            continue
        found.append(
            Finding(
                "near-miss",
                "care",
                f"{miss.entering} stops {miss.gap:.2f} mm short of {miss.receiver}: no joint is made there.",
                f"Make {miss.entering} {miss.gap:.2f} mm longer or move it until the two touch; "
                "if the gap is meant, widen it.",
                miss.entering,
                None,
                _middle(miss),
                parts=(miss.receiver, miss.entering),
            )
        )
    return tuple(found)


def _loose(given: Checked) -> list[Part]:
    """Parts that no chain of contacts ties to the bulk of their group."""
    forbidden = {frozenset((j.receiver, j.entering)) for j in given.joints if j.kind == "none"} - {
        frozenset((j.receiver, j.entering)) for j in given.joints if j.kind != "none"
    }
    tied: dict[str, set[str]] = {p.name: {p.name} for p in given.piece.parts}
    group = {p.name: p.group for p in given.piece.parts}
    for contact in given.contacts:
        one, two = contact.receiver, contact.entering
        if contact.kind == "near-miss" or group[one] != group[two] or frozenset((one, two)) in forbidden:
            continue
        if tied[one] is not tied[two]:
            tied[one] |= tied[two]
            for name in tied[two]:
                tied[name] = tied[one]
    loose = []
    for name in dict.fromkeys(group.values()):
        mine = [p for p in given.piece.parts if p.group == name]
        bulk = max((tied[p.name] for p in mine), key=len)
        loose += [p for p in mine if p.name not in bulk]
    return loose


def _not_attached(part: Part, misses: list[Contact]) -> Finding:
    own = min((m for m in misses if part.name in (m.receiver, m.entering)), key=lambda m: m.gap, default=None)
    if own is not None:
        other = own.receiver if own.entering == part.name else own.entering
        return Finding(
            "part-not-attached",
            "stop",
            f"Nothing holds {part.name}: it stops {own.gap:.2f} mm short of {other}.",
            f"Make one of them {own.gap:.2f} mm longer, or move {part.name} until the two touch.",
            part.name,
            None,
            _middle(own),
            parts=(own.receiver, own.entering),
        )
    x, y = part.outline.flat.representative_point().coords[0]
    where = in_piece(part, (x, y, part.thickness / 2))
    return Finding(
        "part-not-attached",
        "stop",
        f"Nothing holds {part.name}: it and what it is joined to touch no other part of the piece.",
        "Move it until an edge touches a face of another part, or, if it is meant to come off, "
        "give it a group of its own.",
        part.name,
        None,
        where,
    )


def _middle(contact: Contact) -> tuple[float, float, float]:
    if not contact.runs:
        return contact.origin
    longest = max(contact.runs, key=lambda run: run.length)
    return along(contact.origin, contact.along, (longest.start + longest.end) / 2)
