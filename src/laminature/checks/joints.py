"""Joints that are weak, that show, or that cannot be put together."""

from __future__ import annotations

import math

import numpy as np

from laminature.checks.checked import Checked
from laminature.checks.places import along
from laminature.geometry.flat import Flat, flat
from laminature.geometry.nearness import long_axis
from laminature.geometry.pose import Vector
from laminature.model.finding import Finding
from laminature.model.joint import Cell, Joint
from laminature.model.part import Part

#: A tab is at least so many times as wide as it projects (common practice, no source).
WIDTH_TO_PROJECTION = 3.0
#: Directions closer than this are one, degrees.
SAME_WAY = 1.0


def common_entries(given: Checked) -> tuple[Finding, ...]:
    """``no-common-entry``: two parts whose joints ask for different ways to put them together."""
    between: dict[tuple[str, str], list[Joint]] = {}
    for joint in given.joints:
        if joint.entries:
            one, two = sorted((joint.receiver, joint.entering))
            between.setdefault((one, two), []).append(joint)
    found = []
    for (one, two), joints in between.items():
        if len(joints) > 1 and not _common(joints):
            found.append(
                Finding(
                    "no-common-entry",
                    "stop",
                    f"{one} and {two} cannot be put together: "
                    f"no direction serves all {len(joints)} of their joints.",
                    "Let one of these joints be glued only, or a housing that is open at one end.",
                    joints[1].entering,
                    None,
                    _middle(joints[1]),
                    parts=(one, two),
                )
            )
    return tuple(found)


def _common(joints: list[Joint]) -> bool:
    """Whether some entry of the first joint is, within a degree, an entry of all the others."""
    mover = joints[0].entering
    ways = [np.array(j.entries) * (1.0 if j.entering == mover else -1.0) for j in joints]
    near = math.cos(math.radians(SAME_WAY))
    return any(all(float((other @ way).max()) >= near for other in ways[1:]) for way in ways[0])


def blind_depths(given: Checked) -> tuple[Finding, ...]:
    """``blind-too-shallow``: blind tabs with fewer than two layers to hold them.

    A housing may be shallower: what lies in it rests on its whole length.
    """
    found = []
    for joint in given.joints:
        if joint.kind != "tabs" or joint.through or joint.depth >= 2:
            continue
        count = given.part[joint.receiver].stack.count
        held = "no layer" if joint.depth < 1 else "only one layer"
        found.append(
            Finding(
                "blind-too-shallow",
                "stop" if joint.depth < 1 else "care",
                f"{held.capitalize()} of {joint.receiver} holds {joint.entering}: "
                f"a blind joint in a stack of {count} is {max(joint.depth, 0)} deep.",
                f"Give {joint.receiver} three layers or more, make the joint go through, "
                "or use a locating cleat and glue.",
                joint.receiver,
                None,
                _middle(joint),
                parts=(joint.receiver, joint.entering),
            )
        )
    return tuple(found)


def tab_widths(given: Checked) -> tuple[Finding, ...]:
    """``tab-narrow``: a tab narrower than three times its projection, the narrowest of each joint."""
    found = []
    for joint in given.joints:
        tabs = _tabs(joint)
        if not tabs:
            continue
        narrowest = min(tabs, key=lambda cell: cell.run.length)
        projection = joint.projection
        least = WIDTH_TO_PROJECTION * projection
        if narrowest.run.length < least - 1e-6:
            found.append(
                Finding(
                    "tab-narrow",
                    "care",
                    f"A tab of {joint.entering} is {narrowest.run.length:.2f} mm wide "
                    f"and goes {projection:.2f} mm into {joint.receiver}: "
                    "narrower than three times that, it breaks easily.",
                    f"Make it at least {least:.2f} mm wide, with fewer tabs in the joint or a blind joint.",
                    joint.entering,
                    None,
                    _at(joint, narrowest),
                    parts=(joint.receiver, joint.entering),
                )
            )
    return tuple(found)


