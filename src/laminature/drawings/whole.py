"""The whole piece as a line drawing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from laminature.drawings.bodies import bodies
from laminature.drawings.hidden import see
from laminature.drawings.looking import USUAL, looking
from laminature.drawings.page import page_for
from laminature.model.cushion import Upholstery
from laminature.model.drawing import Drawing
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.piece import Piece

#: Room of a drawing unless another is asked for, mm.
ROOM = (150.0, 120.0)
#: Pieces are drawn at most so many times as large as they are.
MOST = 4.0
BORDER = 2.0


def whole(
    piece: Piece,
    layers: Sequence[Layer],
    *,
    cushions: Sequence[Upholstery] = (),
    room: tuple[float, float] = ROOM,
    view: tuple[float, float] = USUAL,
    seams: bool = True,
    memory: Memory | None = None,
) -> Drawing:
    """The piece as it stands, from ``view`` (azimuth and elevation in degrees), within ``room`` mm.

    ``seams`` draws the lines between layers, thin.
    """
    every = bodies(piece.parts, layers, cushions, memory)
    look = looking(*view)
    page = page_for(look.flat(np.concatenate([b.points for b in every])), room, BORDER, MOST)
    page.show(see(every, look, seams=seams), lambda n: every[n].tone)
    return page.done("whole", piece.title)
