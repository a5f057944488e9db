"""From the plane of view to a page: a scale, a place, and lines of the right width."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from laminature.drawings.hidden import Seen
from laminature.geometry.flat import Flat, Shape
from laminature.geometry.linework import paths
from laminature.geometry.path import Path, Point, polyline
from laminature.geometry.region import Region
from laminature.geometry.thinning import thinned
from laminature.model.drawing import Drawing, Fill, Operation, Stroke, Text, Tone

Array = NDArray[np.float64]

#: Widths of visible edges, mm, from those of ISO 128-2, each with the longer side of drawings it suits.
WIDTHS = ((90.0, 0.25), (180.0, 0.35), (400.0, 0.5))
WIDEST = 0.7
#: Lines shorter than this many widths of a visible edge are left out: they would be dots.
DOT = 1.5
#: Lines shorter than this many are stubs: outlines or not, they give way to a line beside them.
STUB = 6.0
#: Outlines, edges, seams and hidden edges that run closer beside another line than this many such widths,
#: middle to middle, are left out.
CLOSE = (0.8, 1.4, 1.4, 1.4)


def wide_for(width: float, height: float) -> float:
    """How wide visible edges are in a drawing of this size, mm."""
    return next((w for most, w in WIDTHS if max(width, height) <= most), WIDEST)


@dataclass
class Page:
    """A page that is being drawn on: ``factor`` mm on it are 1 mm in the plane of view, moved by ``shift``.

    ``wide`` is the width of visible outlines, mm.
    """

    width: float
    height: float
    factor: float
    shift: Point
    wide: float
    strokes: list[Stroke] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    fills: list[Fill] = field(default_factory=list)

    def at(self, point: Sequence[float] | Array) -> Point:
        """Where a point of the plane of view comes to lie."""
        return (
            self.factor * float(point[0]) + self.shift[0],
            self.factor * float(point[1]) + self.shift[1],
        )

    def back(self, point: Sequence[float] | Array) -> Point:
        """The point of the plane of view that a point of the page shows."""
        return (
            (float(point[0]) - self.shift[0]) / self.factor,
            (float(point[1]) - self.shift[1]) / self.factor,
        )

    def lines(self, operation: Operation, lines: Shape, least: float | None = None) -> None:
        """Draw lines of the plane of view; those shorter than ``least`` mm on the page are left out."""
        shortest = (DOT * self.wide if least is None else least) / self.factor
        for path in paths(lines, shortest):
            self.stroke(operation, self.placed(path))

    def stroke(self, operation: Operation, path: Path) -> None:
        """Draw a path of the page."""
        self.strokes.append(Stroke(operation, path, open=not path.closed))

    def placed(self, path: Path) -> Path:
        """A path of the plane of view where it comes to lie."""
        return path.mapped(((self.factor, 0.0), (0.0, self.factor)), self.shift)

    def area(self, area: Flat, tone: Tone, shade: int = 0) -> None:
        """Colour an area of the plane of view."""
        outline, *openings = (
            self.placed(polyline(np.asarray(r.coords)[:-1])) for r in (area.exterior, *area.interiors)
        )
        self.fills.append(Fill(Region(outline, tuple(openings)), tone, shade))

    def show(
        self,
        seen: Seen,
        tone_of: Callable[[int], Tone],
        *,
        shaded: bool = True,
        inner: Operation = "edge",
    ) -> None:
        """Draw all that is seen; ``tone_of`` says what colour each body has.

        ``inner`` is the line for edges both of whose faces are seen.
        """
        for patch in seen.patches:
            self.area(patch.area, tone_of(patch.body), patch.shade if shaded else 0)
        rims, edges, seams, hidden = thinned(
            (seen.rims, seen.edges, seen.seams, seen.hidden),
            [c * self.wide / self.factor for c in CLOSE],
            STUB * self.wide / self.factor,
        )
        self.lines("seam", seams)
        self.lines("hidden", hidden)
        self.lines(inner, edges)
        self.lines("visible", rims)
        self.lines("dimension", seen.marks, 0.0)
        self.lines("faint", seen.faint, 0.0)
        self.lines("centre", seen.ways)

    def done(self, name: str, title: str) -> Drawing:
        """The drawing."""
        return Drawing(
            name,
            self.width,
            self.height,
            tuple(self.strokes),
            tuple(self.texts),
            title,
            tuple(self.fills),
            self.wide,
        )


def page_for(
    points: Array, room: tuple[float, float], border: float, most: float, wide: float | None = None
) -> Page:
    """A page within ``room`` mm that holds all ``points`` (n, 2) of the plane of view with ``border`` around.

    They are drawn at most ``most`` times as large as they are. The page is as small as it can be.
    """
    low, high = points.min(axis=0), points.max(axis=0)
    size = np.maximum(high - low, 1e-6)
    factor = float(min(most, *((np.array(room) - 2.0 * border) / size)))
    width, height = (float(v) for v in factor * size + 2.0 * border)
    shift = (border - factor * float(low[0]), border - factor * float(low[1]))
    return Page(width, height, factor, shift, wide or wide_for(width, height))
