"""Small pieces made by hand, for the tests of the checks."""

from laminature.checks.registry import Checked
from laminature.geometry.flat import pieces
from laminature.geometry.pose import Pose, facing
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.fit import HAND_STACKED
from laminature.model.joint import Cell, Contact, Joint, Run
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import stack

BOARD = Board("card", "22-point card", 0.5588, 300.0, 200.0)
THICK = BOARD.caliper * 4


def part(name, region=None, pose=None, count=4, **more):
    return Part(name, name.title(), region or box(0, 0, 40, 30), stack(BOARD, count), pose or Pose(), **more)


def layers(of, letter="A", regions=None):
    """Layers of a part, uncarved, or with the given region (a polygon) in every layer."""
    shape = regions if regions is not None else of.outline.flat
    bounds = of.stack.bounds
    return tuple(
        Layer(
            of.name, letter, k + 1, of.stack.boards[k], bounds[k], bounds[k + 1], pieces(shape), pieces(shape)
        )
        for k in range(of.stack.count)
    )


def checked(*parts, carved=None, contacts=(), joints=(), boards=(BOARD,), **more):
    """What the checks see of these parts; ``carved`` gives other regions for some, by name."""
    carved = carved or {}
    size = more.pop("size", (None, None, None))
    stands = more.pop("stands", False)
    made = [
        x
        for n, p in enumerate(parts)
        for x in layers(p, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"[n % 26], carved.get(p.name))
    ]
    return Checked(
        Piece("Test piece", tuple(parts), size=size, stands=stands),
        tuple(contacts),
        tuple(joints),
        tuple(made),
        {b.name: b for b in boards},
        **more,
    )


def contact(receiver, entering, kind="edge-on-face", origin=(0.0, 0.0, 0.0), **more):
    values = {
        "along": (1.0, 0.0, 0.0),
        "entering_way": (0.0, 0.0, 1.0),
        "angle": 90.0,
        "runs": (Run(0.0, 30.0),),
    }
    return Contact(kind, receiver, entering, origin, **(values | more))


def joint(
    of, kind="tabs", tabs=((5.0, 15.0),), depth=3, through=False, entries=((0.0, 0.0, 1.0),), projection=None
):
    projection = depth * BOARD.caliper if projection is None else projection
    cells = tuple(Cell(of.entering, Run(*t)) for t in tabs)
    return Joint(
        f"{of.receiver}+{of.entering}", kind, of, cells, depth, through, HAND_STACKED, entries, (), projection
    )


def upright(x, y, z):
    """A part that stands: its own x along x, its own y upwards, its stack towards -y."""
    return facing((x, y, z), (1, 0, 0), (0, 0, 1))


def codes(findings):
    return [f.code for f in findings]
