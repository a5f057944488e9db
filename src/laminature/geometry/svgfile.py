"""The one outline that an SVG file draws, in millimetres: for an offcut whose border was traced.

Lengths are those of SVG 2 and CSS Values and Units: 96 px to the inch where no unit says otherwise.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from laminature.errors import GeometryError
from laminature.geometry.path import FLATTEN, Arc, Cubic, Path, circle, polyline
from laminature.geometry.svgpath import Ellipse, PathDataError, read_path, whole_ellipse
from laminature.units import INCH

Array = NDArray[np.float64]
Rings = list[list[tuple[float, float]]]

#: Millimetres in a unit (CSS Values and Units 4, "Absolute lengths"); a bare number is in px.
_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "q": 0.25,
    "in": float(INCH),
    "pt": float(INCH) / 72,
    "pc": float(INCH) / 6,
    "px": float(INCH) / 96,
    "": float(INCH) / 96,
}
_LENGTH = re.compile(r"\s*([-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)\s*([a-zA-Z]*)\s*")
_CALL = re.compile(r"([a-zA-Z]+)\s*\(([^()]*)\)")
_SHAPES = ("path", "rect", "circle", "ellipse", "polygon", "polyline")
#: What is not drawn where it stands.
_UNDRAWN = ("defs", "clipPath", "mask", "marker", "pattern", "symbol", "metadata")
#: Shapes that a file may have: one outline and its openings.
_MOST = 500
_MOST_POINTS = 100_000
_DEEPEST = 60
#: Nothing is read that lies farther from the file's origin than this, mm.
_FARTHEST = 1e5


def svg_outline(data: bytes) -> Rings:
    """The outline that an SVG file draws and its openings, as points in mm, y upwards.

    Raises GeometryError where it is no SVG file, draws nothing, or draws more than one outline.
    """
    if b"<!DOCTYPE" in data and b"<!ENTITY" in data:
        raise GeometryError("it defines entities, which are not read")
    try:
        root = ElementTree.fromstring(data)
    except (ElementTree.ParseError, ValueError, LookupError) as error:
        raise GeometryError(f"it is no SVG file ({error})") from error
    if _name(root.tag) != "svg":
        raise GeometryError("it is no SVG file")
    factor = _unit(root)
    rings: Rings = []
    count = 0
    for path, matrix in _drawn(root, np.eye(3), 0):
        turn, shift = matrix[:2, :2] * factor, matrix[:2, 2] * factor
        size = float(np.abs(turn).max())
        if not (1e-9 < size < 1e9 and abs(float(np.linalg.det(turn))) > 1e-9 * size * size):
            raise GeometryError("it is squeezed to nothing, or blown up, by a transform")
        if not max(_reach(path) * size, float(np.abs(shift).max())) < _FARTHEST:
            raise GeometryError("it runs far beyond any sheet")
        points = path.flatten(FLATTEN / size) @ turn.T + shift
        count += len(points)
        if len(rings) >= _MOST or count > _MOST_POINTS:
            raise GeometryError(f"it draws more than {_MOST} shapes, or {_MOST_POINTS:,} points")
        if len(points) >= 3:
            rings.append([(float(x), -float(y)) for x, y in points])
    return _sorted(rings)


def _reach(path: Path) -> float:
    """A distance from the origin that the path nowhere exceeds, along both axes."""
    reach = 0.0
    for s in path:
        points = (s.start, s.c1, s.c2, s.end) if isinstance(s, Cubic) else (s.start, s.end)
        reach = max(reach, *(abs(v) for p in points for v in p))
        if isinstance(s, Arc):
            reach = max(reach, abs(s.centre[0]) + s.radius, abs(s.centre[1]) + s.radius)
    return reach


def _sorted(rings: Rings) -> Rings:
    """The outline first, then its openings."""
    if not rings:
        raise GeometryError("it draws no closed outline")
    by_area = sorted(rings, key=lambda ring: -abs(Polygon(ring).area))
    outline = Polygon(by_area[0])
    if not outline.is_valid:
        return by_area[:1]
    kept = [by_area[0]]
    for ring in by_area[1:]:
        inner = Polygon(ring)
        if inner.is_valid and inner.equals_exact(outline, 1e-3, normalize=True):
            continue
        if not inner.is_valid or not outline.covers(inner):
            raise GeometryError(f"it draws {len(rings)} shapes; one outline is read, and openings in it")
        kept.append(ring)
    return kept


def _unit(root: ElementTree.Element) -> float:
    """Millimetres in one unit of the file's own coordinates."""
    try:
        box = _numbers(root.get("viewBox", ""))
    except ValueError as error:
        raise GeometryError(f"its viewBox cannot be read: {error}") from error
    length = _LENGTH.fullmatch(root.get("width", ""))
    if length is None or length[2].lower() not in _MM:
        return _MM["px"]
    width = float(length[1]) * _MM[length[2].lower()]
    factor = width / box[2] if len(box) == 4 and box[2] > 0 else _MM["px"]
    if not (1e-6 < factor < 1e6):
        raise GeometryError("its width and viewBox contradict each other")
    return factor


