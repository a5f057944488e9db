"""The maps of all examples: what is written stays clear of leaders, and the legend of the map."""

import itertools
import re

import numpy as np
import pytest
import shapely

from laminature import front

from ...planned import EXAMPLES, ROOT


def written(drawing):
    """Boxes of labels, numbers in rings, names of offcuts, and of text beside the sheet."""
    found = {}
    for stroke in drawing.strokes:
        name = re.match(r"(.*-(?:label|order|keep|falls-\d+))-\d+$", stroke.name)
        if name and not (name[1].endswith("-keep") and len(stroke.path.segments) == 1):
            found.setdefault(name[1], []).append(stroke.path.flattened)
    return [shapely.MultiPoint(np.concatenate(points)).envelope for points in found.values()]


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
