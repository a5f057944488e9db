"""Where thread goes through a guide panel there is a hole to see, or a cross to drill by, in every file.

Readers that are not ours find the crosses: ezdxf, svgelements, pypdf, and machine words as published.
"""

import dataclasses
import io
import itertools
import pathlib
import re

import ezdxf
import numpy as np
import pypdf
import pytest
import svgelements

import laminature as lam
from laminature import pipeline
from laminature.drawings.sheets import sheet_drawing
from laminature.model.cutting import KNIFE
from laminature.pipeline.guide import guide_of
from laminature.pipeline.reading import guide_words
from laminature.upholstery.seams import thread_places
from laminature.writers.dxf import dxf
from laminature.writers.gcode import gcode
from laminature.writers.hpgl import hpgl
from laminature.writers.pdf import pdf
from laminature.writers.svg import svg

from . import machine_words

EXAMPLES = sorted((pathlib.Path(__file__).parents[2] / "examples").glob("*.toml"))
BUTTONED = [p for p in EXAMPLES if "[cushion]" in p.read_text()]
WORDS = guide_words("british")
#: svgelements' CSS pixels per mm (CSS Values and Units Level 3, 6.2).
PX = 96.0 / 25.4


def crosses(lines):
    """Middles of pairs of single straight strokes that halve each other at right angles, sorted."""
    found = []
    by_middle = {}
    for a, b in (np.asarray(line, dtype=float) for line in lines):
        by_middle.setdefault(tuple(np.round((a + b) / 2.0, 1)), []).append((a, b))
    for x, y in list(by_middle):
        near = [
            line
            for dx, dy in itertools.product((-0.1, 0.0, 0.1), repeat=2)
            for line in by_middle.get((round(x + dx, 1), round(y + dy, 1)), ())
        ]
        for (a, b), (c, d) in itertools.combinations(near, 2):
            u, v = b - a, d - c
            middle = (a + b) / 2.0
            long = np.hypot(*u)
            same = np.hypot(*(middle - (c + d) / 2.0)) < 0.05 and abs(long - np.hypot(*v)) < 0.06
            if same and abs(u @ v) < 0.1 * long**2 and not any(np.hypot(*(middle - f)) < 0.1 for f in found):
                found.append(middle)
    return np.array(sorted(map(tuple, np.round(found, 3)))).reshape(-1, 2)


def in_dxf(data):
    lines = [
        [p[:2] for p in e.get_points()]
        for e in ezdxf.read(io.StringIO(data.decode())).modelspace().query('LWPOLYLINE[layer=="MARKING"]')
    ]
    return crosses(line for line in lines if len(line) == 2)


def in_svg(data):
    drawn = svgelements.SVG.parse(io.StringIO(data.decode()))
    high = float(drawn.height) / PX
    lines = []
    for path in drawn.elements():
        if isinstance(path, svgelements.Path) and len(path) == 2 and isinstance(path[1], svgelements.Line):
            lines.append([(p.x / PX, high - p.y / PX) for p in (path[1].start, path[1].end)])
    return crosses(lines)


def in_pdf(page):
    number = r"(-?[\d.]+)"
    words = re.findall(
        rf"{number} {number} m\s+{number} {number} l\s+S", page.get_contents().get_data().decode("latin-1")
    )
    # The page's own matrix is left out: only the number of crosses is asked of a PDF.
    return crosses([((float(a), float(b)), (float(c), float(d))) for a, b, c, d in words])


def in_machine(run):
    lines = [t.points for t in run.tracks]
    return crosses((line[0], line[-1]) for line in lines if len(line) == 2)


def apart(shape, other):
    """How far the places of one lie from those of the other at most, mm; both are sets of equal number."""
    return max(min(np.hypot(*(a - b)) for b in other) for a in shape)


def placed(places, at):
    """Places of a part where its layer lies on a sheet: mirrored, turned, moved."""
    angle = np.radians(at.turn)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    flipped = np.array(places) * (-1.0 if at.mirrored else 1.0, 1.0)
    return flipped @ turn.T + (at.x, at.y)


def built(text):
    return lam.build(pipeline.read_design(text.encode(), "t.toml", None, pipeline.known_boards(None, "")))


@pytest.fixture(scope="module", params=[p.stem for p in BUTTONED])
def build(request):
    (path,) = (p for p in BUTTONED if p.stem == request.param)
    return built(path.read_text())


def guides(build):
    """Each cushion with its places on sheets: (sheet's name, placement), one for each guide panel."""
    for made in build.cushions:
        (part,) = (p for p in build.aids.parts if p.name == f"{made.name}-guide")
        top = part.stack.count
        for sheet in build.sheets:
            for at in sheet.placements:
                if at.part == part.name and at.layer == top:
                    yield made, sheet, at


def test_every_place_that_is_drilled_later_has_a_cross_on_its_sheet_in_every_format(build):
    found = list(guides(build))
    assert len(found) == len(build.cushions)
    for made, sheet, at in found:
        assert made.panels.pricked == thread_places(made.buttoning)
        wanted = placed(made.panels.pricked, at)
        (drawn,) = (d for d in build.drawings if d.name == sheet.name)
        (run,) = (d for d in build.driven if d.name == sheet.name)
        read = {
            "svg": in_svg(svg(drawn)),
            "dxf": in_dxf(dxf(drawn)),
            "hpgl": in_machine(machine_words.hpgl(hpgl(run, KNIFE))),
            "gcode": in_machine(
                machine_words.gcode(gcode(run, "knife", KNIFE, build.boards[sheet.board], WORDS))
            ),
        }
        for kind, places in read.items():
            assert len(places) == len(wanted), kind
            assert max(apart(places, wanted), apart(wanted, places)) < 0.05, kind
        (page,) = pypdf.PdfReader(io.BytesIO(pdf([drawn]))).pages
        assert len(in_pdf(page)) == len(wanted)


def test_the_true_size_templates_of_the_guide_have_the_crosses_too(build):
    guide = guide_of(build)
    for made, sheet, at in guides(build):
        (number,) = (n for n, t in enumerate(guide.templates) if t.name.startswith(sheet.name))
        places = in_svg(guide.templates[number].svg)
        assert apart(placed(made.panels.pricked, at), places) < 0.05
        assert any(t.template == number for t in guide.tiles)


def test_crosses_are_drawn_and_never_cut(build):
    for drawn in build.drawings:
        assert all(s.operation == "marking" and s.open for s in drawn.strokes if "-mark-" in s.name)


def test_a_layer_that_is_cut_mirrored_has_its_crosses_mirrored(build):
    for made, sheet, at in guides(build):
        flipped = dataclasses.replace(at, mirrored=True)
        alone = dataclasses.replace(sheet, placements=(flipped,))
        drawn = sheet_drawing(alone, build.cut_layers, build.boards, False, WORDS)
        wanted, places = placed(made.panels.pricked, flipped), in_dxf(dxf(drawn))
        assert len(places) == len(wanted)
        assert max(apart(places, wanted), apart(wanted, places)) < 0.05
