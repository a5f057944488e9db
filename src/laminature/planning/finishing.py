"""What the finish of a piece takes: what is sanded, coated, coated before assembly, masked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from laminature.model.cushion import Upholstery
from laminature.model.finish import Finish, FinishPart
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.piece import Piece
from laminature.model.rates import Rates
from laminature.planning.beforehand import Beforehand, beforehand
from laminature.planning.measures import Measured, measured, seam, surface
from laminature.planning.shop import M2

#: Joints that nothing slides into, so that they have no clearance.
BUTTED = ("glue", "cleat", "none")


def finishing(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    cushions: Sequence[Upholstery],
    rates: Rates,
    stacks: Sequence[Measured] | None = None,
) -> Finish:
    """The finish of a piece. ``stacks`` are given where they are measured already."""
    stacks = [s for s in stacks or measured(piece, joints, layers, cushions) if not s.cushion]
    early = beforehand(piece, joints, stacks, rates.coat)
    alike: dict[str, list[Measured]] = {}
    for s in stacks:
        alike.setdefault(s.letter or s.name, []).append(s)
    area, first = surface(stacks), sum(one.area for one in early.values())
    coat, spread = rates.coat, rates.spread
    fits = [joint.fit for joint in joints if joint.kind not in BUTTED]
    return Finish(
        parts=tuple(_part(those, early) for those in alike.values()),
        edge=sum(s.bare for s in stacks),
        face=sum(s.shown for s in stacks),
        area=area,
        first=first,
        seam=sum(seam(j, piece) for j in joints),
        joints=len(joints),
        grits=spread.grits,
        stains=coat.stains,
        tops=coat.tops,
        stain=spread.stain / M2,
        top=spread.top / M2,
        stain_dry=coat.stain_dry,
        top_dry=coat.top_dry,
        fill_dry=rates.fill.dry,
        glue_dry=rates.join.dry,
        ca_set=rates.join.set,
        air=coat.air,
        last=tuple(dict.fromkeys(s.letter or s.name for s in stacks if s.face is not None)),
        loose=tuple(dict.fromkeys(p.letter or p.name for p in piece.parts if p.group)),
        sides=tuple(sorted({fit.side for fit in fits})),
        coats=min((fit.coats for fit in fits), default=0.0),
        cloth=bool(cushions),
    )


def _part(alike: Sequence[Measured], early: Mapping[str, Beforehand]) -> FinishPart:
    first = alike[0]
    labels = {seen.face: ", ".join(seen.labels) for seen in first.seen}
    before = early.get(first.name)
    return FinishPart(
        first.letter or first.name,
        first.title,
        len(alike),
        first.bare,
        tuple(labels.items()),
        sum(s.shown + s.bare * s.thickness for s in alike) / len(alike),
        tuple((face, labels[face]) for face in before.faces) if before else (),
        before.masked if before else (),
        before.flat if before else 0.0,
    )