def tabs_near_edges(given: Checked) -> tuple[Finding, ...]:
    """``tab-near-edge``: a tab that enters nearer to the receiving part's border than its thickness."""
    found = []
    for joint in given.joints:
        tabs = _tabs(joint) if joint.contact.kind == "edge-on-face" else ()
        if not tabs:
            continue
        receiver, entering = given.part[joint.receiver], given.part[joint.entering]
        border = receiver.outline.flat.boundary
        away = [(float(border.distance(_footprint(joint, cell, receiver, entering))), cell) for cell in tabs]
        nearest, cell = min(away, key=lambda pair: pair[0])
        if nearest < receiver.thickness - 1e-6:
            found.append(
                Finding(
                    "tab-near-edge",
                    "care",
                    f"A tab of {entering.name} enters {receiver.name} {nearest:.2f} mm from its edge: "
                    f"less than one thickness ({receiver.thickness:.2f} mm), the edge may break out.",
                    f"Move the tab or {entering.name} inwards, or make {receiver.name} larger there.",
                    receiver.name,
                    None,
                    _at(joint, cell),
                    parts=(receiver.name, entering.name),
                )
            )
    return tuple(found)


def tabs_across_grain(given: Checked) -> tuple[Finding, ...]:
    """``tab-across-grain``: the grain runs along a shoulder instead of out of it, once for each part.

    Only where the part's grain rule fixes the grain to its long axis: other parts are
    turned on the sheet as they fit.
    """
    found: dict[str, Finding] = {}
    for joint in given.joints:
        part = given.part[joint.entering]
        if part.name in found or part.grain != "along" or not _tabs(joint):
            continue
        board = given.boards[part.stack.boards[0]]
        axis = long_axis(part.outline.flat)
        if board.grain == "none" or axis is None:
            continue
        turn = math.radians(axis)
        grain = part.pose.matrix @ np.array([math.cos(turn), math.sin(turn), 0.0])
        if abs(float(grain @ np.array(joint.contact.entering_way))) < math.sqrt(0.5) - 1e-9:
            found[part.name] = Finding(
                "tab-across-grain",
                "note",
                f"The grain of {part.name} runs along the shoulder of its tabs into {joint.receiver}, "
                "where board breaks most easily.",
                'Set grain = "alike" for the part if the strength of these tabs matters more than '
                "that of the whole, or harden the tabs before assembly.",
                part.name,
                None,
                _middle(joint),
            )
    return tuple(found.values())


def fingers_that_show(given: Checked) -> tuple[Finding, ...]:
    """``fingers-show``: finger joints are seen on both faces; said once for the piece."""
    joints = [j for j in given.joints if j.kind == "fingers"]
    shown = [j for j in joints if any(given.part[n].show for n in (j.receiver, j.entering))]
    if not shown:
        return ()
    corners = "one corner" if len(shown) == 1 else f"{len(shown)} corners"
    names = sorted({n for j in shown for n in (j.receiver, j.entering)})
    return (
        Finding(
            "fingers-show",
            "note",
            f"Finger joints show on both faces at {corners}, between {_listed(names)}.",
            "Fill and sand them before the finish, or use a rebate: there only one layer's edge shows.",
            shown[0].receiver,
            None,
            _middle(shown[0]),
        ),
    )


def _listed(names: list[str]) -> str:
    if len(names) > 6:
        return f"{', '.join(names[:5])} and {len(names) - 5} more"
    return f"{', '.join(names[:-1])} and {names[-1]}"


def _tabs(joint: Joint) -> tuple[Cell, ...]:
    if joint.kind not in ("tabs", "cleat"):
        return ()
    return tuple(cell for cell in joint.cells if cell.owner == joint.entering)


def _footprint(joint: Joint, cell: Cell, receiver: Part, entering: Part) -> Flat:
    """The outline of a tab in the receiver's plane, without its clearances."""
    contact = joint.contact
    line = receiver.pose.to_part(np.array(contact.origin))[:2]
    way = (np.array(contact.along) @ receiver.pose.matrix)[:2]
    across = np.array([-way[1], way[0]])
    half = entering.thickness / 2 / math.sin(math.radians(contact.angle))
    start, end = cell.run.start, cell.run.end
    corners = [(start, -half), (end, -half), (end, half), (start, half)]
    return flat(np.array([line + s * way + p * across for s, p in corners]))


def _at(joint: Joint, cell: Cell) -> Vector:
    return along(joint.contact.origin, joint.contact.along, (cell.run.start + cell.run.end) / 2)


def _middle(joint: Joint) -> Vector:
    if joint.cells:
        return _at(joint, joint.cells[len(joint.cells) // 2])
    return joint.contact.origin
