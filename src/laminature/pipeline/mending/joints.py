"""What may mend findings about joints, stacks and where parts lie."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fnmatch import fnmatchcase
from itertools import combinations

import numpy as np

from laminature.model.finding import Finding, Mend, Setting
from laminature.model.joint import Joint
from laminature.pipeline.mending.desk import Desk

#: What may hold layers in line, in the order in which it is offered, and how that is said.
_ALIGNED = {
    "pins": "with pins",
    "carrier": "in a frame that carries them",
    "keys": "with keys in their slots",
    "hand": "by hand",
}
#: Of a lock of many parts, so many pairs are tried.
_PAIRS = 6


def cleat_or_through(desk: Desk, found: Finding) -> Iterator[Mend]:
    """A blind tab that too few layers hold."""
    receiver, entering = found.parts
    for joint in _joints(desk, found):
        if joint.depth == 1:
            label = f"Let {entering} go two layers deep into {receiver}"
            yield desk.rule(label, receiver, entering, depth=2)
    yield desk.rule(f"Hold {entering} on {receiver} with a cleat", receiver, entering, kind="cleat")
    yield desk.rule(
        f"Let the tabs of {entering} come through {receiver}", receiver, entering, through=True, depth=None
    )


def fewer_tabs(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Tabs that are too narrow, or too near to an edge."""
    receiver, entering = found.parts
    for joint in _joints(desk, found):
        label = f"Leave the tabs of {entering} in {receiver} to Laminature"
        if any({"count", "width"} & set(rule) for rule in desk.tables("joint")):
            yield desk.rule(label, receiver, entering, count=None, width=None)
        count = sum(cell.owner == entering for cell in joint.cells)
        for fewer in range(count - 1, max(0, count - 4), -1):
            tabs = "one tab" if fewer == 1 else f"{fewer} tabs"
            yield desk.rule(
                f"Give {entering} {tabs} in {receiver}", receiver, entering, count=fewer, width=None
            )
        if not joint.through and joint.depth > 2:
            yield desk.rule(f"Let {entering} go two layers deep into {receiver}", receiver, entering, depth=2)


def shallower_or_glued(desk: Desk, found: Finding) -> Iterator[Mend]:
    """An edge without room for a tab."""
    receiver, entering = found.parts
    for depth in (2, 1):
        layers = "two layers" if depth == 2 else "one layer"
        label = f"Let {entering} go only {layers} deep into {receiver}"
        yield desk.rule(label, receiver, entering, depth=depth)
    yield from glued(desk, found)


