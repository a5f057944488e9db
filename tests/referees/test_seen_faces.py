"""Areas of faces that are seen, against solids: a thin skin on every face, less all that stands in it.

The program works with polygons in the plane of each face. Here manifold3d (a library for boolean operations
on triangle meshes) cuts a skin of a hundredth of a millimetre, laid on the outer face of every layer, with
the meshes of all other layers and of cushions: what is left of its volume, over its thickness, is the area.
"""

from functools import cache, reduce

import manifold3d
import numpy as np
import pytest

from laminature.planning.measures import measured

from ..planned import EXAMPLES, built

SKIN = 0.01
#: More than any clearance: what stands that near to a face covers it.
OFF = 0.28
HEIGHT = 30.0


def body(flats, lower, upper, pose):
    rings = [np.asarray(r.coords)[:-1] for f in flats for r in (f.exterior, *f.interiors)]
    made = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd).extrude(upper - lower)
    return made.translate((0.0, 0.0, lower)).transform(np.column_stack([pose.matrix, pose.shift]))


def together(bodies):
    return reduce(lambda a, b: a + b, bodies, manifold3d.Manifold())


@cache
def solids_of(name):
    b = built(name)
    found = {}
    for layer in b.layers:
        pose = b.piece.part(layer.part).pose
        found.setdefault(layer.part, []).append(body(layer.regions, layer.lower, layer.upper, pose))
    return {part: together(bodies) for part, bodies in found.items()}


def cushions_of(name):
    """Cushions as prisms over their panels, grown by their cloth, and by the gap to a frame round them."""
    b = built(name)
    rims = {c.name: c.rim for c in b.piece.cushions}
    for made in b.cushions:
        e = made.envelope
        wide = e.side + (e.clearance if rims[made.name] else 0.0)
        yield body(
            [made.outline.flat.buffer(wide, join_style="mitre")], -e.panel_thickness - 1.0, 3.0, made.pose
        )


def area_of(name, part, face):
    """The area of a face that is seen, by its skin."""
    b, solids = built(name), solids_of(name)
    sign = 1.0 if face == "upper" else -1.0
    others = [solids[o.name] for o in b.piece.parts if o.name != part.name and o.group == part.group]
    others = together([*others, *cushions_of(name)])
    up = np.array(part.pose.z) * sign
    total = 0.0
    mine = [layer for layer in b.layers if layer.part == part.name]
    for layer in mine:
        level = layer.upper if face == "upper" else layer.lower
        ends = sorted((level, level + sign * SKIN))
        skin = body(layer.regions, *ends, part.pose)
        before = [x for x in mine if sign * (x.index - layer.index) > 0]
        # All layers before it, brought down onto it: what of it is seen from that side.
        skin -= together([body(x.regions, ends[0] - 1.0, ends[1] + 1.0, part.pose) for x in before])
        skin = skin.translate(up * OFF) - others
        total += skin.volume() / SKIN
    return total


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_seen_of_every_face_is_what_is_left_of_its_skin(name):
    b = built(name)
    stacks = {s.name: s for s in measured(b.piece, b.joints, b.layers, b.cushions)}
    sums = [0.0, 0.0]
    for part in b.piece.parts:
        seen = {one.face: one.area for one in stacks[part.name].seen}
        for face in part.show:
            wanted, got = area_of(name, part, face), seen.get(face, 0.0)
            whole = part.outline.flat.area
            assert got == pytest.approx(wanted, rel=0.02, abs=0.02 * whole), (part.name, face)
            sums[0] += wanted
            sums[1] += got
    assert sums[1] == pytest.approx(sums[0], rel=0.02)
