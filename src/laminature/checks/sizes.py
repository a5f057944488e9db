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
from laminature.model.part import Part
from laminature.model.stack import WORTH_MIXING, Stack, best_mix, layers_for, stack
from laminature.model.too_large import fits_somehow, room_on, too_large

#: Outer sizes are kept within this, mm.
SIZE_LIMIT = 0.01


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
            (_size(shape), layer)
            for layer in given.layers_of[part.name]
            for shape in layer.cut
            if not _fits(shape, part, given.boards[layer.board], given.margin)
        ]
        if large:
            size, layer = max(large, key=lambda one: one[0][0] * one[0][1])
            found.append(too_large(layer, layer.label, size, given.boards[layer.board], given.margin))
    return tuple(found)


def _size(shape: Flat) -> tuple[float, float]:
    x0, y0, x1, y1 = shape.bounds
    return x1 - x0, y1 - y0


def _fits(shape: Flat, part: Part, board: Board, margin: float) -> bool:
    room = room_on(board, margin)
    if part.grain != "along" or board.grain == "none":
        return fits_somehow(_size(shape), room)
    axis = long_axis(part.outline.flat) or 0.0
    cosine, sine = cos_sin(-axis if board.grain == "x" else 90.0 - axis)
    width, height = _size(mapped(shape, [(cosine, -sine), (sine, cosine)]))
    return bool(width <= room[0] + 1e-9 and height <= room[1] + 1e-9)
