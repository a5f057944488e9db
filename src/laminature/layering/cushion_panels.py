"""The boards of cushions as parts to be cut: guide, relief and backing panels, and washers for threads."""

from __future__ import annotations

from collections.abc import Sequence

from laminature.geometry.path import Path
from laminature.geometry.region import Region
from laminature.layering.labels import label_layers
from laminature.layering.letters import letter
from laminature.model.aid import Aids
from laminature.model.board import Board
from laminature.model.cushion import Upholstery
from laminature.model.design import CushionSpec
from laminature.model.layer import Layer
from laminature.model.part import Part
from laminature.model.stack import stack
from laminature.model.words import Words


def cushion_panels(
    cushions: Sequence[Upholstery], specs: Sequence[CushionSpec], board: Board, first: int, words: Words
) -> Aids:
    """Panels and washers of all cushions; their letters begin with letter number ``first`` (from 0).

    Each panel is of ``board``. Nothing is sanded off: cloth covers the edges.
    """
    known = {spec.name: spec for spec in specs}
    parts: list[Part] = []
    layers: list[Layer] = []
    number = first
    for made in cushions:
        spec = known[made.name]
        drawn = (*made.panels.marks, *made.panels.pricks)
        wanted: list[tuple[str, str, Region, int, tuple[Path, ...]]] = [
            ("guide", "part_guide", made.panels.guide, spec.panel_layers, drawn)
        ]
        if spec.backing_panels > 0:
            wanted.append(("relief", "part_relief", made.panels.relief, 1, ()))
        if spec.backing_panels > 1:
            wanted.append(("backing", "part_backing", made.panels.backing, spec.backing_panels - 1, ()))
        for kind, key, region, count, marks in wanted:
            part = Part(
                f"{made.name}-{kind}",
                words.of(key, cushion=made.name.capitalize()),
                region,
                stack(board, count),
                made.pose,
                show=frozenset(),
                letter=letter(number),
                marks=marks,
            )
            number += 1
            parts.append(part)
            layers += _layers(part)
        for n, washer in enumerate(made.panels.washers, start=1):
            part = Part(
                f"{made.name}-washer-{n}",
                words.of("part_washer", cushion=made.name.capitalize()),
                washer,
                stack(board, 1),
                show=frozenset(),
                grain="free",
                letter=letter(number),
            )
            parts.append(part)
            layers += _layers(part)
        number += bool(made.panels.washers)
    return Aids(tuple(parts), tuple(layers))


def _layers(part: Part) -> tuple[Layer, ...]:
    bounds, flats = part.stack.bounds, (part.outline.flat,)
    made = [
        Layer(
            part.name,
            part.letter,
            k,
            board,
            bounds[k - 1],
            bounds[k],
            flats,
            flats,
            part.grain,
            marks=part.marks if k == part.stack.count else (),
            role="cushion",
        )
        for k, board in enumerate(part.stack.boards, start=1)
    ]
    return label_layers((part,), made)