def glued(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Two parts whose joint may be glue alone."""
    pairs = list(combinations(found.parts, 2))
    there = {frozenset((j.receiver, j.entering)) for j in desk.made.joints if j.kind not in ("glue", "none")}
    if found.code == "locked-together":
        pairs = [pair for pair in pairs if frozenset(pair) in there][:_PAIRS]
    for receiver, entering in pairs:
        yield desk.rule(f"Only glue {entering} to {receiver}", receiver, entering, kind="glue")


def alternating(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Two parts that enter a third from opposite faces."""
    receiver, one, other = found.parts
    changes = (
        *desk.rule_changes(receiver, one, 0, share=(0, 2)),
        *desk.rule_changes(receiver, other, 1, share=(1, 2)),
    )
    begun = len({path[1] for path, _ in changes})
    if begun == 2:
        yield Mend(f"Let the tabs of {one} and {other} alternate in {receiver}", changes)


def no_fingers(desk: Desk, _: Finding) -> Iterator[Mend]:
    """Finger joints of a form that knows other corners."""
    if desk.made.design.values.get("corners") == "fingers":
        yield Mend("Make the corners with rebates", ((("form", "corners"), "rebate"),))


def grain_alike(_: Desk, found: Finding) -> Iterator[Mend]:
    """Tabs that the grain weakens."""
    if found.part is not None:
        label = f"Let the layers of {found.part} lie any way, all alike"
        yield Mend(label, ((("grain", found.part), "alike"),))


def moved_to_touch(desk: Desk, found: Finding) -> Iterator[Mend]:
    """A part written out by hand that stops just short of another."""
    if desk.made.design.form is not None or not found.parts:
        return
    numbers = {str(part.get("name")): n for n, part in enumerate(desk.tables("part"))}
    for contact in desk.made.contacts:
        if contact.kind != "near-miss" or {contact.receiver, contact.entering} != set(found.parts):
            continue
        way = np.array(contact.entering_way) * contact.gap
        for name, shift in ((contact.entering, way), (contact.receiver, -way)):
            if name not in numbers:
                continue
            now = [float(v) for v in desk.made.piece.part(name).pose.shift]
            at = _written_at(desk.tables("part")[numbers[name]], now, [float(v) for v in shift])
            if at is not None:
                label = f"Move {name} by {contact.gap:.2f} mm, so that the two touch"
                yield Mend(label, ((("part", numbers[name], "at"), at),))


def _written_at(
    part: Mapping[str, object], now: Sequence[float], shift: Sequence[float]
) -> tuple[str | float, ...] | None:
    written = part.get("at", ["0 mm", "0 mm", "0 mm"])
    if not isinstance(written, list) or not 2 <= len(written) <= 3:
        return None
    whole = [*written, "0 mm"] if len(written) == 2 else list(written)
    for axis in range(3):
        if abs(shift[axis]) > 1e-6:
            whole[axis] = f"mini {now[axis] + shift[axis]:.4f} mm"
    return tuple(whole)


def aligned_otherwise(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Layers that are to be held in line by what cannot hold them."""
    for number, now in _last(desk, found, "align"):
        for align, words in _ALIGNED.items():
            if align != now:
                label = f"Hold the layers of {found.part} {words}"
                yield Mend(label, ((("stack", number, "align"), align), (("stack", number, "places"), None)))


def places_found(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Places of pins that were asked for and do not serve."""
    for number, _ in _last(desk, found, "places"):
        yield Mend("Leave the places of the pins to Laminature", ((("stack", number, "places"), None),))


def pins_hidden(desk: Desk, found: Finding) -> Iterator[Mend]:
    """Pins that come out where they are seen."""
    for number, _ in _last(desk, found, "through_show"):
        yield Mend("Let no pin come out at a face that shows", ((("stack", number, "through_show"), None),))


def no_last_face(desk: Desk, found: Finding) -> Iterator[Mend]:
    """A face that cannot come last. Taken back only where nothing else is meant by the rule."""
    for number, _ in _last(desk, found, "face_last"):
        pattern = str(desk.tables("stack")[number].get("parts", ""))
        if sum(fnmatchcase(part.name, pattern) for part in desk.made.piece.parts) == 1:
            yield Mend(
                f"Glue {found.part} up whole, its face with it", ((("stack", number, "face_last"), None),)
            )


def without_rule(desk: Desk, found: Finding) -> Iterator[Mend]:
    """A rule for parts that are not there: without it nothing changes."""
    names = [part.name for part in desk.made.piece.parts]
    for key in ("joint", "stack"):
        for number, rule in enumerate(desk.tables(key)):
            given = rule.get("parts", ())
            patterns = [given] if isinstance(given, str) else list(map(str, given))
            for pattern in patterns:
                unmatched = not any(fnmatchcase(name, pattern) for name in names)
                if unmatched and f"{pattern!r}," in found.message:
                    setting: Setting = None
                    yield Mend(f"Take out the rule for {pattern}", (((key, number), setting),))


def _joints(desk: Desk, found: Finding) -> list[Joint]:
    pair = set(found.parts)
    return [j for j in desk.made.joints if {j.receiver, j.entering} == pair][:1]


def _last(desk: Desk, found: Finding, key: str) -> Iterator[tuple[int, object]]:
    """The rule for the part's stack that decides about a key."""
    if found.part is not None:
        for number, value in desk.stack_rules(found.part, key):
            yield number, value
            return
