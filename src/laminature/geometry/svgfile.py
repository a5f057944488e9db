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
from laminature.geometry.path import FLATTEN, Path, circle, polyline
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
_DEEPEST = 60


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
    for path, matrix in _drawn(root, np.eye(3), 0):
        scale = factor * math.sqrt(abs(float(np.linalg.det(matrix[:2, :2]))))
        if not scale > 0.0:
            raise GeometryError("it is squeezed to nothing by a transform")
        points = path.flatten(FLATTEN / scale) @ matrix[:2, :2].T + matrix[:2, 2]
        if len(points) >= 3:
            rings.append([(float(x) * factor, -float(y) * factor) for x, y in points])
        if len(rings) > _MOST:
            raise GeometryError(f"it draws more than {_MOST} shapes")
    return _sorted(rings)


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
    box = [float(v) for v in re.findall(r"[-+.0-9eE]+", root.get("viewBox", "")) if _is_number(v)]
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
        return float(length[1])

    if name == "path":
        return read_path(element.get("d", ""))
    if name == "rect":
        x, y, w, h = (value(k) for k in ("x", "y", "width", "height"))
        return [polyline([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])]
    if name == "circle":
        return [circle(value("r"), (value("cx"), value("cy")))]
    if name == "ellipse":
        return [whole_ellipse(Ellipse((value("cx"), value("cy")), value("rx"), value("ry")))]
    numbers = [float(v) for v in re.findall(r"[-+.0-9eE]+", element.get("points", ""))]
    return [polyline(list(zip(numbers[::2], numbers[1::2], strict=True)))]


def _transform(text: str) -> Array:
    """The matrix of a ``transform`` attribute (CSS Transforms 1, "The transform attribute")."""
    matrix = np.eye(3)
    for name, written in _CALL.findall(text):
        n = [float(v) for v in re.findall(r"[-+.0-9eE]+", written) if _is_number(v)]
        matrix = matrix @ _one_transform(name, n)
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


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _name(tag: object) -> str:
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""
