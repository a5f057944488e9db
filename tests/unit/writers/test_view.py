"""view.html: one file, no request, no text that could end its own script."""

import base64
import html
import json
import re

import numpy as np
import pytest

from laminature.data import library
from laminature.errors import WriterError
from laminature.writers.view import view

from ...drawn_by_hand import LAYERS, PARTS, WORDS


def page(title="Lamp table", parts=PARTS, layers=LAYERS):
    return view(title, "A miniature at 1:12", parts, layers, library.view(), WORDS).decode()


def data(text):
    return json.loads(re.search(r'<script type="application/json" id="piece">(.*?)</script>', text, re.S)[1])


def floats(text):
    return np.frombuffer(base64.b64decode(text), dtype="<f4").reshape(-1, 3)


def test_every_part_is_there_in_its_place():
    found = data(page())
    assert len(found["parts"]) == len(PARTS)
    points = np.concatenate([floats(p["at"]) for p in found["parts"]])
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    assert found["middle"] == pytest.approx(middle, abs=1e-3)
    assert found["size"] == pytest.approx(float(np.linalg.norm(np.ptp(points, axis=0))), abs=1e-3)
    for part in found["parts"]:
        at, way = floats(part["at"]), floats(part["way"])
        assert len(at) == len(way) and len(at) % 3 == 0
        assert np.allclose(np.linalg.norm(way, axis=1), 1.0, atol=1e-5)
        assert len(floats(part["edges"])) % 2 == 0


def test_nothing_is_asked_of_a_network():
    text = page()
    assert "default-src 'none'" in text
    for word in ("http:", "https:", "//cdn", "import(", "fetch(", "XMLHttpRequest", "WebSocket", "src="):
        assert word not in text


@pytest.mark.parametrize(
    "title", ["</script><script>alert(1)</script>", '"><img onerror=x>', "@@DATA@@ & <b>"]
)
def test_a_title_stays_a_title(title):
    text = page(title)
    assert text.count("<script") == 2
    assert f"<title>{html.escape(title)}</title>" in text
    assert len(data(text)["parts"]) == len(PARTS)


def test_an_empty_piece_is_refused():
    with pytest.raises(WriterError):
        page(layers=())
