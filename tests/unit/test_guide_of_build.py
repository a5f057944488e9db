"""The guide of a real kit: nothing is missing, and templates cover all that is cut."""

import dataclasses

import pytest

import laminature as lam
from laminature import pipeline
from laminature.pipeline.guide import guide_of
from laminature.writers.guide import TILE

STOOL = """
[form]
name = "radial-table"
height = "18 in"
width = "15 in"
sides = 0
[cushion]
pattern = "row"
"""


def built(text):
    return lam.build(pipeline.read_design(text.encode(), "t.toml", None, pipeline.known_boards(None, "")))


@pytest.fixture(scope="module")
def build():
    return built(STOOL)


@pytest.fixture(scope="module")
def guide(build):
    return guide_of(build)


def test_sizes_stand_twice_and_are_those_of_the_piece_with_its_cushion(guide):
    found = {s.name: (s.full, s.mini) for s in guide.sizes}
    assert found["width"] == ("15 in (381 mm)", "31.8 mm")
    assert found["height"][1] == "38.1 mm"


def test_every_step_every_letter_and_every_sheet_is_there(build, guide):
    assert [s.number for s in guide.steps] == [s.number for s in build.assembly.steps]
    assert all(s.picture and s.words for s in guide.steps)
    assert [s.letter for s in guide.stacks] == sorted({p.letter for p in build.piece.parts})
    assert sum(s.count for s in guide.stacks) == len(build.piece.parts)
    assert len(guide.maps) == len(build.sheets)
    assert guide.pages and guide.plan and guide.supplies
    # How the cushion is sewn stands in the guide too, not only in README.txt.
    assert any("Sew on" in words for words in guide.cushions[0])


def test_the_tiles_of_a_template_cover_all_that_is_cut(build, guide):
    for number, drawing in enumerate(build.drawings):
        tiles = [t for t in guide.tiles if t.template == number]
        for stroke in drawing.strokes:
            if stroke.operation in ("outline", "opening"):
                for x, y in stroke.path.flattened:
                    down = drawing.height - y
                    sizes = [(t, TILE[::-1] if t.turned else TILE) for t in tiles]
                    assert any(t.x <= x <= t.x + w and t.y <= down <= t.y + h for t, (w, h) in sizes)


def test_what_is_sold_one_by_one_is_bought_in_whole_numbers(guide):
    bought = {s.title: s.packs for s in guide.supplies}
    assert bought["Abrasive paper, grit 240"] == "1 sheet"
    assert bought["Dust mask"] == "1 piece"
    assert bought["Thin CA"] == "1 × 20 ml"


def test_a_cushion_is_made_by_the_files_of_its_kit(build, guide):
    files = pipeline.kit_files(build)
    assert any("cushion/batting-1.svg" in words for words in guide.cushions[0])
    assert "cushion/batting-1.svg" in files


def test_prices_of_the_makers_are_summed_up():
    design = pipeline.read_design(STOOL.encode(), "t.toml", None, pipeline.known_boards(None, ""))
    prices = pipeline.known_prices(
        b'currency = "EUR"\n[boards]\nchipboard-22 = 2.5\n', "prices.toml", design.boards
    )
    guide = guide_of(lam.front.Build(design, prices=prices))
    (board,) = (s for s in guide.supplies if s.price)
    assert board.price == "2.50 EUR" and guide.total == "2.50 EUR"


def test_the_kit_holds_it_all(build):
    files = pipeline.kit_files(build)
    assert {"guide.pdf", "supplies.csv", "view.html", "piece.glb", "README.txt"} <= files.keys()
    assert files["guide.pdf"].startswith(b"%PDF")
    again = pipeline.kit_files(built(STOOL))
    assert again["guide.pdf"] == files["guide.pdf"] and again["view.html"] == files["view.html"]


def test_american_words_where_they_are_asked_for():
    british = pipeline.kit_files(built(STOOL))["guide.pdf"]
    american = pipeline.kit_files(built('words = "american"' + STOOL))["guide.pdf"]
    assert british != american


def test_a_repair_has_no_guide(build):
    again = lam.front.Build(build.design, only="A1")
    assert not {"guide.pdf", "view.html"} & pipeline.kit_files(again).keys()
    assert dataclasses.is_dataclass(again.assembly)
