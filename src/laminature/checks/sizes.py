"""Sizes: stacks off their thickness, the outer size of the piece, parts larger than a sheet."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from laminature.checks.checked import Checked
from laminature.geometry.flat import Flat, mapped
from laminature.geometry.nearness import long_axis
from laminature.geometry.pose import cos_sin
from laminature.model.board import Board
from laminature.model.finding import Finding, Mend
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.stack import WORTH_MIXING, Stack, best_mix, layers_for, stack

#: Outer sizes are kept within this, mm.
SIZE_LIMIT = 0.01

Bounds = tuple[float, float, float, float]


def thicknesses(given: Checked) -> tuple[Finding, ...]:
    """``thickness-off``: a stack off the thickness wanted; a note below the limit where a mix halves it."""
    found = []
    told: dict[tuple[Stack, float], list[Part]] = {}
    for part in given.piece.parts:
        if part.wanted_thickness is not None:
            told.setdefault((part.stack, part.wanted_thickness), []).append(part)
    for (made, wanted), parts in told.items():
        error = made.thickness - wanted
        off = abs(error)
        if off <= min(WORTH_MIXING, given.thickness_limit) + 1e-9:
            continue
        better = _better_count(made, wanted, given.boards)
        mix = None
        if off > WORTH_MIXING and len(set(made.boards)) == 1:
            mix = best_mix(given.boards[made.boards[0]], wanted, off / 2.0, given.boards.values())
        if off <= given.thickness_limit + 1e-9 and mix is None:
            continue
        names = parts[0].name if len(parts) == 1 else f"{parts[0].name} and {len(parts) - 1} more"
        way = "thicker" if error > 0 else "thinner"
        remedies = []
        mend = None
        if better is not None:
            remedies.append(f"{better.count} layers come to {better.thickness:.2f} mm.")
        if mix is not None:
            remedies.append(f"{_mix_words(mix, given.boards)} comes to {mix.thickness:.2f} mm.")
            other = next(b for b in mix.boards if b != made.boards[0])
            remedies.append(f'Write second_board = "{other}" in the design to have such stacks made.')
            if made.boards[0] == given.lone_board and off / 2.0 <= given.thickness_limit:
                mend = Mend(f"Mix in {given.boards[other].title}", ((("second_board",), other),))
        remedies.append("Or measure a glued stack of your own board and give it under 'measured'.")
        found.append(
            Finding(
                "thickness-off",
                "care" if off > given.thickness_limit + 1e-9 else "note",
                f"{names}: {made.count} layers come to {made.thickness:.2f} mm, "
                f"{given.full_size(off)} {way} than wanted.",
                " ".join(remedies),
                parts[0].name,
                mend=mend,
            )
        )
    return tuple(found)


def _better_count(made: Stack, wanted: float, boards: Mapping[str, Board]) -> Stack | None:
    """A stack of another number of the same layers that comes nearer, if there is one."""
    if len(set(made.boards)) > 1:
        return None
    board = boards[made.boards[0]]
    other = stack(board, layers_for(board, wanted))
    nearer = abs(other.thickness - wanted) < abs(made.thickness - wanted) - 1e-9
    return other if nearer else None


def _mix_words(mix: Stack, boards: Mapping[str, Board]) -> str:
    outer, inner = boards[mix.boards[0]], boards[mix.boards[mix.count // 2]]
    pairs = mix.boards.index(inner.name)
    core = mix.count - 2 * pairs
    return f"A stack of {pairs} + {core} + {pairs} layers, {outer.title} outside and {inner.title} inside,"


def outer_sizes(given: Checked) -> tuple[Finding, ...]:
    """``size-off``: the piece's outer size is not as asked, within 0.01 mm.

    The size asked for may mean the main group alone or everything with its lids and
    seats in place: either will do.
    """
    every = list(given.solids.items())
    if not every:
        return ()
    main = [s for n, s in every if not given.part[n].group] or [s for _, s in every]
    found = []
    sizes = [
        np.ptp(np.concatenate([s.points for s in group]), axis=0) for group in (main, [s for _, s in every])
    ]
    for axis, (name, asked) in enumerate(zip(("width", "depth", "height"), given.piece.size, strict=True)):
        if asked is None:
            continue
        errors = [float(size[axis]) - asked for size in sizes]
        error = min(errors, key=abs)
        if abs(error) > SIZE_LIMIT:
            found.append(
                Finding(
                    "size-off",
                    "care",
                    f"The {name} of the piece is {asked + error:.2f} mm instead of {asked:.2f} mm: "
                    f"{given.full_size(abs(error))} too {'large' if error > 0 else 'small'}.",
                    "Look for a part that sticks out or stops short, or ask for the size it has.",
                )
            )
    return tuple(found)


def sheet_sizes(given: Checked) -> tuple[Finding, ...]:
    """``part-too-large``: a layer that fits no sheet of its board within its grain rule, one per part."""
    found = []
    for part in given.piece.parts:
        large = [
            (shape.bounds, layer)
            for layer in given.layers_of[part.name]
            for shape in layer.cut
            if not _fits(shape, part, given.boards[layer.board], _room(given, layer))
        ]
        if large:
            found.append(_too_large(given, part, *max(large, key=lambda one: _span(one[0]))))
    return tuple(found)


def _too_large(given: Checked, part: Part, bounds: Bounds, layer: Layer) -> Finding:
    board, room = given.boards[layer.board], _room(given, layer)
    width, height = _sides(bounds)
    free = _fits_either_way(width, height, room)
    return Finding(
        "part-too-large",
        "stop",
        f"Layer {layer.label} of {part.name} is {width:.1f} × {height:.1f} mm, but a sheet of {board.title} "
        f"has room for {room[0]:.1f} × {room[1]:.1f} mm inside its margins.",
        'Turned against the grain it fits: set grain = "free" for it, or use a larger sheet.'
        if free
        else "Use a larger sheet, a smaller margin or a smaller scale, or make the part of two.",
        part.name,
        layer.index,
        mend=Mend(f"Let the grain of {part.name} run freely", ((("grain", part.name), "free"),))
        if free
        else None,
    )


def _room(given: Checked, layer: Layer) -> tuple[float, float]:
    board = given.boards[layer.board]
    return board.sheet_width - 2 * given.margin, board.sheet_height - 2 * given.margin


def _sides(bounds: Bounds) -> tuple[float, float]:
    x0, y0, x1, y1 = bounds
    return x1 - x0, y1 - y0


def _span(bounds: Bounds) -> float:
    width, height = _sides(bounds)
    return width * height


def _fits(shape: Flat, part: Part, board: Board, room: tuple[float, float]) -> bool:
    x0, y0, x1, y1 = shape.bounds
    if part.grain != "along" or board.grain == "none":
        return _fits_either_way(x1 - x0, y1 - y0, room)
    axis = long_axis(part.outline.flat) or 0.0
    cosine, sine = cos_sin(-axis if board.grain == "x" else 90.0 - axis)
    x0, y0, x1, y1 = mapped(shape, [(cosine, -sine), (sine, cosine)]).bounds
    return bool(x1 - x0 <= room[0] + 1e-9 and y1 - y0 <= room[1] + 1e-9)


def _fits_either_way(width: float, height: float, room: tuple[float, float]) -> bool:
    return (width <= room[0] + 1e-9 and height <= room[1] + 1e-9) or (
        height <= room[0] + 1e-9 and width <= room[1] + 1e-9
    )
