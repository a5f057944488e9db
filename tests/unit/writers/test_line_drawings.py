"""Line drawings in files: wide and narrow lines, areas under and over them, nothing for a machine to cut."""

import io
import re

import pypdf
import pytest

from laminature.errors import WriterError
from laminature.geometry.path import polyline
from laminature.geometry.region import box
from laminature.model.board import Board
from laminature.model.cutting import KNIFE
from laminature.model.drawing import Drawing, Fill, Stroke
from laminature.writers.dxf import dxf
from laminature.writers.gcode import gcode
from laminature.writers.hpgl import hpgl
from laminature.writers.pdf import pdf
from laminature.writers.strokes import LINES
from laminature.writers.svg import svg

from ...drawn_by_hand import WORDS

LINE = polyline([(10, 10), (40, 10)], closed=False)
DRAWN = Drawing(
    "drawn",
    60,
    50,
    tuple(Stroke(operation, LINE, open=True) for operation in LINES),
    fills=(Fill(box(10, 10, 30, 30), "card"), Fill(box(12, 12, 14, 14), "arrow", over=True)),
    wide=0.5,
)
BOARD = Board("slab", "Slab", 2.5, 300, 200)


def groups(data):
    found = re.findall(
        r'data-op="(\w+)"[^>]*stroke-width="([\d.]+)"[^>]*?(?:stroke-dasharray="([^"]*)")?>', data
    )
    return {operation: (float(width), dashes) for operation, width, dashes in found}


def test_visible_lines_are_twice_as_wide_as_narrow_ones():
    styles = groups(svg(DRAWN).decode())
    assert styles["visible"] == (0.5, "")
    assert styles["dimension"] == (0.25, "")
    # Hidden edges: dashes of 12 and gaps of 3 line widths; chains 24, 3, a dot, 3 (ISO 128-2).
    assert styles["hidden"] == (0.25, "3 0.75")
    assert styles["centre"] == (0.25, "6 0.75 0.125 0.75")


def test_areas_lie_under_lines_and_arrows_over_them():
    text = svg(DRAWN).decode()
    card, visible, arrow = (text.index(x) for x in ('fill="#fffdf8"', 'data-op="visible"', 'fill="#7a1f5c"'))
    assert card < visible < arrow


def test_a_pdf_has_layers_for_the_lines_that_it_shows():
    page = pypdf.PdfReader(io.BytesIO(pdf([DRAWN]))).pages[0]
    assert "/visible" in page["/Resources"]["/Properties"]
    content = page.get_contents().get_data().decode()
    assert "0.5 w [] 0 d" in content
    assert "0.25 w [3 0.75] 0 d" in content
    assert content.index("f*") < content.index("/OC /visible") < content.rindex("f*")


def test_a_pdf_of_sheets_has_no_layers_for_lines():
    sheet = Drawing("sheet", 60, 50, (Stroke("outline", LINE, "A1"),))
    assert b"/Name (visible)" not in pdf([sheet])


@pytest.mark.parametrize(
    "write", [dxf, lambda d: hpgl(d, KNIFE), lambda d: gcode(d, "knife", KNIFE, BOARD, WORDS)]
)
def test_nothing_of_it_is_cut(write):
    empty = Drawing("drawn", 60, 50)
    assert write(DRAWN) == write(empty)


@pytest.mark.parametrize("wide", [0.0, -1.0, float("nan")])
def test_lines_without_a_width_are_refused(wide):
    with pytest.raises(WriterError, match="cannot be drawn"):
        svg(Drawing("drawn", 60, 50, wide=wide))
