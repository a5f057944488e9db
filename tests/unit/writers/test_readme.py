"""README.txt: what a maker needs at hand."""

import dataclasses

import pytest

from laminature.model.aid import Aids, KeyUse
from laminature.pipeline.reading import guide_words
from laminature.writers.readme import FACTORS, readme

from ...drawn_by_hand import DESIGN, LAYERS, PIECE, SHEET
from .test_svg import HOSTILE


def text(design=DESIGN, piece=PIECE, layers=LAYERS, sheets=(SHEET,)):
    return readme(design, piece, layers, sheets, guide_words("british")).decode()


def flat(words):
    return " ".join(words.split())


def test_lines_fit_a_narrow_window():
    assert max(len(line) for line in text().splitlines()) <= 88


def test_it_says_what_is_what():
    for name in ("sheets/sheets.pdf", "parts.csv", "piece.glb", "design.toml", "kit.toml"):
        assert name in text()
    assert "at 1:12: 3 parts, 12 layers, 1 sheet." in flat(text())


def test_wrong_factors_are_named_with_what_the_square_then_measures():
    for factor in ("0.75", "0.9375", "1.25", "1.333", "0.9407", "0.9727"):
        assert factor in text()
    assert "the square measures 15.00 mm" in text()
    # Where the factors come from.
    causes = [72 / 96, 90 / 96, 90 / 72, 96 / 72, 279.4 / 297, 210 / 215.9]
    assert [f for f, _ in FACTORS] == pytest.approx(causes, abs=4e-4)


def test_without_a_measuring_square_the_largest_shape_is_measured():
    words = flat(text(dataclasses.replace(DESIGN, measuring_square=False)))
    assert "has a dotted measuring square" not in words
    assert "have a dotted measuring square" not in words
    assert "largest shape, A1: it is cut 60.00 × 51.96 mm" in words


def test_mirrored_and_unlabelled_layers_are_listed():
    assert "sheet-1: A4" in text()
    assert "see the map: B4 ×2." in flat(text())


def test_the_pen_is_named():
    assert "pigment ink or pencil: dye inks bleed under CA" in flat(text())


def test_cautions_defer_to_data_sheets_rules_and_qualified_people():
    words = flat(text())
    for phrase in (
        "sensitised",
        "cotton",
        "150 to 200 °C",
        "safety data sheet",
        "rules where you live",
        "qualified",
    ):
        assert phrase in words


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_titles_stay_on_one_line(name):
    design = dataclasses.replace(DESIGN, title=name, notes=name)
    piece = dataclasses.replace(
        PIECE, title=name, parts=tuple(dataclasses.replace(p, title=name) for p in PIECE.parts)
    )
    words = text(design, piece)
    assert "What is what" in words
    assert not any(c < " " and c != "\n" for c in words)


def test_lines_of_the_makers_notes_stay_lines():
    notes = "For Ada.\n\nBoard: the grey one\r\nStain: two coats\tthin\n"
    words = text(dataclasses.replace(DESIGN, notes=notes))
    assert "\nFor Ada.\n\nBoard: the grey one\nStain: two coats thin\n" in words


def test_nothing_breaks_without_sheets_or_layers():
    assert "0 sheets" in flat(text(layers=(), sheets=()))


def test_layers_on_pins_are_told_with_their_openings():
    pinned = [dataclasses.replace(x, pins=((1.0, 2.0), (8.0, 3.0))) if x.index == 2 else x for x in LAYERS]
    words = flat(text(layers=pinned))
    assert "A pins through A2: openings of 2.2 mm B pins through B2: openings of 2.2 mm" in words
    assert "Held in line" not in text()


def test_keys_are_told_with_their_slots_and_counted_in_no_number():
    key = dataclasses.replace(PIECE.parts[0], name="key-1", letter="C", title="Key, for gluing")
    layers = [dataclasses.replace(x, part="key-1", letter="C", role="key") for x in LAYERS[:4]]
    aids = Aids((key,), tuple(layers), (KeyUse("top", ("C", "C"), ("leg-1", "leg-1"), (1, 2, 3)),))
    words = flat(readme(DESIGN, PIECE, (*LAYERS, *layers), (SHEET,), guide_words("british"), aids).decode())
    assert "at 1:12: 3 parts, 12 layers, 1 sheet." in words
    assert "C 1 × Key, for gluing, 4 layers" in words
    assert "A top: keys C ×2 in the slots for leg-1; they hold A1, A2, A3" in words
