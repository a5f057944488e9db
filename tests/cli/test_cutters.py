"""What the design says of the cutter, from the command to the files that it drives."""

import re

import pytest
import shapely
import svgelements

from laminature import front

from ..referees import machine_words
from .test_commands import files_in, laminature

CRATE = """
title = "Crate for floats"
scale = "1:12"
[form]
name = "lidded-box"
"""
LASER = '[cutter]\nkind = "laser"\nkerf = "0.15 mm"\nspacing = "{}"\nfiles = ["svg", "hpgl", "gcode"]\n'


def made(tmp_path, text, *arguments):
    file = tmp_path / "crate.toml"
    file.write_text(text)
    done = laminature("kit", file, "-o", tmp_path / "kit", *arguments)
    assert done.returncode == 0, done.stdout + done.stderr
    return files_in(tmp_path / "kit"), file


def cuts(svg):
    """The cut curves of an SVG file, read by svgelements, as lines in mm of the sheet."""
    found = []
    for path in re.findall(rb'<path [^>]*data-op="(?:outline|opening)"[^>]* d="([^"]*)"', svg):
        for part in svgelements.Path(path.decode()).as_subpaths():
            points = [part.point(k / 400) for k in range(401)] if _curved(part) else _corners(part)
            found.append(shapely.linestrings([(p.x, p.y) for p in points]))
    return found


def _curved(path):
    return any(isinstance(s, svgelements.Arc | svgelements.CubicBezier) for s in path)


def _corners(path):
    return [s.end for s in svgelements.Path(path) if s.end is not None]


@pytest.mark.parametrize("spacing", ["1.5 mm", "0.15 mm"])
def test_a_laser_with_a_kerf_gets_all_its_files_and_no_line_twice(tmp_path, spacing):
    files, _ = made(tmp_path, CRATE + LASER.format(spacing))
    sheets = {name for name in files if name.startswith("sheets/")}
    assert sheets == {f"sheets/sheet-1.{kind}" for kind in ("svg", "hpgl", "gcode")}
    lines = cuts(files["sheets/sheet-1.svg"])
    union = shapely.union_all(lines)
    total = sum(line.length for line in lines)
    # Parts laid edge to edge share their cuts: nothing is left to merge.
    assert total == pytest.approx(union.length, rel=1e-3)
    run = machine_words.gcode(files["sheets/sheet-1.gcode"])
    burnt = sum(shapely.linestrings(t.points).length for t in run.tracks if t.power == 800.0)
    assert burnt == pytest.approx(total, rel=1e-3)
    plotted = machine_words.hpgl(files["sheets/sheet-1.hpgl"])
    drawn = sum(shapely.linestrings(t.points).length for t in plotted.tracks if t.pen in (3, 4))
    assert drawn == pytest.approx(total, rel=5e-3)
    assert "sheets/*.svg, *.hpgl, *.gcode" in files["README.txt"].decode()


def test_parts_come_out_as_the_model_has_them_although_the_beam_takes_its_width(tmp_path):
    files, file = made(tmp_path, CRATE + LASER.format("1.5 mm"))
    beam = shapely.buffer(shapely.union_all(cuts(files["sheets/sheet-1.svg"])), 0.075, quad_segs=32)
    board = shapely.box(0, 0, 304.8, 304.8).difference(beam)
    loose = sorted(p.area for p in shapely.get_parts(board))[:-1]
    layers = front.build(front.read(file)).layers
    # Every layer is among what comes loose; the rest are drop-outs.
    for meant in (f.area for layer in layers for f in layer.cut):
        nearest = min(loose, key=lambda got: abs(got - meant))
        assert nearest == pytest.approx(meant, rel=1e-3)
        loose.remove(nearest)
    assert len(loose) == sum(len(f.interiors) for layer in layers for f in layer.cut)


def test_a_knife_has_no_kerf_and_a_kerf_must_fit_between_parts(tmp_path):
    for table, words in (
        ('[cutter]\nkerf = "0.1 mm"\n', "a knife takes nothing"),
        ('[cutter]\nkind = "laser"\nkerf = "0.3 mm"\nspacing = "0.2 mm"\n', "does not fit into a spacing"),
        ('[cutter]\novercut = "0.5 mm"\n', "overcut"),
        ('[cutter]\nfiles = ["svg", "png"]\n', "files"),
    ):
        file = tmp_path / "crate.toml"
        file.write_text(CRATE + table)
        done = laminature("kit", file, "-o", tmp_path / "kit")
        assert done.returncode == 2 and words in " ".join((done.stderr + done.stdout).split())
        assert not (tmp_path / "kit").exists()
