"""Files of a small table laid out by hand, compared with what was looked at and found right.

After a wanted change: ``LAMINATURE_GOLDEN=write pytest tests/golden``, then look at the files.
What depends on the version of a library is left out: a DXF is kept as its entities, a PDF as
its unpacked content.
"""

import io
import os
import pathlib

import ezdxf
import pypdf
import pytest

from laminature.drawings.sheets import sheet_drawing
from laminature.pipeline.reading import guide_words
from laminature.writers.dxf import dxf
from laminature.writers.pdf import pdf
from laminature.writers.readme import readme
from laminature.writers.svg import svg
from laminature.writers.table import parts_csv

from ..drawn_by_hand import ALL_KINDS, BOARDS, DESIGN, LAYERS, PIECE, SHEET, WORDS

FOLDER = pathlib.Path(__file__).parent / "files"
SHEET_DRAWING = sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS)


def entities(data):
    """Each polyline as a line of text: layer, whether it is closed, corners and bulges."""
    lines = []
    for e in ezdxf.read(io.StringIO(data.decode())).modelspace():
        corners = " ".join(f"{x:.5f},{y:.5f},{b:.5f}" for x, y, _, _, b in e.get_points())
        lines.append(f"{e.dxf.layer} {e.closed} {corners}\n")
    return "".join(lines).replace("-0.00000", "0.00000").encode()


def content(data):
    reader = pypdf.PdfReader(io.BytesIO(data))
    return b"\n".join(page.get_contents().get_data() for page in reader.pages) + b"\n"


MADE = {
    "sheet-1.svg": lambda: svg(SHEET_DRAWING),
    "all-kinds.svg": lambda: svg(ALL_KINDS),
    "all-kinds.dxf.txt": lambda: entities(dxf(ALL_KINDS)),
    "all-kinds.pdf.txt": lambda: content(pdf([ALL_KINDS])),
    "parts.csv": lambda: parts_csv(PIECE, LAYERS, 12.0),
    "README.txt": lambda: readme(DESIGN, PIECE, LAYERS, (SHEET,), guide_words("british")),
}


@pytest.mark.parametrize("name", MADE)
def test_the_file_is_as_it_was_found_right(name):
    made = MADE[name]()
    if os.environ.get("LAMINATURE_GOLDEN") == "write":
        FOLDER.mkdir(exist_ok=True)
        (FOLDER / name).write_bytes(made)
    assert made == (FOLDER / name).read_bytes()


def test_every_golden_file_is_made_by_a_test():
    assert {p.name for p in FOLDER.iterdir()} == set(MADE)
