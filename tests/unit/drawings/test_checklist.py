"""Lists to tick off: every piece once, in the order of cutting, and every layer of every stack."""

import dataclasses

from laminature.drawings.checklist import HEIGHT, WIDTH, cutting_list, stack_list
from laminature.drawings.sheets import sheet_drawing
from laminature.geometry.lettering import text_width
from laminature.sheets.route import routed

from ...drawn_by_hand import BOARDS, LAYERS, PARTS, SHEET, WORDS


def words(pages):
    return [t.text for page in pages for t in page.texts]


def boxes(pages):
    return [s for page in pages for s in page.strokes if s.name.startswith("box-")]


def test_the_pieces_of_a_sheet_in_the_order_of_cutting_a_box_each():
    _, route = routed(sheet_drawing(SHEET, LAYERS, BOARDS, True, WORDS))
    pages = cutting_list(SHEET, route.pieces, LAYERS, PARTS, WORDS, "3.4 m to cut")
    rows = [w for w in words(pages) if w[0].isdigit() and "layer" in w]
    assert len(rows) == len(boxes(pages)) == len(SHEET.placements)
    assert [r.split()[0] for r in rows] == [str(n) for n in range(1, len(rows) + 1)]
    # The names of outlines are labels, with a copy's number behind: B1_2.
    assert [r.split()[1] for r in rows] == [name.split("_")[0] for name in route.pieces]
    mirrored = {x.label for x in LAYERS if x.mirrored}
    assert {r.split()[1] for r in rows if "mirrored" in r} == mirrored & {r.split()[1] for r in rows}
    assert "3.4 m to cut" in words(pages)


def test_every_layer_of_every_stack_a_box_for_each_copy():
    pages = stack_list(LAYERS, PARTS, BOARDS, WORDS)
    assert len(boxes(pages)) == len(LAYERS)
    assert any(w == "B  Leg, 2 alike" for w in words(pages))
    assert next(w for w in words(pages) if w.startswith("A")) == "A  Top"


def test_long_lists_go_on_on_further_pages_and_nothing_leaves_the_page():
    many = []
    for n in range(60):
        many += [
            dataclasses.replace(x, part=f"{x.part}-{n}", letter=f"{x.letter}{x.letter}{n}") for x in LAYERS
        ]
    pages = stack_list(many, PARTS, BOARDS, WORDS)
    assert len(pages) > 1 and len({p.name for p in pages}) == len(pages)
    assert len(boxes(pages)) == len(many)
    for page in pages:
        assert (page.width, page.height) == (WIDTH, HEIGHT)
        for text in page.texts:
            assert text.x > 0 and text.x + text_width(text.text, text.size) < WIDTH and 0 < text.y < HEIGHT
        for stroke in page.strokes:
            assert (stroke.path.flattened > 0).all() and (stroke.path.flattened < [WIDTH, HEIGHT]).all()
