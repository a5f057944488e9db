"""What the finish of a piece takes: what is sanded, coated, coated before assembly, masked."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.model.cushion import Upholstery
from laminature.model.finish import Finish, FinishPart, Strip
from laminature.model.fit import Fit
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Face, Part
from laminature.model.piece import Piece
from laminature.model.rates import Rates
from laminature.planning.measures import Measured, glued, line, measured, seam, surface
from laminature.planning.reaching import OPEN, openness
from laminature.planning.shop import M2
from laminature.planning.ways import dot


def finishing(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    cushions: Sequence[Upholstery],
    rates: Rates,
    fit: Fit,
) -> Finish:
    """The finish of a piece. ``fit`` is the design's own."""
    stacks = [s for s in measured(piece, joints, layers, cushions) if not s.cushion]
    known = {s.name: s for s in stacks}
    alike: dict[str, list[Measured]] = {}
    for s in stacks:
        alike.setdefault(s.letter or s.name, []).append(s)
    area = surface(stacks)
    coat, spread = rates.coat, rates.spread
    return Finish(
        parts=tuple(_part(those, piece, joints, known) for those in alike.values()),
        edge=sum(s.bare for s in stacks),
        face=sum(s.shown for s in stacks),
        area=area,
        seam=sum(seam(j, piece) for j in joints),
        joints=len(joints),
        grits=spread.grits,
        stains=coat.stains,
        tops=coat.tops,
        stain=area * spread.stain / M2,
        top=area * spread.top / M2,
        stain_dry=coat.stain_dry,
        top_dry=coat.top_dry,
        fill_dry=rates.fill.dry,
        air=coat.air,
        loose=tuple(dict.fromkeys(p.letter or p.name for p in piece.parts if p.group)),
        side=fit.side,
        coats=fit.coats,
        cloth=bool(cushions),
    )


def _part(
    alike: Sequence[Measured], piece: Piece, joints: Sequence[Joint], known: dict[str, Measured]
) -> FinishPart:
    first = alike[0]
    part = piece.part(first.name)
    others = [p for p in piece.parts if p is not part and p.group == part.group]
    labels = {seen.face: ", ".join(seen.labels) for seen in first.seen}
    before = [face for face in labels if openness(part, face, others) < OPEN]
    strips: list[Strip] = []
    flat = 0.0
    for joint in joints:
        for face in _met(joint, part):
            if face not in before:
                continue
            if joint.contact.kind == "faces":
                flat += glued(joint, piece, known).area
            else:
                other = joint.entering if joint.receiver == part.name else joint.receiver
                strips.append(Strip(line(joint), piece.part(other).thickness))
    return FinishPart(
        first.letter or first.name,
        first.title,
        len(alike),
        first.bare,
        tuple((face, labels[face]) for face in labels),
        first.shown + first.bare * first.thickness,
        tuple((face, labels[face]) for face in before),
        tuple(strips),
        flat,
    )


def _met(joint: Joint, part: Part) -> tuple[Face, ...]:
    """The faces of a part on which a joint is glued; none where only its edge is."""
    if part.name not in (joint.receiver, joint.entering):
        return ()
    if joint.kind in ("halving", "radial"):
        return ("lower", "upper")
    way = dot(joint.contact.entering_way, part.pose.z)
    if joint.contact.kind == "faces":
        # The way leads out of the entering part, through the face on which the other lies.
        way = way if part.name == joint.receiver else -way
    elif part.name == joint.entering:
        return ()
    return ("lower",) if way > 0.0 else ("upper",)
