"""Any drawing measures the same in SVG, DXF and PDF, and gives the same bytes twice."""

import io
import math

import ezdxf
import numpy as np
import pypdf
import pytest
import svgelements
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf.generic import ContentStream

from laminature.geometry.path import Arc, Cubic, Line, Path
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.writers.dxf import dxf
from laminature.writers.pdf import pdf
from laminature.writers.svg import svg

WIDTH, HEIGHT = 300.0, 200.0
coordinates = st.floats(0.0, 200.0, allow_nan=False).map(lambda v: round(v, 6))
points = st.tuples(coordinates, coordinates)


@st.composite
def arcs(draw, start):
    """An arc from ``start`` by any angle, whole circles too."""
    radius = draw(st.floats(0.5, 80.0))
    first = draw(st.floats(0.0, 360.0))
    sweep = draw(st.one_of(st.floats(1.0, 360.0), st.just(360.0), st.just(180.0)))
    ccw = draw(st.booleans())
    centre = (
        start[0] - radius * math.cos(math.radians(first)),
        start[1] - radius * math.sin(math.radians(first)),
    )
    last = math.radians(first + (sweep if ccw else -sweep))
    end = (centre[0] + radius * math.cos(last), centre[1] + radius * math.sin(last))
    return Arc(start, start if sweep == 360.0 else end, centre, ccw)


@st.composite
def paths(draw):
    here = draw(points)
    segments = []
    for kind in draw(st.lists(st.sampled_from("LLAC"), min_size=1, max_size=5)):
        if kind == "A":
            segments.append(draw(arcs(here)))
        elif kind == "C":
            segments.append(Cubic(here, draw(points), draw(points), draw(points)))
        else:
            segments.append(Line(here, draw(points)))
        here = segments[-1].end
    closed = draw(st.booleans())
    if closed:
        segments.append(Line(here, segments[0].start))
    return Path(tuple(segments), closed)


operations = st.sampled_from(["outline", "opening", "score", "marking", "notes"])
strokes = st.builds(Stroke, operations, paths(), st.text(max_size=5))
drawings = st.builds(
    lambda found, words: Drawing("d", WIDTH, HEIGHT, tuple(found), words, "any"),
    st.lists(strokes, min_size=1, max_size=4),
    st.one_of(
        st.just(()), st.builds(lambda t: (Text(t, 20.0, 20.0),), st.text("AB8ü日 ", min_size=1, max_size=4))
    ),
)


def svg_extents(drawing):
    document = svgelements.SVG.parse(io.StringIO(svg(drawing).decode()))
    boxes = np.array(
        [
            [float(v) for v in piece.bbox()]
            for e in document.elements()
            if isinstance(e, svgelements.Path)
            for piece in e.as_subpaths()
            for piece in [svgelements.Path(piece)]
        ]
    )
    boxes /= float(document.width) / WIDTH
    x0, y0, x1, y1 = (*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
    return x0, HEIGHT - y1, x1, HEIGHT - y0


def dxf_extents(drawing):
    """Extents of the arcs and lines that the polylines stand for."""
    boxes = []
    for polyline in ezdxf.read(io.StringIO(dxf(drawing).decode())).modelspace():
        for entity in polyline.virtual_entities():
            if entity.dxftype() == "ARC":
                box = entity.construction_tool().bounding_box
                boxes.append((*box.extmin, *box.extmax))
            else:
                (ax, ay), (bx, by) = entity.dxf.start.vec2, entity.dxf.end.vec2
                boxes.append((min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)))
    found = np.array(boxes)
    return (*found[:, :2].min(axis=0), *found[:, 2:].max(axis=0))


def turning_points(p, a, b, c):
    """Where a Bézier curve begins, ends, and turns back in x or y: the roots of its derivative."""
    found = [0.0, 1.0]
    for i in range(2):
        derivative = [-p[i] + 3 * a[i] - 3 * b[i] + c[i], 2 * (p[i] - 2 * a[i] + b[i]), a[i] - p[i]]
        found += [float(r.real) for r in np.roots(derivative) if abs(r.imag) < 1e-9 and 0 < r.real < 1]
    return np.array(found)


def pdf_extents(drawing):
    """Extents of the curves in a page's content, Bézier curves at their turning points."""
    reader = pypdf.PdfReader(io.BytesIO(pdf([drawing])), strict=True)
    content = ContentStream(reader.pages[0].get_contents(), reader)
    scale, found, here = 1.0, [], None
    for operands, operator in content.operations:
        v = [float(x) for x in operands] if operator in (b"cm", b"m", b"l", b"c") else []
        if operator == b"cm":
            assert v[1] == v[2] == v[4] == v[5] == 0.0
            assert v[0] == v[3]
            scale = v[0]
        elif operator in (b"m", b"l"):
            here = np.array(v)
            found.append(here[None])
        elif operator == b"c":
            a, b, c = np.array(v[:2]), np.array(v[2:4]), np.array(v[4:])
            t = turning_points(here, a, b, c)[:, None]
            s = 1.0 - t
            found.append(s**3 * here + 3 * s**2 * t * a + 3 * s * t**2 * b + t**3 * c)
            here = c
    every = np.concatenate(found) * scale * 25.4 / 72.0
    return (*every.min(axis=0), *every.max(axis=0))


@given(drawings)
@settings(max_examples=50)
def test_the_three_formats_have_the_same_extents(drawing):
    wanted = pdf_extents(drawing)
    assert svg_extents(drawing) == pytest.approx(wanted, abs=1e-3)
    assert dxf_extents(drawing) == pytest.approx(wanted, abs=1e-3)


@given(drawings)
@settings(max_examples=25)
def test_the_same_drawing_gives_the_same_bytes(drawing):
    assert svg(drawing) == svg(drawing)
    assert dxf(drawing) == dxf(drawing)
    assert pdf([drawing]) == pdf([drawing])
