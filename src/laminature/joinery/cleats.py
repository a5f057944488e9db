"""Locating cleats: strips that hold a part in its place where its joint is glued only.

Two layers cannot hold a blind tab. A cleat glued into the corner, on the side that is not
seen, says where the part goes and gives the glue a second face.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from laminature.geometry.pose import facing
from laminature.geometry.region import box
from laminature.joinery.frame import Frame, cross, frame, in_piece
from laminature.joinery.rules import rule_for
from laminature.model.joint import Contact, JointRule
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack
from laminature.model.words import Words

#: How wide a cleat is, mm at miniature scale (common practice, no source).
WIDTH = 4.0
#: A shorter cleat is more trouble than help, mm (common practice, no source).
SHORTEST = 4.0


def with_cleats(piece: Piece, contacts: Sequence[Contact], stack: Stack, words: Words) -> Piece:
    """The piece with a cleat, of ``stack``, for every joint whose rule asks for one.

    Only parts that stand square on each other get one. Where none is asked for the piece comes back
    as it is.
    """
    parts = {p.name: p for p in piece.parts}
    made: list[Part] = []
    for c in contacts:
        if c.kind not in ("edge-on-face", "corner") or abs(c.angle - 90.0) > 1e-6:
            continue
        if rule_for(piece.rules, c.receiver, c.entering).kind == "cleat":
            f = frame(parts[c.receiver], parts[c.entering], c.origin, c.along, c.entering_way)
            for run in c.runs:
                name, title = f"cleat-{len(made) + 1}", words.of("part_cleat", part=c.entering)
                cleat = _cleat(c, f, run.start, run.end, stack, name, title)
                if cleat is not None:
                    made.append(cleat)
    if not made:
        return piece
    glue = tuple(JointRule((p.name, "*"), "glue") for p in made)
    return Piece(
        piece.title,
        (*piece.parts, *made),
        (*piece.rules, *glue),
        piece.cushions,
        piece.size,
        piece.stands,
    )


def _cleat(
    c: Contact, f: Frame, start: float, end: float, stack: Stack, name: str, title: str
) -> Part | None:
    inset = f.receiver.thickness
    length = end - start - 2.0 * inset
    if length < SHORTEST:
        return None
    # On the side that is not seen; where both are, on that of layer 1.
    upper = f.entering.shows("lower") and not f.entering.shows("upper")
    outwards = np.asarray(f.entering.pose.z) * (1.0 if upper else -1.0)
    along, way = np.asarray(c.along), np.asarray(in_piece(f.entering, f.entering_plane.across))
    corner = (
        np.asarray(c.origin) + along * (start + inset) - way * f.half + outwards * f.entering.thickness / 2.0
    )
    # Its stack has to grow away from the receiver's face, whichever way round that makes the strip lie.
    x = along
    if float(np.dot(cross(tuple(x), tuple(outwards)), way)) > 0.0:
        x, corner = -along, corner + along * length
    return Part(
        name=name,
        title=title,
        outline=box(0.0, 0.0, length, WIDTH),
        stack=stack,
        pose=facing(corner.tolist(), x.tolist(), outwards.tolist()),
        show=frozenset(),
        grain="along",
        group=f.entering.group,
    )
