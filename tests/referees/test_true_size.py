"""Files read by programs that are not ours measure what was drawn.

Sources: W3C *CSS Values and Units Module Level 3*, section 6.2 (1in = 2.54cm = 96px); ISO 32000-1,
8.3.2.3 and 14.11.2 (user space is 1/72 inch, page boxes); the DXF reference's header section
($INSUNITS: 4 = millimetres); Khronos glTF 2.0, 3.4 (metres, y up).
"""

import io

import ezdxf
import numpy as np
import pypdf
import pypdfium2
import pytest
import resvg_py
import shapely
import svgelements
import trimesh
from ezdxf import bbox

from laminature.drawings.sheets import map_drawing, sheet_drawing
from laminature.geometry.path import circle, polyline
from laminature.model.drawing import Drawing, Stroke
from laminature.writers.dxf import dxf
from laminature.writers.glb import glb
from laminature.writers.pdf import pdf
from laminature.writers.svg import svg

from ..drawn_by_hand import BOARDS, LAYERS, PARTS, SHEET, WORDS
from .pixels import decode, extents

#: A page of 60 × 40 mm with a 20 mm square, a hole of 10 mm across in it and a line, at known places.
PAGE = Drawing(
    "page",
    60.0,
    40.0,
    (
        Stroke("outline", polyline([(5, 10), (25, 10), (25, 30), (5, 30)]), "A1", "top", 1),
        Stroke("opening", circle(5.0, (15.0, 20.0)), "A1-1", "top", 1),
        Stroke("marking", polyline([(30, 5), (55, 35)], closed=False), "A1-mark-1", "top", 1, True),
    ),
)
SHEET_DRAWING = sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS)

PLUM, SEA_GREEN = (0x7A, 0x1F, 0x5C), (0x00, 0x6D, 0x77)
#: svgelements takes 25.4 mm for 96.00005 px.
CLOSE = 1e-6


def in_px(mm):
    return mm * 96.0 / 25.4


def of_colour(pixels, colour):
    """Pixels that are at least half covered by a line of that colour."""
    alpha = pixels[:, :, 3] if pixels.shape[2] == 4 else 255
    return (np.abs(pixels[:, :, :3].astype(int) - colour).sum(axis=2) < 40) & (alpha > 127)


# --- SVG -------------------------------------------------------------------------------


def svg_paths(drawing):
    document = svgelements.SVG.parse(io.StringIO(svg(drawing).decode()))
    return document, {e.id: e for e in document.elements() if isinstance(e, svgelements.Path) and e.id}


def test_svg_measures_true_in_css_pixels():
    document, found = svg_paths(PAGE)
    assert float(document.width) == pytest.approx(in_px(60.0), rel=CLOSE)
    assert float(document.height) == pytest.approx(in_px(40.0), rel=CLOSE)
    # y goes down: the square's top edge at 30 mm is 10 mm below the page's top.
    wanted = [in_px(v) for v in (5, 10, 25, 30)]
    assert [float(v) for v in found["A1"].bbox()] == pytest.approx(wanted, rel=CLOSE)
    wanted = [in_px(v) for v in (10, 15, 20, 25)]
    assert [float(v) for v in found["A1-1"].bbox()] == pytest.approx(wanted, abs=in_px(1e-4))


def test_svg_of_a_sheet_has_the_areas_of_its_layers():
    _, found = svg_paths(SHEET_DRAWING)
    known = {(x.part, x.index): x.cut[0] for x in LAYERS}
    for stroke in SHEET_DRAWING.strokes:
        if stroke.operation == "outline":
            points = [(p.x, p.y) for p in found[stroke.name].as_points()]
            outer = shapely.Polygon(known[(stroke.part, stroke.layer)].exterior)
            assert shapely.Polygon(points).area * (25.4 / 96) ** 2 == pytest.approx(outer.area, rel=1e-5)


@pytest.mark.parametrize("per_mm", [4, 10])
def test_svg_as_a_raster_has_so_many_pixels_per_millimetre(per_mm):
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg(PAGE).decode(), dpi=25.4 * per_mm))
    pixels = decode(data)
    assert pixels.shape[:2] == (40 * per_mm, 60 * per_mm)
    x0, y0, x1, y1 = extents(of_colour(pixels, PLUM) if per_mm > 4 else pixels[:, : 28 * per_mm, 3] > 127)
    line = 0.2 * per_mm
    assert (x0, y0, x1, y1) == pytest.approx(
        (5 * per_mm - line / 2, 10 * per_mm - line / 2, 25 * per_mm + line / 2, 30 * per_mm + line / 2),
        abs=1.0,
    )


# --- DXF -------------------------------------------------------------------------------


