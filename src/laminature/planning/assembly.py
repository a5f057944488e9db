"""The order of assembly: what moves in, onto what, which way, and how it is held.

Every move is along a straight line and is tested on the stacked layers themselves, with the clearance that
the joints' fit gave them: see :mod:`laminature.geometry.sweeping` and ``docs/assembly.md``.
"""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.overlap import overlaps
from laminature.geometry.pose import Vector
from laminature.geometry.solid import Slab, Solid, meeting, stacked
from laminature.geometry.sweeping import meets, span
from laminature.model.cushion import Upholstery
from laminature.model.finding import Finding
from laminature.model.joint import Joint
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.step import Assembly
from laminature.planning.apart import LockedError
from laminature.planning.loose import out_of_the_whole
from laminature.planning.puzzle import Mask, Puzzle, bits
from laminature.planning.scattered import scattered
from laminature.planning.search import Search, Tree
from laminature.planning.telling import caught, face_caught, locked_together
from laminature.planning.ways import opposite
from laminature.planning.writing import Written

#: What lies no further than this beneath a loose part carries it, mm.
TOUCHING = 0.5
UPWARDS: Vector = (0.0, 0.0, 1.0)


def order_of_assembly(
    piece: Piece,
    joints: Sequence[Joint],
    layers: Sequence[Layer],
    cushions: Sequence[Upholstery] = (),
) -> tuple[Assembly, tuple[Finding, ...]]:
    """The steps by which a piece is put together from its parts, or why there are none.

    Found: ``locked-together`` where parts cannot be brought together along straight lines,
    ``loose-part-caught`` where a lid, drawer or cushion cannot be taken out again, ``face-caught`` where a
    face that is to come last can no longer be put on. With any of them there are no steps.
    """
    parts, solids, faces = _solids(piece, layers)
    puzzle = Puzzle(parts, solids, joints)
    written = Written(parts)
    groups = _groups(puzzle)
    found: list[Finding] = []
    for n, mask in enumerate(groups):
        try:
            own, tree = _tree(puzzle, mask)
        except LockedError as locked:
            return Assembly(), (locked_together(locked.puzzle, locked.mask),)
        written.tree(own, tree, apart=n > 0)
        for name in own.names(own.whole):
            if name in faces:
                found += _face(written, own, puzzle.parts[puzzle.number[name]], faces[name])
    if len(groups) > 1:
        taken, stuck = out_of_the_whole(puzzle, groups[1:], groups[0])
        found += stuck
        there = groups[0]
        for group, way in taken:
            _put_in(written, puzzle, group, there, way)
            there |= group
    kept = {c.name: c.rim > 0.0 for c in piece.cushions}
    for cushion in cushions:
        found += _cushion(written, puzzle, cushion, kept.get(cushion.name, False))
    return (Assembly(), tuple(found)) if found else (written.assembly(), ())


def _solids(piece: Piece, layers: Sequence[Layer]) -> tuple[list[Part], list[Solid], dict[str, Solid]]:
    """Parts that have any board, as stacks of their layers; faces that come last are kept apart."""
    slabs: dict[str, list[Slab]] = {}
    last: dict[str, list[Slab]] = {}
    for layer in layers:
        if layer.role == "layer":
            slab = Slab(layer.regions, layer.lower, layer.upper)
            (last if layer.last else slabs).setdefault(layer.part, []).append(slab)
    parts, solids, faces = [], [], {}
    for part in piece.parts:
        solid = stacked(slabs.get(part.name, []), part.pose)
        if solid.slabs:
            parts.append(part)
            solids.append(solid)
        face = stacked(last.get(part.name, []), part.pose)
        if face.slabs:
            faces[part.name] = face
    return parts, solids, faces


def _groups(puzzle: Puzzle) -> list[Mask]:
    """The parts that stay together: the piece itself, then what is loose, in the order of the piece."""
    found: dict[str, Mask] = {}
    for i, part in enumerate(puzzle.parts):
        found[part.group] = found.get(part.group, 0) | 1 << i
    return [found[name] for name in sorted(found, key=lambda name: name != "")]


def _tree(puzzle: Puzzle, mask: Mask) -> tuple[Puzzle, Tree]:
    """How the parts of a group go together. Raises LockedError where they do not."""
    own = _of(puzzle, mask, thorough=False)
    try:
        search = Search(own)
        return own, scattered(own, search) or search.tree(own.whole)
    except LockedError:
        # Seldom: more ways are tried, and parts that lie in each other (another finding) are let pass.
        own = _of(puzzle, mask, thorough=True)
        for shared in overlaps(own.solids, meeting(own.solids)):
            own.ignore(shared.first, shared.second)
    return own, Search(own).tree(own.whole)


def _of(puzzle: Puzzle, mask: Mask, thorough: bool) -> Puzzle:
    mine = list(bits(mask))
    parts, solids = [puzzle.parts[i] for i in mine], [puzzle.solids[i] for i in mine]
    return Puzzle(parts, solids, puzzle.joints, thorough=thorough)


def _face(written: Written, own: Puzzle, part: Part, face: Solid) -> list[Finding]:
    """The step that glues a part's face on, or a finding where something is in its way."""
    out = part.pose.z if part.last_face == "upper" else opposite(part.pose.z)
    met = _met(own, face, out)
    if met:
        return [face_caught(part.name, met)]
    written.face(part.name, opposite(out))
    return []


def _put_in(written: Written, puzzle: Puzzle, group: Mask, there: Mask, way: Vector) -> None:
    out = opposite(way)
    own = [puzzle.solids[i] for i in bits(group)]
    low, _ = span(own, out)
    onto, travel = [], 0.0
    for i in bits(there):
        # It comes to lie on what stops it, and is out when it is past that.
        past = span([puzzle.solids[i]], out)[1] - low
        if past > -TOUCHING and any(meets([puzzle.solids[i], s], out)[0, 1] for s in own):
            onto.append(puzzle.parts[i].name)
            travel = max(travel, past)
    written.loose(puzzle, group, onto or puzzle.names(there), way, travel)


def _cushion(written: Written, puzzle: Puzzle, cushion: Upholstery, dropped_in: bool) -> list[Finding]:
    """The step that puts a cushion on, straight or from a side; cloth and batting give, so only the panel and
    the room over it count.
    """
    panel, pose = cushion.envelope.panel_thickness, cushion.pose
    solid = Solid((Slab((cushion.outline.flat,), -panel, cushion.envelope.height - panel),), pose)
    met: tuple[str, ...] = ()
    for out in (pose.z, UPWARDS, opposite(pose.y), pose.x, opposite(pose.x), pose.y):
        barring = _met(puzzle, solid, out)
        if not barring:
            written.cushion(cushion, opposite(out), panel if dropped_in else 0.0, dropped_in)
            return []
        met = met or barring
    return [caught((cushion.name,), met)]


def _met(puzzle: Puzzle, solid: Solid, way: Vector) -> tuple[str, ...]:
    """The parts that a solid meets when it is moved along ``way``."""
    row = meets([*puzzle.solids, solid], way)[-1, :-1]
    return tuple(p.name for p, hit in zip(puzzle.parts, row, strict=True) if hit)