def _drawn(element: ElementTree.Element, matrix: Array, depth: int) -> Iterator[tuple[Path, Array]]:
    """The closed paths in an element, with what turns their coordinates into the file's."""
    name = _name(element.tag)
    if name in _UNDRAWN or element.get("display") == "none":
        return
    if depth > _DEEPEST:
        raise GeometryError("its groups are nested far too deeply")
    matrix = matrix @ _transform(element.get("transform", ""))
    if name in _SHAPES:
        try:
            paths = _shape(name, element)
        except (PathDataError, ValueError, GeometryError) as error:
            raise GeometryError(f"a {name} in it cannot be read: {error}") from error
        yield from ((path, matrix) for path in paths)
    for child in element:
        yield from _drawn(child, matrix, depth + 1)


def _shape(name: str, element: ElementTree.Element) -> Sequence[Path]:
    def value(key: str) -> float:
        length = _LENGTH.fullmatch(element.get(key, "0"))
        if length is None or length[2].lower() not in ("", "px"):
            raise ValueError(f"{key} is {element.get(key)!r}")
        return _number(length[1])

    def radius(key: str) -> float:
        found = value(key)
        if not found > 0.0:
            raise ValueError(f"{key} is not above zero")
        return found

    if name == "path":
        return read_path(element.get("d", ""))
    if name == "rect":
        x, y, w, h = (value(k) for k in ("x", "y", "width", "height"))
        return [polyline([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])]
    if name == "circle":
        return [circle(radius("r"), (value("cx"), value("cy")))]
    if name == "ellipse":
        return [whole_ellipse(Ellipse((value("cx"), value("cy")), radius("rx"), radius("ry")))]
    numbers = _numbers(element.get("points", ""))
    return [polyline(list(zip(numbers[::2], numbers[1::2], strict=True)))]


def _transform(text: str) -> Array:
    """The matrix of a ``transform`` attribute (CSS Transforms 1, "The transform attribute")."""
    matrix = np.eye(3)
    for name, written in _CALL.findall(text):
        try:
            matrix = matrix @ _one_transform(name, _numbers(written))
        except ValueError as error:
            raise GeometryError(f"its transform {name!r} cannot be read: {error}") from error
    return matrix


def _one_transform(name: str, n: Sequence[float]) -> Array:
    if name == "matrix" and len(n) == 6:
        return np.array([[n[0], n[2], n[4]], [n[1], n[3], n[5]], [0, 0, 1]], dtype=float)
    if name == "translate" and len(n) in (1, 2):
        return np.array([[1, 0, n[0]], [0, 1, n[1] if len(n) == 2 else 0], [0, 0, 1]], dtype=float)
    if name == "scale" and len(n) in (1, 2):
        return np.diag([n[0], n[-1], 1.0])
    if name == "rotate" and len(n) in (1, 3):
        c, s = math.cos(math.radians(n[0])), math.sin(math.radians(n[0]))
        x, y = (n[1], n[2]) if len(n) == 3 else (0.0, 0.0)
        return np.array([[c, -s, x - c * x + s * y], [s, c, y - s * x - c * y], [0, 0, 1]])
    if name in ("skewX", "skewY") and len(n) == 1:
        matrix = np.eye(3)
        matrix[(0, 1) if name == "skewX" else (1, 0)] = math.tan(math.radians(n[0]))
        return matrix
    raise GeometryError(f"its transform {name!r} cannot be read")


def _numbers(text: str) -> list[float]:
    return [_number(written) for written in re.findall(r"[^\s,]+", text)]


def _number(text: str) -> float:
    """A number of a size that a drawing can have. Raises ValueError for anything else."""
    value = float(text)
    if not abs(value) < 1e9:
        raise ValueError(f"{text[:20]} is no such number")
    return value


def _name(tag: object) -> str:
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""
