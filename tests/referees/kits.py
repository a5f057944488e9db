"""Judges of a whole kit: programs that are not ours read its files and must find the same things in all.

svgelements and ezdxf read the sheets, shapely measures them, trimesh reads the model, pypdf the documents,
Python's own csv and tomllib the lists. Nothing here uses Laminature.
"""

import csv
import hashlib
import io
import re
import tomllib
import zipfile

import ezdxf
import pypdf
import pytest
import shapely
import svgelements
import trimesh

#: svgelements' CSS pixels per mm (CSS Values and Units Level 3: 1in = 25.4mm = 96px).
PX = 96.0 / 25.4


def judge(packed):
    """Read a kit's zip file; give its files by name after all judges have agreed."""
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        folder = names[0].split("/")[0]
        assert all(name.startswith(f"{folder}/") and ".." not in name for name in names)
        files = {name.removeprefix(f"{folder}/"): archive.read(name) for name in names}
    listed(files)
    sheets = sorted(name for name in files if re.fullmatch(r"sheets/sheet-\d+\.svg", name))
    assert sheets
    pieces = 0
    for name in sheets:
        pieces += sheet(files[name], files[name.replace(".svg", ".dxf")])
    pages = pypdf.PdfReader(io.BytesIO(files["sheets/sheets.pdf"])).pages
    assert len(pages) >= len(sheets)
    model(files["piece.glb"])
    guide(files["guide.pdf"])
    parts = list(csv.reader(io.StringIO(files["parts.csv"].decode("utf-8-sig"))))
    assert len(parts) > 1
    assert len({len(row) for row in parts}) == 1
    offline(files["view.html"].decode())
    return files


def listed(files):
    """The manifest names every other file with its SHA-256."""
    manifest = tomllib.loads(files["kit.toml"].decode())
    assert {entry["name"] for entry in manifest["files"]} == set(files) - {"kit.toml"}
    for entry in manifest["files"]:
        assert entry["sha256"] == hashlib.sha256(files[entry["name"]]).hexdigest()


def sheet(svg, dxf):
    """One sheet tells the same outlines in SVG and in DXF; no two overlap, none leaves it. Their number."""
    drawn = svgelements.SVG.parse(io.StringIO(svg.decode()))
    whole = shapely.box(-1e-3, -1e-3, float(drawn.width) / PX + 1e-3, float(drawn.height) / PX + 1e-3)
    document = ezdxf.read(io.StringIO(dxf.decode()))
    audit = document.audit()
    assert not audit.errors
    assert document.header["$INSUNITS"] == 4  # mm
    outlines, openings = (closed(document, layer) for layer in ("OUTLINE", "OPENING"))
    assert outlines
    # Small layers may lie in the openings of large ones. Half a cut's width may lie over a neighbour's
    # outline where two share a cut.
    fallen = shapely.union_all(openings)
    for number, one in enumerate(outlines):
        assert whole.contains(one)
        for other in outlines[:number]:
            common = one.buffer(-0.02).intersection(other.buffer(-0.02))
            assert common.difference(fallen).area < 1e-3
    areas = sorted(
        _area(path)
        for path in drawn.elements()
        if isinstance(path, svgelements.Path) and path.id and isinstance(path[-1], svgelements.Close)
    )
    for one in outlines:
        nearest = min(areas, key=lambda other, area=one.area: abs(other - area))
        assert nearest == pytest.approx(one.area, rel=1e-3, abs=0.01)
    return len(outlines)


def closed(document, layer):
    """The closed paths of one layer of a DXF file, as polygons."""
    return [
        shapely.Polygon([(p.x, p.y) for p in ezdxf.path.make_path(each).flattening(0.002)])
        for each in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    ]


def _area(path):
    """Of a closed path, its arcs told by 64 chords each, mm²."""
    points = []
    for segment in path:
        chords = 1 if isinstance(segment, svgelements.Line | svgelements.Move | svgelements.Close) else 64
        points += [segment.point((n + 1) / chords) for n in range(chords)]
    return shapely.Polygon([(point.x / PX, point.y / PX) for point in points]).area


def model(data):
    """Every body of the model is closed, and the piece is as large as a miniature (glTF: metres)."""
    scene = trimesh.load(io.BytesIO(data), file_type="glb")
    assert scene.geometry
    for body in scene.geometry.values():
        body.merge_vertices(merge_norm=True, merge_tex=True)
        assert body.is_watertight
    assert 0.01 < max(scene.extents) < 1.0


def guide(data):
    """The guide's fonts are all inside it (ISO 32000-1, 9.9), no page is empty, and words can be found."""
    pages = pypdf.PdfReader(io.BytesIO(data)).pages
    assert sum(len(page.extract_text()) for page in pages) > 1000
    for page in pages:
        assert len(page.get_contents().get_data()) > 200
        for font in page["/Resources"].get("/Font", {}).values():
            for below in font.get_object().get("/DescendantFonts", [font]):
                described = below.get_object().get("/FontDescriptor")
                assert described is not None
                assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(described.get_object())


def offline(page):
    """The page to look at the piece with asks nothing of anybody."""
    assert not re.search(r"""(?:src|href|action)\s*=\s*["']?\s*(?:https?:)?//""", page)
    assert "@import" not in page
