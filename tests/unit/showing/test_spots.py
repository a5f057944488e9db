"""The place of a finding: in the plane of its part, and from there on the sheet that it is cut from."""

import pathlib
import re

import numpy as np
import pytest

from laminature import pipeline
from laminature.geometry.svgpath import read_path
from laminature.pipeline import Build
from laminature.pipeline.showing.findings import findings
from laminature.pipeline.showing.sheets import sheets

from ...spoilt import SPOILT, example, plate

BOARDS = pipeline.known_boards(None, "")
SMALL_HOLE = (
    'stands = false\ncutter = { kind = "laser", kerf = "0.9 mm" }\n'
    + plate("board", 60, 40, (0, 0, 0))
    + '[[part.opening]]\nshape = "circle"\ndiameter = "mini 0.8 mm"\nat = ["mini 40 mm", "mini 10 mm"]\n'
)
DESIGNS = {
    "tabs": SPOILT["tab-narrow"],
    "thin": example("window-seat", {("board", "web_knife"): "3 mm"}),
    "both faces": SPOILT["opposite-entries"],
    "kerf": SMALL_HOLE.encode(),
}


def built(source):
    return Build(pipeline.read_design(source, "design.toml", pathlib.Path(), BOARDS))


def through(to, at):
    a, b, c, d, e, f = to
    return np.array([a * at[0] + c * at[1] + e, b * at[0] + d * at[1] + f])


@pytest.mark.parametrize("name", DESIGNS)
def test_a_place_lies_on_its_layer_on_the_sheet(name):
    build = built(DESIGNS[name])
    placed = [one for sheet in sheets(build)["sheets"] for one in sheet["layers"]]
    marked = [f for f in findings(build)["findings"] if f["spot"]]
    assert marked
    for found in marked:
        layer, at = found["spot"]["layer"], found["spot"]["at"]
        one = next(p for p in placed if (p["part"], p["layer"]) == (found["part"], layer))
        points = np.concatenate([p.flattened for p in read_path(one["d"])])
        x, y = through(one["to"], at)
        low, high = points.min(axis=0) - 0.5, points.max(axis=0) + 0.5
        assert low[0] <= x <= high[0] and low[1] <= y <= high[1]


def test_the_way_to_the_sheet_lays_a_layer_where_it_is_drawn():
    build = built(example("lookout-stool", {}))
    layers = {(x.part, x.index): x for x in build.sheet_layers}
    for sheet in sheets(build)["sheets"]:
        for one in sheet["layers"]:
            piece = re.search(r"-p(\d+)$", one["id"])
            cut = layers[one["part"], one["layer"]].cut[int(piece[1]) if piece else 0]
            mapped = np.array([through(one["to"], p) for p in cut.exterior.coords])
            drawn = np.concatenate([p.flattened for p in read_path(one["d"])])
            assert np.allclose(mapped.min(axis=0), drawn.min(axis=0), atol=0.05)
            assert np.allclose(mapped.max(axis=0), drawn.max(axis=0), atol=0.05)
