"""Panels made by hand: a plate that lies flat and boards that stand on or under it."""

from laminature.geometry.pose import facing, turned
from laminature.geometry.region import box
from laminature.joinery.contacts import find_contacts
from laminature.joinery.joints import make_joints
from laminature.layering.layers import make_layers
from laminature.model.fit import Fit
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import Stack

FIT = Fit("test", across=0.1, along=0.15, end=0.2, lead_in=0.0)
#: One layer of the boards used here, mm.
LAYER = 0.5


def stack(count: int = 4) -> Stack:
    return Stack(("b",) * count, (LAYER,) * count, LAYER * count)


def plate(name="plate", width=60.0, depth=40.0, z=30.0, layers=4, **more) -> Part:
    """A plate about the axis whose lower face lies at ``z``."""
    return Part(
        name,
        name,
        box(-width / 2, -depth / 2, width / 2, depth / 2),
        stack(layers),
        facing((0, 0, z), (1, 0, 0), (0, 1, 0)),
        **more,
    )


def board(
    name="board", width=40.0, height=30.0, y=0.0, turn=0.0, lean=0.0, x=0.0, z=0.0, layers=4, **more
) -> Part:
    """An upright board, its middle in the plane through ``y``, turned about z and leaning back by degrees."""
    outline = box(-width / 2, 0.0, width / 2, height)
    half = LAYER * layers / 2
    pose = facing((0, half, 0), (1, 0, 0), (0, 0, 1))
    if lean:
        # About the middle of its upper edge, so that the mid-plane still ends on the plate.
        pose = pose.then(turned((1, 0, 0), lean, (0, 0, height)))
    pose = pose.then(turned((0, 0, 1), turn)).moved(x, y, z)
    return Part(name, name, outline, stack(layers), pose, **more)


def joined(*parts, rules=(), fit=FIT):
    """Joints and findings of these parts."""
    piece = Piece("test", tuple(parts), tuple(rules))
    return make_joints(piece, find_contacts(piece.parts), fit)


def layers(*parts, rules=(), fit=FIT, sanding=0.0):
    """The layers of these parts by (part, index)."""
    piece = Piece("test", tuple(parts), tuple(rules))
    joints, _ = make_joints(piece, find_contacts(piece.parts), fit)
    return {(x.part, x.index): x for x in make_layers(piece, joints, sanding)}
