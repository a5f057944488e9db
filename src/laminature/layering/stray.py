"""Finding a stray piece again by its size: which layers and drop-outs are about so large."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from laminature.errors import ChoiceError
from laminature.geometry.flat import Flat
from laminature.geometry.remains import around, openings_of
from laminature.model.layer import Layer
from laminature.model.stray import Stray

#: Sizes that differ by less than this are alike, mm.
ALIKE = 1e-3


def find_strays(size: tuple[float, float], layers: Sequence[Layer], most: int = 8) -> tuple[Stray, ...]:
    """The ``most`` shapes nearest to ``size`` (mm, either way round), the nearest first.

    Each is measured as it is cut, along its part's own axes and along the smallest rectangle around it,
    whichever comes nearer. Raises ChoiceError for a size that is none.
    """
    long, short = max(size), min(size)
    if not short > 0.0:
        raise ChoiceError("A piece has two sides above zero.", 'Write them like "12 x 7 mm".')
    found: dict[tuple[object, ...], Stray] = {}
    for label, layer, flat, drop_out in _pieces(layers):
        key = (layer.board, drop_out, _shape(flat))
        if key not in found:
            sides = min(_measured(flat), key=lambda ab: max(abs(ab[0] - long), abs(ab[1] - short)))
            off = max(abs(sides[0] - long), abs(sides[1] - short))
            found[key] = Stray((label,), (layer,), flat, sides, off, drop_out)
            continue
        one = found[key]
        if label not in one.labels:
            one = replace(one, labels=(*one.labels, label), layers=(*one.layers, layer))
        found[key] = replace(one, count=one.count + 1)
    # Drop-outs come after layers that are as near: a lost layer is what one looks for.
    order = sorted(found.values(), key=lambda s: (round(s.off / ALIKE), s.drop_out))
    return tuple(order[:most])


def _pieces(layers: Sequence[Layer]) -> Iterator[tuple[str, Layer, Flat, bool]]:
    """Label, layer and shape of whatever comes off the sheets, and whether it falls out of an opening."""
    for layer in layers:
        for piece, flat in enumerate(layer.cut):
            label = layer.label + (f"-p{piece}" if piece else "")
            yield label, layer, flat, False
            for n, opening in enumerate(openings_of(flat), start=1):
                yield f"{label}-{n}", layer, opening, True


def _measured(flat: Flat) -> tuple[tuple[float, float], tuple[float, float]]:
    x0, y0, x1, y1 = flat.bounds
    return (max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0)), around(flat)


def _shape(flat: Flat) -> tuple[bytes, ...]:
    """What is the same for shapes that differ only in where they lie."""
    x0, y0 = flat.bounds[:2]
    return tuple(_from_least(np.asarray(r.coords)[:-1] - (x0, y0)) for r in (flat.exterior, *flat.interiors))


def _from_least(ring: NDArray[np.float64]) -> bytes:
    points = np.round(ring / ALIKE).astype(np.int64)
    return np.roll(points, -int(np.lexsort((points[:, 1], points[:, 0]))[0]), axis=0).tobytes()
