"""Layers where they lie on their sheet, and the names that their strokes get."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from laminature.geometry.fitting import borders
from laminature.geometry.flat import Flat, mapped
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.pose import cos_sin
from laminature.geometry.region import Region
from laminature.model.layer import Layer
from laminature.model.sheet import Placement, Sheet

Matrix = tuple[tuple[float, float], tuple[float, float]]


@dataclass(frozen=True)
class Placed:
    """One polygon of a layer on its sheet, in the sheet's coordinates, mm.

    ``outline`` and ``openings`` are the borders of ``flat`` as lines and arcs.
    """

    name: str
    layer: Layer
    placement: Placement
    flat: Flat
    outline: Path
    openings: tuple[Path, ...]
    marks: tuple[Path, ...]
    bridges: tuple[Point, ...] = ()

    @property
    def mirrored(self) -> bool:
        """Whether it is cut as seen from below."""
        return self.placement.mirrored


def placed_layers(sheet: Sheet, layers: Sequence[Layer]) -> tuple[Placed, ...]:
    """What lies on ``sheet``, in the order of its placements.

    Raises KeyError for a placement of a layer that is not in ``layers``, IndexError for a
    piece that the layer does not have.
    """
    known = {(layer.part, layer.index): layer for layer in layers}
    copies = _copies(layers)
    # Alike layers are one polygon, whose curves are found once.
    curves: dict[int, Region] = {}
    found = []
    for at in sheet.placements:
        layer = known[(at.part, at.layer)]
        matrix = turning(at)
        shift = (at.x, at.y)
        flat = layer.cut[at.piece]
        if id(flat) not in curves:
            curves[id(flat)] = borders(_sorted_openings(flat), layer.sources)
        outline, *openings = _walked(curves[id(flat)], matrix, shift, at.mirrored)
        marks = layer.marks if at.piece == 0 else ()
        found.append(
            Placed(
                name=layer.label + copies[layer.part] + (f"-p{at.piece}" if at.piece else ""),
                layer=layer,
                placement=at,
                flat=mapped(_sorted_openings(flat), matrix, shift),
                outline=outline,
                # The openings of a frame are only room for what lies in it, tied to it by bridges.
                openings=() if layer.role == "frame" else tuple(openings),
                marks=tuple(m.mapped(matrix, shift) for m in marks),
                bridges=tuple(moved(p, matrix, shift) for n, p in layer.bridges if n == at.piece),
            )
        )
    return tuple(found)


def turning(at: Placement) -> Matrix:
    """What a placement does before it shifts: mirrored in x if asked, then turned to the left."""
    cosine, sine = cos_sin(at.turn)
    flip = -1.0 if at.mirrored else 1.0
    return ((cosine * flip, -sine), (sine * flip, cosine))


def _walked(curves: Region, matrix: Matrix, shift: Point, mirrored: bool) -> tuple[Path, ...]:
    """Outline and openings where they lie; a mirrored one still has its board to the left."""
    paths = (path.mapped(matrix, shift) for path in (curves.outline, *curves.openings))
    return tuple(path.reversed() if mirrored else path for path in paths)


def moved(p: Point, matrix: Matrix, shift: Point) -> Point:
    """A point after x -> matrix · x + shift."""
    (a, b), (c, d) = matrix
    return (a * p[0] + b * p[1] + shift[0], c * p[0] + d * p[1] + shift[1])


def shrunk(flat: Flat, factor: float, shift: Point) -> Flat:
    """The polygon drawn at another scale, its origin at ``shift``."""
    return mapped(flat, ((factor, 0.0), (0.0, factor)), shift)


def border_paths(border: Flat) -> list[tuple[str, Path]]:
    """The outline of a sheet and its openings as straight lines, named ``sheet``, ``sheet-1`` and so on."""
    rings = (border.exterior, *border.interiors)
    return [("sheet" if n == 0 else f"sheet-{n}", polyline(r.coords[:-1])) for n, r in enumerate(rings)]


def _copies(layers: Sequence[Layer]) -> dict[str, str]:
    """Alike parts share a letter, names of strokes must differ: the second part gets ``_2``, and so on."""
    count: dict[str, int] = {}
    found: dict[str, str] = {}
    for layer in layers:
        if layer.role in ("spare", "frame"):
            found[layer.part] = "-spare" if layer.role == "spare" else ""
        elif layer.part not in found:
            count[layer.letter] = count.get(layer.letter, 0) + 1
            nth = count[layer.letter]
            found[layer.part] = "" if nth == 1 else f"_{nth}"
    return found


def _sorted_openings(flat: Flat) -> Flat:
    """Openings from the lowest up, in the part's own plane, so that alike parts number them alike."""
    if len(flat.interiors) < 2:
        return flat
    rings = sorted(flat.interiors, key=lambda r: (round(r.bounds[1], 6), round(r.bounds[0], 6)))
    return Flat(flat.exterior, rings)