def test_dxf_is_sound_in_millimetres_and_measures_true():
    data = dxf(SHEET_DRAWING).decode()
    document = ezdxf.read(io.StringIO(data))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert document.dxfversion >= "AC1024"
    assert document.header["$INSUNITS"] == 4
    assert document.header["$MEASUREMENT"] == 1
    # As the reference writes it: group 9 names the variable, group 70 holds 4.
    assert "  9\n$INSUNITS\n 70\n4\n" in data.replace("\r\n", "\n")
    box = bbox.extents(ezdxf.read(io.StringIO(dxf(PAGE).decode())).modelspace())
    assert (box.extmin.x, box.extmin.y, box.extmax.x, box.extmax.y) == pytest.approx((5, 5, 55, 35), abs=1e-6)


def test_dxf_header_tells_the_sheets_extents():
    header = ezdxf.read(io.StringIO(dxf(SHEET_DRAWING).decode())).header
    assert tuple(header["$EXTMIN"])[:2] == (0.0, 0.0)
    assert tuple(header["$EXTMAX"])[:2] == (200.0, 140.0)


def test_dxf_outlines_have_the_areas_of_their_layers():
    document = ezdxf.read(io.StringIO(dxf(SHEET_DRAWING).decode()))
    areas = sorted(
        shapely.Polygon([(p.x, p.y) for p in ezdxf.path.make_path(e).flattening(0.001)]).area
        for e in document.modelspace().query('LWPOLYLINE[layer=="OUTLINE"]')
    )
    wanted = sorted(
        shapely.Polygon(s.path.flattened).area for s in SHEET_DRAWING.strokes if s.operation == "outline"
    )
    assert areas == pytest.approx(wanted, rel=1e-9)


# --- PDF -------------------------------------------------------------------------------


def test_pdf_pages_measure_as_their_sheets_and_nothing_scales_them():
    reader = pypdf.PdfReader(
        io.BytesIO(pdf([SHEET_DRAWING, map_drawing(SHEET, LAYERS, BOARDS, WORDS)])), strict=True
    )
    sheet, page_of_map = reader.pages
    for page, size in ((sheet, (200.0, 140.0)), (page_of_map, (297.0, 210.0))):
        box = page.mediabox
        assert (float(box.left), float(box.bottom)) == (0.0, 0.0)
        assert (float(box.width) * 25.4 / 72, float(box.height) * 25.4 / 72) == pytest.approx(size, abs=1e-5)
        assert page.user_unit == 1
        assert page.cropbox == box
    document = pypdfium2.PdfDocument(pdf([SHEET_DRAWING]))
    assert document[0].get_size() == pytest.approx((200 * 72 / 25.4, 140 * 72 / 25.4), abs=1e-3)


def test_pdf_draws_at_true_size():
    per_mm = 20
    page = pypdfium2.PdfDocument(pdf([PAGE]))[0]
    pixels = page.render(scale=per_mm * 25.4 / 72, rev_byteorder=True).to_numpy()
    # pdfium rounds the page up to whole pixels and stretches what is on it by that.
    assert pixels.shape[:2] == pytest.approx((40 * per_mm, 60 * per_mm), abs=1)
    line = 0.2 * per_mm / 2
    for colour, (x0, y0, x1, y1) in ((PLUM, (5, 10, 25, 30)), (SEA_GREEN, (10, 15, 20, 25))):
        wanted = (x0 * per_mm - line, y0 * per_mm - line, x1 * per_mm + line, y1 * per_mm + line)
        assert extents(of_colour(pixels, colour)) == pytest.approx(wanted, abs=1.5)


# --- GLB -------------------------------------------------------------------------------


def test_glb_is_closed_and_has_volume_and_extents_in_metres():
    scene = trimesh.load_scene(io.BytesIO(glb(PARTS, LAYERS)), file_type="glb")
    assert set(scene.graph.nodes_geometry) == {"top", "leg-1", "leg-2"}
    corners = []
    for part in PARTS:
        _, name = scene.graph[part.name]
        mesh = scene.geometry[name].copy()
        assert mesh.is_watertight
        assert mesh.is_winding_consistent
        layers = [x for x in LAYERS if x.part == part.name]
        volume = sum(f.area * (x.upper - x.lower) for x in layers for f in x.regions)
        assert mesh.volume == pytest.approx(volume * 1e-9, rel=1e-5)
        for x in layers:
            for f in x.regions:
                ring = np.asarray(f.exterior.coords)
                corners += [
                    part.pose.to_piece(np.column_stack([ring, np.full(len(ring), z)]))
                    for z in (x.lower, x.upper)
                ]
    points = np.concatenate(corners) / 1000.0
    upright = points[:, [0, 2, 1]] * (1.0, 1.0, -1.0)
    assert scene.bounds == pytest.approx(np.array([upright.min(axis=0), upright.max(axis=0)]), abs=1e-8)
