"""A small table made by hand, laid out by hand: for the tests of drawings and of files."""

import math
from fractions import Fraction

from laminature.geometry.flat import flat
from laminature.geometry.path import Arc, Cubic, Line, Path, circle, polyline
from laminature.geometry.pose import facing
from laminature.geometry.region import regular, shape
from laminature.model.board import Board
from laminature.model.design import Design
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.piece import Piece
from laminature.model.sheet import Placement, Sheet
from laminature.model.stack import stack
from laminature.pipeline.reading import guide_words

WORDS = guide_words("british")
BOARD = Board("card", "22-point card", 0.5588, 200.0, 140.0)
BOARDS = {"card": BOARD}
STACK = stack(BOARD, 4)
T = STACK.thickness

_LEG = [(0, 0), (6, 0), (8, 4), (20, 30), (20, 40), (16, 40), (16, 42), (4, 42), (4, 40), (0, 40), (2, 20)]


def _hexagon(slots):
    outer = [(30 * math.cos(math.radians(a)), 30 * math.sin(math.radians(a))) for a in range(0, 360, 60)]
    holes = [[(x0, -1.2), (x1, -1.2), (x1, 1.2), (x0, 1.2)] for x0, x1 in ((-20, -8), (8, 20))]
    return flat(outer, holes if slots else ())


TOP = Part("top", "Top", regular(6, 60.0), STACK, facing((0, 0, 40), (1, 0, 0), (0, 1, 0)), letter="A")
LEGS = tuple(
    Part(f"leg-{n}", "Leg", shape(_LEG), STACK, facing((x, -T / 2, 0), (w, 0, 0), (0, 0, 1)), letter="B")
    for n, x, w in ((1, 4.0, 1), (2, -4.0, -1))
)
PARTS = (TOP, *LEGS)
PIECE = Piece("Lamp table", PARTS)


def _layers(part, flats, faces):
    bounds = part.stack.bounds
    return tuple(
        Layer(
            part.name,
            part.letter,
            k + 1,
            "card",
            bounds[k],
            bounds[k + 1],
            (one,),
            (one,),
            label_face=face,
            mirrored=face == "lower",
        )
        for k, (one, face) in enumerate(zip(flats, faces, strict=True))
    )


LAYERS = (
    *_layers(TOP, [_hexagon(True)] * 3 + [_hexagon(False)], ["upper", "upper", "upper", "lower"]),
    *(x for leg in LEGS for x in _layers(leg, [leg.outline.flat] * 4, ["upper", "upper", "upper", None])),
)

SHEET = Sheet(
    "sheet-1",
    "card",
    200.0,
    140.0,
    (
        Placement("top", 1, 36.0, 34.0),
        Placement("top", 3, 98.0, 34.0, turn=180.0),
        Placement("top", 4, 36.0, 92.0, turn=30.0, mirrored=True),
        *(Placement("leg-1", k, 66.0 + 24.0 * k, 70.0) for k in (1, 2, 4)),
        Placement("leg-2", 1, 122.0, 117.0, turn=90.0),
    ),
)
DESIGN = Design("Lamp table", Fraction(12), BOARD)

#: Every kind of segment, open and closed, with texts.
ALL_KINDS = Drawing(
    "all-kinds",
    100.0,
    60.0,
    (
        Stroke("outline", circle(20.0, (30.0, 30.0)), "A1", "top", 1),
        Stroke("opening", Path((Arc((40, 30), (40, 30), (30, 30)),)), "A1-1", "top", 1),
        Stroke(
            "opening", Path((Line((20, 28), (24, 28)), Arc((24, 28), (20, 28), (22, 28)))), "A1-2", "top", 1
        ),
        Stroke(
            "score", Path((Cubic((60, 10), (70, 50), (80, -10), (90, 40)),), False), "A1-3", "top", 1, True
        ),
        Stroke("marking", polyline([(28, 50), (32, 44)], closed=False), "A1-mark-1", "top", 1, True),
        Stroke("notes", polyline([(70, 30), (90, 30), (90, 50), (70, 50)]), "measuring-square"),
    ),
    (Text("20 mm", 80.0, 38.8, 2.4, "middle"),),
    "Every kind of line",
)
