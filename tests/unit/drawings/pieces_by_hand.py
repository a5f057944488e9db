"""Small pieces of blocks and plates, with layers, joints left out, and plain orders of assembly."""

from laminature.geometry.flat import pieces
from laminature.geometry.pose import Pose, facing
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.stack import stack
from laminature.model.step import Assembly, Step

BOARD = Board("slab", "Slab", 2.5, 300, 200)
DOWN = (0.0, 0.0, -1.0)


def part(name, outline, pose=None, count=4, letter="A", shapes=None, faces=None, last=None):
    """A part of ``count`` layers of 2.5 mm; ``shapes`` gives each layer's polygon where they differ."""
    made = Part(name, name, outline, stack(BOARD, count), pose or Pose(), letter=letter)
    heights = made.stack.bounds
    layers = tuple(
        Layer(
            name,
            letter,
            k + 1,
            "slab",
            heights[k],
            heights[k + 1],
            flats := pieces(shapes[k] if shapes else outline.flat),
            flats,
            label_face=faces[k] if faces else None,
            last=last == k + 1,
        )
        for k in range(count)
    )
    return made, layers


def piece(*made):
    """A piece of these parts, and all their layers."""
    return Piece("By hand", tuple(p for p, _ in made)), tuple(x for _, layers in made for x in layers)


def table():
    """Two uprights, A and B, and a top, C, on them: 10 mm thick boards, 40 × 30 × 40 mm."""
    return piece(
        part("left", box(0, 0, 30, 30), facing((0, 0, 0), (0, 1, 0), (0, 0, 1)), letter="A"),
        part("right", box(0, 0, 30, 30), facing((30, 0, 0), (0, 1, 0), (0, 0, 1)), letter="B"),
        part("top", box(0, 0, 40, 30), Pose((0, 0, 30)), letter="C"),
    )


def bottom_up(made):
    """Every part moves down onto those before it."""
    names = [p.name for p in made.parts]
    return Assembly(tuple(Step(n, (names[n],), tuple(names[:n]), DOWN, 20.0) for n in range(1, len(names))))
