"""Files that a maker hands in: a kit's list and an SVG outline, damaged anywhere, give a plain answer."""

import math

from hypothesis import example, given, settings
from hypothesis import strategies as st

from laminature.errors import GeometryError, StoreError
from laminature.geometry.flat import rectangle
from laminature.geometry.svgfile import svg_outline
from laminature.model.offcut import Offcut, Remainder
from laminature.store import manifest
from laminature.store.cut import read_cut_list
from laminature.store.manifest import About
from laminature.store.one_offcut import outline_of

PIECE = Offcut("K1", "card", rectangle(0, 0, 120, 80), "y", "drawer")
KIT = manifest.write(
    {}, About("Lamp", used=[("sheet-1", PIECE)], remainders=[Remainder(PIECE, "sheet-2", (1.0, 2.0), "A1")])
)
SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="90mm" viewBox="0 0 90 60"><g transform="rotate(9 4 5)">'
    b'<path d="M0 30 L30 0 C90 30 30 60 9 9 A3 4 5 0 1 20 20 Z"/><rect x="1" y="2" width="3" height="4"/>'
    b'<circle cx="5" cy="5" r="2"/><polygon points="1,2 3,4 5,7"/></g></svg>'
)


@st.composite
def damaged(draw, whole):
    at = draw(st.integers(0, len(whole) - 1))
    gone = draw(st.integers(0, 12))
    put = draw(st.one_of(st.binary(max_size=6), st.sampled_from([b"nan", b"1e400", b"-", b"0", b"1e12"])))
    return whole[:at] + put + whole[at + gone :]


@given(damaged(KIT))
@settings(settings.get_profile("many"))
def test_a_damaged_kit_list_is_read_or_refused(tmp_path_factory, data):
    folder = tmp_path_factory.getbasetemp() / "damaged-kit"
    folder.mkdir(exist_ok=True)
    (folder / manifest.NAME).write_bytes(data)
    try:
        cuts = read_cut_list(folder)
    except StoreError as error:
        assert str(folder) in str(error)
    else:
        assert all(math.isfinite(v) for one in cuts.made for v in one.at)


@given(damaged(SVG))
@settings(settings.get_profile("many"))
@example(b'<svg><rect width="1e999" height="3"/></svg>')
@example(b'<svg width="1e999mm" viewBox="0 0 1 1"><rect width="9" height="3"/></svg>')
@example(b'<svg><polygon points="1e999,2 3,4 5,7"/></svg>')
@example(b'<svg><g transform="matrix(1e200 0 0 1e200 0 0)"><rect width="9e99" height="3e99"/></g></svg>')
@example(b'<svg><circle r="-5"/></svg>')
@example(b'<svg><ellipse rx="0" ry="5"/></svg>')
def test_a_damaged_svg_file_gives_an_outline_or_says_why_not(data):
    try:
        outer, *openings = svg_outline(data)
        shape = outline_of(outer, openings, "drawing.svg")
    except (GeometryError, StoreError) as error:
        assert str(error)
    else:
        assert shape.is_valid
        assert shape.bounds[:2] == (0.0, 0.0)
