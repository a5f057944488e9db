"""What is said of a layer that fits on no sheet: by the checks, and again where sheets are laid out."""

from __future__ import annotations

from laminature.model.board import Board
from laminature.model.finding import Finding, Mend
from laminature.model.layer import Layer

#: Sizes are compared with this much slack, mm: more than float64 leaves of a size that just fits.
_SLACK = 1e-9


def room_on(board: Board, margin: float) -> tuple[float, float]:
    """Width and height of a full sheet inside its margins, mm; not above 0 where these leave nothing."""
    return board.sheet_width - 2.0 * margin, board.sheet_height - 2.0 * margin


def fits_somehow(size: tuple[float, float], room: tuple[float, float]) -> bool:
    """Whether a shape of this width and height fits into a room as it is or turned by 90°."""
    (width, height), (across, up) = size, (room[0] + _SLACK, room[1] + _SLACK)
    return (width <= across and height <= up) or (height <= across and width <= up)


def too_large(layer: Layer, name: str, size: tuple[float, float], board: Board, margin: float) -> Finding:
    """``part-too-large`` for the shape ``name`` of a layer, of that width and height, mm."""
    room = room_on(board, margin)
    if min(room) <= 0.0:
        why = f"the margins of {margin:g} mm leave nothing of a sheet of {board.title}"
    else:
        why = f"a sheet of {board.title} has room for {room[0]:.1f} × {room[1]:.1f} mm inside its margins"
    remedy, mend = "Use a larger sheet, a smaller margin or a smaller scale, or make the part of two.", None
    if fits_somehow(size, room):
        remedy = 'Turned against the grain it fits: set grain = "free" for it, or use a larger sheet.'
        mend = Mend(f"Let the grain of {layer.part} run freely", ((("grain", layer.part), "free"),))
    return Finding(
        "part-too-large",
        "stop",
        f"Layer {name} of {layer.part} is {size[0]:.1f} × {size[1]:.1f} mm, but {why}.",
        remedy,
        layer.part,
        layer.index,
        mend=mend,
    )
