"""The maps of all examples: what is written stays clear of leaders, and the legend of the map."""

import itertools
import re

import numpy as np
import pytest
import shapely

from laminature import front, pipeline
from laminature.geometry.lettering import text_width
from laminature.model.drawing import Drawing, Text
from laminature.pipeline.guide import cropped

from ...planned import EXAMPLES, ROOT

#: Keys and a carrier, which give a map long labels of frames and small pieces.
KEYS = {
    "lamp-table": """
[[stack]]
parts = "top"
align = "keys"
face_last = true
[[stack]]
parts = "half-*"
align = "carrier"
"""
}


def written(drawing):
    """Boxes of labels, numbers in rings, names of offcuts, and of text beside the sheet."""
    found = {}
    for stroke in drawing.strokes:
        name = re.match(r"(.*-(?:label|order|keep|falls-\d+))-\d+$", stroke.name)
        if name and not (name[1].endswith("-keep") and len(stroke.path.segments) == 1):
            found.setdefault(name[1], []).append(stroke.path.flattened)
    return [shapely.MultiPoint(np.concatenate(points)).envelope for points in found.values()]


def reach(drawing):
    """How far strokes and texts reach: left, right, lowest, highest."""
    points = np.concatenate([s.path.flattened for s in drawing.strokes])
    spans = []
    for text in drawing.texts:
        wide = text_width(text.text, text.size)
        left = text.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor]
        spans += [(left, text.y), (left + wide, text.y + text.size)]
    every = np.concatenate([points, np.array(spans)])
    return every.min(axis=0), every.max(axis=0)


def all_maps():
    """The maps of the examples, as they are and with small pieces in frames, whose labels are long."""
    for name in EXAMPLES:
        text = (ROOT / "examples" / f"{name}.toml").read_text()
        yield pytest.param(text, id=name)
        gathered = '{ kind = "knife", bridges = "30 mm", gather = true }'
        yield pytest.param(
            text.replace('cutter = "knife"', f"cutter = {gathered}\nspares_below = '25 mm'")
            + ("" if "[[stack]]" in text else KEYS.get(name, "")),
            id=f"{name}, gathered",
        )


@pytest.mark.parametrize("text", list(all_maps()))
def test_nothing_of_a_map_lies_outside_its_paper_or_what_the_guide_shows_of_it(text):
    build = front.build(pipeline.read_design(text.encode(), "t.toml", None, pipeline.known_boards(None, "")))
    for drawing, shown in zip(build.maps, map(cropped, build.maps), strict=True):
        (left, low), (right, high) = reach(drawing)
        # Printers leave 6 mm white.
        assert left >= 6.0 - 1e-6
        assert right <= drawing.width - 6.0 + 1e-6
        assert left > shown.edge
        assert right < drawing.width - shown.edge
        assert low > shown.foot
        assert high < drawing.height - 13.0


@pytest.mark.parametrize("wide", [5.0, 14.0, 60.0])
def test_a_page_is_cropped_no_nearer_than_what_is_written_on_it(wide):
    text = Text("a label beside the sheet", wide, 150.0, 2.6)
    shown = cropped(Drawing("map", 210.0, 297.0, (), (text,)))
    assert shown.edge == pytest.approx(min(13.0, wide - 1.0))
    mirrored = Text("a label beside the sheet", 210.0 - wide, 150.0, 2.6, "end")
    assert cropped(Drawing("map", 210.0, 297.0, (), (mirrored,))).edge == pytest.approx(shown.edge)


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_leader_runs_through_what_is_written(name):
    for drawing in front.build(front.read(ROOT / "examples" / f"{name}.toml")).maps:
        boxes = written(drawing)
        leaders = [
            shapely.LineString(s.path.flattened)
            for s in drawing.strokes
            if s.name.startswith("leader-") and s.open
        ]
        assert not [line.wkt for line in leaders for box in boxes if line.intersects(box)]
        for one, other in itertools.combinations(leaders, 2):
            assert not one.intersects(other)
        lowest = min(s.path.flattened[:, 1].min() for s in drawing.strokes if not s.name.startswith("legend"))
        legend = [s.path.flattened[:, 1].max() for s in drawing.strokes if s.name.startswith("legend")]
        assert max(legend) < lowest
        assert min(t.y for t in drawing.texts) > 8.0
