"""The charts of buttons: every number can be read, whatever the way of the thread."""

import itertools

import pytest
import shapely

from laminature import front, pipeline
from laminature.drawings.cushion import stitch_charts
from laminature.geometry.lettering import text_width

from ...planned import ROOT, WORDS

STOOL = (ROOT / "examples" / "lookout-stool.toml").read_text()
SEAT = (ROOT / "examples" / "window-seat.toml").read_text()
TEXTS = {
    "diamonds": SEAT,
    "squares": SEAT.replace('pattern = "diamond"', 'pattern = "square"'),
    "rings": STOOL,
    "a row": STOOL.replace('pattern = "concentric"', 'pattern = "row"'),
    "close rings": STOOL.replace('spacing = "3 in"', 'spacing = "2 in"'),
}


@pytest.mark.parametrize("name", TEXTS)
def test_no_line_ring_or_other_number_runs_through_a_number(name):
    known = pipeline.known_boards(None, "")
    (made,) = front.build(pipeline.read_design(TEXTS[name].encode(), "t.toml", None, known)).cushions
    for chart in stitch_charts(made, WORDS):
        numbers = {}
        for text in chart.texts:
            if text.text.isdigit():
                half = text_width(text.text, text.size) / 2.0
                numbers[text.text] = shapely.box(text.x - half, text.y, text.x + half, text.y + text.size)
        assert sorted(map(int, numbers)) == list(range(1, len(made.buttoning.points) + 1))
        lines = {
            s.name: shapely.LineString(
                [*s.path.flattened, *s.path.flattened[:1]][: None if s.path.closed else -1]
            )
            for s in chart.strokes
            if s.name.split("-")[0] in ("way", "button", "start")
        }
        assert not [(n, w) for n, box in numbers.items() for w, line in lines.items() if box.intersects(line)]
        assert not [
            pair for pair in itertools.combinations(numbers.values(), 2) if pair[0].intersects(pair[1])
        ]
        # Its own ring is the nearest.
        for n, box in numbers.items():
            rings = {w: box.distance(line) for w, line in lines.items() if w.startswith("button-")}
            assert min(rings, key=rings.get) == f"button-{n}"
