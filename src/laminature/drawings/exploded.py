"""The piece taken apart along the ways its parts move in, and one drawing for each step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.arrows import HEAD, arrow
from laminature.drawings.assembling import anchors, apart, lines, retreat, spread, together
from laminature.drawings.balloons import BORDER, label
from laminature.drawings.bodies import Body, bodies, moved
from laminature.drawings.hidden import Patch, Seen, see
from laminature.drawings.looking import USUAL, looking
from laminature.drawings.page import Page, page_for
from laminature.drawings.whole import MOST, ROOM
from laminature.geometry.flat import Flat, convex
from laminature.geometry.pose import Pose, turned
from laminature.geometry.visible import View
from laminature.model.cushion import Upholstery
from laminature.model.drawing import Drawing
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.piece import Piece
from laminature.model.step import Assembly, Step

Array = NDArray[np.float64]

#: Between parts that stand apart, as a share of the piece's diagonal.
GAP = 0.1
#: A step shows at least this share of what moves in, as far as some view does.
ENOUGH = 0.2
#: An arrow is at least and at most so long, and begins so far from what moves, mm on the page.
SHORTEST, LONGEST, CLEAR = 7.5, 11.0, 1.6


def exploded(
    piece: Piece,
    layers: Sequence[Layer],
    assembly: Assembly | None = None,
    *,
    joints: Sequence[Joint] = (),
    cushions: Sequence[Upholstery] = (),
    room: tuple[float, float] = (ROOM[0], 1.5 * ROOM[1]),
    view: tuple[float, float] = USUAL,
    labelled: bool = True,
    seams: bool = True,
    memory: Memory | None = None,
) -> Drawing:
    """The piece with its parts moved out along their ways, chain lines where they come from.

    Without an ``assembly`` they are moved away from the middle. Chain lines start at the tabs of ``joints``,
    where these are given. Letters stand in circles beside the parts, each letter once. ``seams`` draws the
    lines between layers.
    """
    every = bodies(piece.parts, layers, cushions, memory)
    look = looking(*view)
    shifts = _shifts(every, assembly, look)
    ways = lines(assembly, every, shifts, joints) if assembly is not None and assembly.steps else None
    there = moved(every, shifts)
    points = look.flat(np.concatenate([b.points for b in there]))
    page = page_for(points, room, BORDER if labelled else 2.0, MOST)
    seen = see(there, look, seams=seams, ways=ways)
    page.show(seen, lambda n: there[n].tone)
    if labelled:
        label(page, seen, _named(there, seen, [b.name for b in there]), points)
    return page.done("exploded", piece.title)


def taken_apart(
    piece: Piece,
    layers: Sequence[Layer],
    assembly: Assembly | None = None,
    *,
    cushions: Sequence[Upholstery] = (),
    memory: Memory | None = None,
) -> dict[str, Array]:
    """How far each part and cushion stands off its place in :func:`exploded`, in the piece, mm."""
    return _shifts(bodies(piece.parts, layers, cushions, memory), assembly, looking(*USUAL))


def _shifts(every: Sequence[Body], assembly: Assembly | None, look: View) -> dict[str, Array]:
    if assembly is None or not assembly.steps:
        return spread(every)
    return apart(every, assembly, GAP * _diagonal(every), look)


def step_drawing(
    piece: Piece,
    layers: Sequence[Layer],
    assembly: Assembly,
    number: int,
    *,
    joints: Sequence[Joint] = (),
    cushions: Sequence[Upholstery] = (),
    room: tuple[float, float] = (90.0, 90.0),
    memory: Memory | None = None,
) -> Drawing:
    """Step ``number``: what is there in plain lines, what moves in tinted, and an arrow along its way.

    It stands as it lies on the bench in that step, seen from the side the part comes from. Raises KeyError
    for a number that no step has, and for a step none of whose parts has layers.
    """
    step = next((s for s in assembly.steps if s.number == number), None)
    if step is None:
        raise KeyError(number)
    every = bodies(piece.parts, layers, cushions, memory)
    there = together(assembly, step.number, step.onto)
    turn = upright(step)
    old = [_turned(b, turn) for b in every if b.name in there and b.name not in step.moving]
    new = [_turned(b, turn) for b in every if b.name in step.moving]
    if not (old or new):
        raise KeyError(number)
    way = turn.matrix @ np.array(step.way)
    # What is laid down first has no way to go.
    far = [0.0]
    joined = np.zeros((0, 3))
    if old and new:
        gap = 1.2 * GAP * _diagonal([*old, *new])
        far = [gap + retreat(new, old, way, {b.name: np.zeros(3) for b in (*old, *new)})]
        # Farther, where it would still be hidden: until it is clear of all that is there.
        reach = [np.concatenate([b.points for b in some]) @ way for some in (new, old)]
        far.append(max(far[0], gap + float(reach[0].max() - reach[1].min())))
        led = anchors(step, [b for b in every if b.name in step.moving], joints)
        joined = turn.to_piece(np.array([a.at for a in led]))
    back, look, shown, seen = _clearest(old, new, way, far, joined)
    points = look.flat(np.concatenate([b.points for b in shown]))
    page = page_for(points, room, BORDER, MOST)
    page.show(seen, lambda n: "new" if shown[n].name in step.moving else shown[n].tone)
    taken = _arrow(page, look, joined.mean(axis=0) - back * way, way, back) if len(joined) else ()
    label(page, seen, _named(shown, seen, [*step.moving, *step.onto]), points, taken)
    return page.done(f"step-{number}", f"{piece.title}: {number}")


def upright(step: Step) -> Pose:
    """The turn that brings what is down in this step down on the page."""
    down = np.array(step.down)
    if down[2] < -1.0 + 1e-9:
        return Pose()
    if down[2] > 1.0 - 1e-9:
        return turned((1.0, 0.0, 0.0), 180.0)
    axis = np.cross(down, np.array([0.0, 0.0, -1.0]))
    return turned(tuple(axis), float(np.degrees(np.arccos(np.clip(-down[2], -1.0, 1.0)))))


def _turned(body: Body, turn: Pose) -> Body:
    marks = None if body.marks is None else turn.to_piece(body.marks)
    return replace(body, pose=body.pose.then(turn), marks=marks)


def _clearest(
    old: Sequence[Body], new: Sequence[Body], way: Array, far: Sequence[float], joined: Array
) -> tuple[float, View, tuple[Body, ...], Seen]:
    """How far back what moves in is drawn, and from where: the first that shows enough of it, or the most."""
    best: tuple[float, View, tuple[Body, ...], Seen] | None = None
    most = -1.0
    for back in dict.fromkeys(far):
        shown = (*old, *moved(new, {b.name: -back * way for b in new}))
        for look in _sides(way):
            seen = see(shown, look, ways=np.stack([joined - back * way, joined], axis=1))
            mine = sum(p.area.area for p in seen.patches if p.body >= len(old))
            share = mine / max(1e-9, sum(convex(look.flat(b.points)).area for b in shown[len(old) :]))
            if share > most:
                most, best = share, (back, look, shown, seen)
            if share > ENOUGH or not new:
                return back, look, shown, seen
    assert best is not None
    return best


def _sides(way: Array) -> list[View]:
    """The usual view and its like from the other three corners, as far as the part comes from there."""
    azimuth, elevation = USUAL
    views = [looking(a, elevation) for a in (azimuth, -azimuth, 180.0 + azimuth, 180.0 - azimuth)]
    towards = [round(float(way @ v.away), 3) for v in views]
    return [v for v, t in zip(views, towards, strict=True) if t == max(towards)]


def _arrow(page: Page, look: View, lead: Array, way: Array, back: float) -> tuple[Flat, ...]:
    """Draw the arrow where the part leads; returns where no label may stand for it."""
    start, towards = np.array(page.at(look.flat(lead))), look.flat(way)
    seen = float(np.hypot(*towards))
    # Seen nearly along its way an arrow would be a blot.
    if seen < 0.15:
        return ()
    unit = towards / seen
    room = back * seen * page.factor - CLEAR
    begin = start + CLEAR * unit
    end = begin + max(SHORTEST, min(LONGEST, 0.8 * room)) * unit
    arrow(page, (float(begin[0]), float(begin[1])), (float(end[0]), float(end[1])))
    aside = 1.5 * HEAD * np.array([-unit[1], unit[0]])
    corners = [begin + aside, begin - aside, end - aside, end + aside]
    return (convex([page.back(c) for c in corners]),)


def _named(every: Sequence[Body], seen: Seen, names: Sequence[str]) -> dict[str, list[Patch]]:
    """What is seen of the bodies called ``names``, letter by letter; of alike parts only the first named."""
    found: dict[str, list[Patch]] = {}
    for name in names:
        mine = [p for p in seen.patches if every[p.body].name == name and every[p.body].letter]
        if mine:
            found.setdefault(every[mine[0].body].letter, mine)
    return found


def _diagonal(every: Sequence[Body]) -> float:
    points = np.concatenate([b.points for b in every])
    return float(np.linalg.norm(np.ptp(points, axis=0)))
