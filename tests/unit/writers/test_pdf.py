"""PDF: pages of the drawings' size, layers that can be switched off, nothing that scales."""

import io

import pypdf
import pytest

from laminature.errors import WriterError
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.writers.pdf import LARGEST, pdf

from ...drawn_by_hand import ALL_KINDS
from .test_svg import HOSTILE, SQUARE


def read(*drawings):
    return pypdf.PdfReader(io.BytesIO(pdf(drawings)), strict=True)


def test_a_page_for_each_drawing_of_its_size():
    pages = read(ALL_KINDS, Drawing("two", 300.0, 200.0)).pages
    sizes = [(float(p.mediabox.width) * 25.4 / 72, float(p.mediabox.height) * 25.4 / 72) for p in pages]
    assert sizes[0] == pytest.approx((100.0, 60.0), abs=1e-5)
    assert sizes[1] == pytest.approx((300.0, 200.0), abs=1e-5)


def test_nothing_scales_the_page():
    reader = read(ALL_KINDS)
    page = reader.pages[0]
    assert "/UserUnit" not in page
    assert "/Rotate" not in page
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_operations_are_layers():
    root = read(ALL_KINDS).trailer["/Root"]
    names = [g.get_object()["/Name"] for g in root["/OCProperties"]["/OCGs"]]
    assert names == ["marking", "score", "opening", "outline", "notes"]
    content = read(ALL_KINDS).pages[0].get_contents().get_data().decode()
    assert content.count("BDC") == content.count("EMC")
    assert "/OC /outline BDC" in content


def test_no_date_no_font_and_the_same_bytes():
    data = pdf([ALL_KINDS])
    assert b"Date" not in data
    assert b"/Font" not in data
    assert data == pdf([ALL_KINDS])
    assert data != pdf([Drawing("other", 100.0, 60.0)])


def test_pages_are_labelled_by_their_drawings():
    assert read(ALL_KINDS, Drawing("sheet-2", 10, 10)).page_labels == ["all-kinds", "sheet-2"]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_stay_text(name):
    drawing = Drawing(name, 50, 50, (Stroke("outline", SQUARE, name, name, 1),), (Text(name, 1, 1),), name)
    reader = read(drawing)
    assert len(reader.pages) == 1
    assert len(reader.metadata.title or "") <= 200


def test_pages_larger_than_a_pdf_holds_are_refused():
    assert pytest.approx(5080.0) == LARGEST
    with pytest.raises(WriterError, match="width"):
        pdf([Drawing("d", 5081.0, 10.0)])
    with pytest.raises(WriterError, match="at least one"):
        pdf([])
