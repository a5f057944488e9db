"""DXF R2010 in millimetres: a layer per operation, lines and arcs as polylines with bulges.

``$INSUNITS`` = 4 says millimetres (DXF reference, header section). A bulge is the tangent of a
quarter of an arc's angle (DXF reference, LWPOLYLINE, group 42). Cubic curves are written as
fine polylines within 0.0005 mm, because splines are read differently from program to program.
"""

from __future__ import annotations

import io
import math
import threading
from typing import TYPE_CHECKING

from laminature.geometry.path import Arc, Cubic, Path
from laminature.model.drawing import Drawing
from laminature.writers.strokes import STYLES, TEXT_STYLE, Style, by_operation, checked, lettered, parts_of

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.lwpolyline import LWPolyline
    from ezdxf.layouts.layout import Modelspace

#: How far the lines that stand for a cubic curve may lie from it, mm.
FINE = 0.0005
#: ezdxf's pinned times and GUIDs are a setting of the whole process: one file at a time.
_LOCK = threading.Lock()


def dxf(drawing: Drawing) -> bytes:
    """The bytes of a DXF file. Raises WriterError for a page without a size or a point that is none."""
    from ezdxf import options, units  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    checked(drawing)
    with _LOCK:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            document = new("R2010", units=units.MM)
            _prepare(document, drawing)
            _draw(document.modelspace(), drawing)
            _settle_classes(document)
            stream = io.StringIO()
            document.write(stream)
        finally:
            options.write_fixed_meta_data_for_testing = before
    return document.encode(stream.getvalue())


def _prepare(document: Document, drawing: Drawing) -> None:
    low, high = (0.0, 0.0, 0.0), (drawing.width, drawing.height, 0.0)
    header = document.header
    header["$INSUNITS"], header["$MEASUREMENT"] = 4, 1
    header["$EXTMIN"], header["$EXTMAX"] = low, high
    header["$LIMMIN"], header["$LIMMAX"] = low[:2], high[:2]
    document.modelspace().reset_extents(low, high)
    document.modelspace().reset_limits(low[:2], high[:2])
    for operation, style in STYLES.items():
        line = "CONTINUOUS"
        if style.dashes:
            line = operation.upper()
            on, off = style.dashes
            document.linetypes.add(line, [on + off, on, -off], description=f"{on:g} mm on, {off:g} mm off")
        layer = document.layers.add(operation.upper(), linetype=line)
        layer.rgb = style.rgb
        layer.dxf.lineweight = _lineweight(style)


def _settle_classes(document: Document) -> None:
    """List the classes of what the file holds, sorted: ezdxf would list them in a set's order, which
    changes from run to run.
    """
    for kind in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(kind)


def _lineweight(style: Style) -> int:
    """The nearest of the line weights that DXF knows, in hundredths of a millimetre."""
    from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

    wanted = style.width * 100.0
    return int(min(VALID_DXF_LINEWEIGHTS, key=lambda w: abs(w - wanted)))


def _draw(space: Modelspace, drawing: Drawing) -> None:
    for operation, _, strokes in by_operation(drawing):
        for stroke in strokes:
            _add(space, stroke.path, {"layer": operation.upper()})
    for text in drawing.texts:
        for path in lettered(text):
            entity = _add(space, path, {"layer": "NOTES", "linetype": "CONTINUOUS"})
            entity.rgb = TEXT_STYLE.rgb


def _add(space: Modelspace, path: Path, attributes: dict[str, str]) -> LWPolyline:
    points = _points(path)
    if path.closed and len(points) > 2 and math.dist(points[0][:2], points[-1][:2]) < 1e-9:
        points.pop()
    return space.add_lwpolyline(points, format="xyb", close=path.closed, dxfattribs=attributes)


def _points(path: Path) -> list[tuple[float, float, float]]:
    """Corners with the bulge of the run that follows each; the last one is the path's end."""
    points: list[tuple[float, float, float]] = []
    here = path.start
    for whole in path:
        if isinstance(whole, Cubic):
            for p in whole.points(FINE):
                points.append((*here, 0.0))
                here = p
            continue
        for segment in parts_of(whole, 180.0):
            bulge = math.tan(math.radians(segment.sweep) / 4.0) if isinstance(segment, Arc) else 0.0
            points.append((*here, bulge))
            here = segment.end
    points.append((*here, 0.0))
    return points
