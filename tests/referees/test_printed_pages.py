"""Pages of the guide that are printed at true size, looked at by a PDF renderer that is not ours.

Sources: ISO 216 (A4 is 210 × 297 mm); letter paper is 8 1/2 × 11 in = 215.9 × 279.4 mm (ANSI/ASME Y14.1);
one inch is 25.4 mm (ISO 80000-3); ISO 32000-1, 8.3.2.3 (user space is 1/72 in).
"""

from functools import cache

import numpy as np
import pypdfium2
import pytest

from laminature.data import library
from laminature.drawings.jigs import jig_shape
from laminature.geometry.path import polyline
from laminature.model.drawing import Drawing, Stroke
from laminature.model.guide import Guide, Page, Tile
from laminature.pipeline.guide import guide_of
from laminature.pipeline.reading import guide_words
from laminature.writers.guide import TILE, guide_pdf
from laminature.writers.svg import svg

from ..planned import built

MM = 25.4 / 72.0
A4, LETTER = (210.0, 297.0), (215.9, 279.4)
#: What printers leave white at each edge, mm (common practice, no source).
WHITE = 6.0
#: What surrounds a tile on its page: left and upper edge, mm from those of the page.
LEFT, TOP = (210.0 - TILE[0]) / 2.0, 20.0


@cache
def printed(name):
    made = guide_of(built(name))
    return made, pages_of(made)


def pages_of(made):
    return list(pypdfium2.PdfDocument(guide_pdf(made, library.guide(), guide_words("british"))))


def squares(page):
    """Boxes (left, lower, right, upper), mm, of all that is about as wide as high and an inch in size."""
    boxes = [tuple(v * MM for v in o.get_bounds()) for o in page.get_objects(max_depth=6)]
    sides = [(b[2] - b[0], b[3] - b[1], b) for b in boxes]
    return sorted((w, b) for w, h, b in sides if abs(w - h) < 0.01 and 24.9 < w < 26.0)


def is_true_size(page):
    """Whether a square of 25 mm and one of 1 in stand on a page; bounds are wider by its line."""
    found = [w for w, _ in squares(page)]
    return len(found) == 2 and abs(found[1] - found[0] - 0.4) < 0.01 and 0.0 <= found[0] - 25.0 < 0.45


@pytest.mark.parametrize("name", ["window-seat", "tide-chest"])
def test_every_page_at_true_size_has_squares_that_any_paper_holds(name):
    made, pages = printed(name)
    charts = [p for p in made.pages if "order of the buttons" in p.name]
    wanted = len(made.pages) - len(charts) + len(made.tiles)
    shown = [page for page in pages[-len(made.pages) - len(made.tiles) :] if is_true_size(page)]
    assert len(shown) == wanted
    for page in shown:
        assert tuple(v * MM for v in page.get_size()) == pytest.approx(A4, abs=0.01)
        for _, (left, low, right, _) in squares(page):
            # Letter paper is 17.6 mm shorter: it is taken off below, or half of it above and half below.
            assert left >= WHITE and right <= A4[0] - WHITE
            assert low >= A4[1] - LETTER[1] + WHITE


@pytest.mark.parametrize("name", ["window-seat", "tide-chest"])
def test_small_templates_below_their_introduction_are_true_to_size_on_any_paper(name):
    made, pages = printed(name)
    page = pages[-len(made.pages) - len(made.tiles) - 1]
    assert made.first is not None and is_true_size(page)
    drawn = [tuple(v * MM for v in o.get_bounds()) for o in page.get_objects(max_depth=6)]
    assert min(low for _, low, _, _ in drawn) >= A4[1] - LETTER[1] + WHITE
    x0, y0, x1, y1 = jig_shape(built(name).jigs[0]).bounds
    # Bounds are wider by the line and by the points of its corners, never smaller.
    extra = [(right - left - (x1 - x0), top - low - (y1 - y0)) for left, low, right, top in drawn]
    assert any(0.0 <= wide < 0.9 and 0.0 <= high < 0.9 for wide, high in extra)


@pytest.mark.parametrize(("name", "across"), [("tide-chest", False), ("window-seat", True)])
def test_what_is_drawn_on_the_tiles_is_what_is_cut_and_where(name, across):
    made, pages = printed(name)
    drawings = built(name).drawings
    assert any(tile.turned for tile in made.tiles) == across
    assert all(tile.template < len(drawings) for tile in made.tiles)
    for tile, page in zip(made.tiles, pages[-len(made.tiles) :], strict=True):
        drawing = drawings[tile.template]
        image = page.render(scale=8.0 / 72.0 * 25.4, grayscale=True).to_numpy()
        shade = 255 - image.reshape(image.shape[:2]).astype(int)
        seen = 0
        for stroke in drawing.strokes:
            if stroke.operation not in ("outline", "opening"):
                continue
            points = stroke.path.flattened
            middles = (points + np.roll(points, -1, axis=0)) / 2.0
            x, y = middles[:, 0] - tile.x, drawing.height - middles[:, 1] - tile.y
            if tile.turned:
                # A quarter turn clockwise: what lay at the foot is at the left.
                x, y = TILE[0] - y, x
            on = (x > 0.5) & (x < TILE[0] - 0.5) & (y > 0.5) & (y < TILE[1] - 0.5)
            for px, py in np.column_stack([x[on] + LEFT, y[on] + TOP]) * 8.0:
                spot = shade[int(py) - 1 : int(py) + 2, int(px) - 1 : int(px) + 2]
                assert spot.max() > 30, (tile.label, stroke.name)
                seen += 1
        assert seen > 0


def test_a_template_that_no_paper_holds_is_cut_up_and_nothing_of_it_is_lost():
    square = Drawing(
        "large", 400.0, 500.0, (Stroke("outline", polyline([(5, 5), (395, 5), (395, 495), (5, 495)])),)
    )
    tiles = tuple(Tile(0, c * TILE[0], r * TILE[1], f"{r} {c}") for r in range(3) for c in range(3))
    made = Guide("t", "1:12", templates=(Page("large", svg(square), 400.0, 500.0),), tiles=tiles)
    pages = pages_of(made)[-9:]
    # Its border lies on all pages but the one in the middle.
    image = pages[4].render(scale=2).to_numpy()
    middle = image[int(30 * 2 / MM) : int(240 * 2 / MM), int(20 * 2 / MM) : int(190 * 2 / MM)]
    assert middle.min() > 250
    for k in (0, 1, 2, 3, 5, 6, 7, 8):
        image = pages[k].render(scale=2).to_numpy()
        inside = image[
            int(TOP * 2 / MM) : int((TOP + TILE[1]) * 2 / MM), int(LEFT * 2 / MM) : int(195 * 2 / MM)
        ]
        assert inside.min() < 200, k


def test_a_tile_with_its_title_and_squares_fits_both_papers_wherever_they_are_put():
    # ISO 216 A4 within letter height, cut off below or half above and half below.
    cut = A4[1] - LETTER[1]
    assert cut / 2.0 + WHITE <= TOP - 5.0
    assert TOP + TILE[1] + 2.0 + 25.4 <= LETTER[1] - WHITE
    assert LEFT >= WHITE
