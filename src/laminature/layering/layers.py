"""Layers: the outline of a part, what its joints add, less what they cut.

Layer k = (outline at that height ∪ its own tabs) − slots of the others. Nothing is cut
twice: layers of a part to which the same happens are made once.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from functools import partial
from typing import NamedTuple

from laminature.geometry.flat import Flat, Flats, Shape, grown, minus, pieces, tidy, union
from laminature.geometry.provenance import Parallel
from laminature.layering.labels import label_layers
from laminature.model.joint import Joint, Patch
from laminature.model.layer import Layer
from laminature.model.memory import Memory
from laminature.model.part import Part
from laminature.model.piece import Piece

Points = tuple[tuple[float, float], ...]


#: All that a part's layers depend on, but for its joints.
_OWN = ("name", "letter", "outline", "stack", "show", "grain", "profile", "rim", "marks", "last_face")


class _Work(NamedTuple):
    """All that happens to one layer: the key under which alike layers are made once."""

    inset: float
    rim: bool
    bare: tuple[Points, ...]
    trim: tuple[Points, ...]
    add: tuple[Points, ...]
    cut: tuple[Points, ...]


def make_layers(
    piece: Piece, joints: Sequence[Joint], edge_sanding: float, memory: Memory | None = None
) -> tuple[Layer, ...]:
    """All layers of a piece, part by part from layer 1 up, with the faces their labels go on.

    ``edge_sanding`` is how much is sanded off show edges, mm: ``Layer.regions`` are as they are
    afterwards, ``Layer.cut`` as they are cut before. Jointed edges get none.
    """
    memory = memory or Memory()
    by_layer: dict[tuple[str, int], list[Patch]] = defaultdict(list)
    for joint in joints:
        for patch in joint.patches:
            by_layer[(patch.part, patch.layer)].append(patch)
    out: list[Layer] = []
    for part in piece.parts:
        works = tuple(
            _work(part, index, by_layer.get((part.name, index), []))
            for index in range(1, part.stack.count + 1)
        )
        # Where a part stands does not change its layers.
        key = ("layers", *(getattr(part, name) for name in _OWN), works, edge_sanding)
        out += memory.recall(key, partial(_layers_of, part, works, edge_sanding))
    return tuple(out)


def _layers_of(part: Part, works: tuple[_Work, ...], edge_sanding: float) -> tuple[Layer, ...]:
    made: dict[_Work, tuple[Flats, Flats, tuple[Parallel, ...]]] = {}
    bounds = part.stack.bounds
    layers = []
    for index, work in enumerate(works, start=1):
        if work not in made:
            made[work] = (
                _region(part, work, 0.0),
                _region(part, work, edge_sanding),
                _sources(part, work, edge_sanding),
            )
        regions, cut, sources = made[work]
        layers.append(
            Layer(
                part=part.name,
                letter=part.letter,
                index=index,
                board=part.stack.boards[index - 1],
                lower=bounds[index - 1],
                upper=bounds[index],
                regions=regions,
                cut=cut,
                grain=part.grain,
                # Marks are drawn where nobody sees them: on the first face that is glued over.
                marks=part.marks if index == 1 and len(works) > 1 else (),
                sources=sources,
                last=index == part.last_layer,
            )
        )
    return label_layers((part,), layers)


def _work(part: Part, index: int, patches: Sequence[Patch]) -> _Work:
    sorted_out: dict[str, list[Points]] = {"bare": [], "trim": [], "add": [], "cut": []}
    for patch in patches:
        sorted_out[patch.action].append(patch.points)
    inset = part.profile.insets[index - 1] if part.profile else 0.0
    rim = part.rim is not None and index > part.stack.count - part.rim.layers
    return _Work(inset, rim, *(tuple(sorted_out[k]) for k in ("bare", "trim", "add", "cut")))


def _region(part: Part, work: _Work, sanding: float) -> Flats:
    shape = grown(part.outline.flat, sanding - work.inset)
    if sanding > 0.0 and work.bare:
        # The strip beyond a jointed edge: what grew into it is taken back, the outline itself stays.
        shape = union([minus(shape, _together(work.bare)), grown(part.outline.flat, -work.inset)])
    if work.rim and part.rim is not None:
        shape = minus(shape, grown(part.rim.opening.flat, -sanding))
    if work.trim:
        shape = minus(shape, _together(work.trim))
    if work.add:
        shape = union([shape, *(Flat(p) for p in work.add)])
    if work.cut:
        shape = minus(shape, _together(work.cut))
    return tuple(tidy(p) for p in pieces(shape))


def _sources(part: Part, work: _Work, sanding: float) -> tuple[Parallel, ...]:
    """The curves that the layer's borders lie on, as :func:`_region` makes them."""
    found = [Parallel(part.outline, sanding - work.inset)]
    if sanding > 0.0 and work.bare:
        found.append(Parallel(part.outline, -work.inset))
    if work.rim and part.rim is not None:
        found.append(Parallel(part.rim.opening, -sanding))
    return tuple(found)


def _together(points: Sequence[Points]) -> Shape:
    return union([Flat(p) for p in points])
