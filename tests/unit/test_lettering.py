"""Letters of single strokes: complete, of the size asked for, and none like another."""

import itertools
import string

import numpy as np
import pytest

from laminature.errors import GeometryError
from laminature.geometry.lettering import (
    _ACCENTS,
    _GLYPHS,
    _glyph,
    _strokes,
    rounded,
    shortened,
    text_paths,
    text_width,
)

NEEDED = string.ascii_letters + string.digits + "-/.:×()+,"


def points(paths):
    return np.concatenate([p.flattened for p in paths])


def test_every_character_of_labels_and_notes_has_a_glyph_of_its_own():
    assert set(NEEDED) <= set(_GLYPHS)


@pytest.mark.parametrize("character", sorted(_GLYPHS))
def test_glyphs_stand_within_their_field(character):
    strokes, width = _glyph(character)
    low, high = points(strokes).min(axis=0), points(strokes).max(axis=0)
    assert low[0] >= -1e-9
    assert width <= 6.0
    assert low[1] >= -2.0 - 1e-9
    assert high[1] <= 7.9


@pytest.mark.parametrize("character", string.ascii_uppercase + string.digits)
def test_capitals_and_digits_are_as_high_as_asked_for(character):
    found = points(text_paths(character, 3.0))
    # J and Q aside, all of them stand on the line.
    assert found[:, 1].max() == pytest.approx(3.0, abs=1e-3)
    assert found[:, 1].min() == pytest.approx(-0.8 * 3 / 7 if character == "Q" else 0.0, abs=1e-3)


def test_strokes_hold_together():
    for character in _GLYPHS:
        for stroke in _glyph(character)[0]:
            for one, two in itertools.pairwise(stroke.segments):
                assert one.end == pytest.approx(two.start, abs=1e-12)
            if stroke.closed:
                assert stroke.segments[-1].end == pytest.approx(stroke.start, abs=1e-9)
    for written in _ACCENTS.values():
        assert _strokes(written)


def raster(character, size=14):
    """Cells of a grid that a pen of a tenth of the letter's height touches."""
    cells = np.zeros((size, size), dtype=bool)
    for path in text_paths(character, 7.0):
        dense = np.concatenate([np.linspace(a, b, 40) for a, b in itertools.pairwise(_closed(path))])
        index = np.clip(((dense + np.array([0.5, 2.5])) / 10.5 * size).astype(int), 0, size - 1)
        cells[index[:, 1], index[:, 0]] = True
    return cells


def _closed(path):
    found = path.flattened
    return np.vstack([found, found[:1]]) if path.closed else found


@pytest.mark.parametrize(
    "pair", ["B8", "17", "0O", "5S", "2Z", "1I", "1l", "6G", "D0", "UV", "0Q", "3B", "4A", "38"]
)
def test_what_is_easily_confused_differs_in_many_places(pair):
    one, two = (raster(c) for c in pair)
    assert (one ^ two).sum() >= 0.2 * min(one.sum(), two.sum())


def test_no_two_characters_look_the_same():
    drawn = {c: raster(c) for c in string.ascii_uppercase + string.digits}
    for a, b in itertools.combinations(drawn, 2):
        assert (drawn[a] ^ drawn[b]).sum() >= 4, (a, b)


@pytest.mark.parametrize(("anchor", "start"), [("start", 0.0), ("middle", -0.5), ("end", -1.0)])
def test_a_text_is_anchored_by_its_width(anchor, start):
    width = text_width("HEH", 2.0)
    found = points(text_paths("HEH", 2.0, (10.0, 5.0), anchor))
    assert found[:, 0].min() == pytest.approx(10.0 + start * width)
    assert found[:, 0].max() == pytest.approx(10.0 + (start + 1.0) * width)
    assert found[:, 1].min() == pytest.approx(5.0)


def test_a_text_turned_a_quarter_reads_upwards():
    level = points(text_paths("B3", 2.0))
    turned = points(text_paths("B3", 2.0, (4.0, 1.0), turn=90.0))
    assert turned == pytest.approx(np.column_stack([4.0 - level[:, 1], 1.0 + level[:, 0]]))


def test_accents_stand_above_and_other_scripts_become_a_crossed_box():
    assert points(text_paths("ü", 7.0))[:, 1].max() > points(text_paths("u", 7.0))[:, 1].max() + 1.0
    assert len(text_paths("日", 7.0)) == 3
    assert len(text_paths("日本", 7.0)) == 6


def test_a_fraction_in_one_character_does_not_run_into_the_number_before_it():
    assert text_width("1½", 3.0) == pytest.approx(text_width("1 1/2", 3.0))


@pytest.mark.parametrize("text", ["", " ", "\x00\n\t", "a" * 5000])
def test_empty_and_endless_texts_have_a_width_and_strokes(text):
    assert text_width(text, 3.0) >= 0.0
    assert (len(text_paths(text, 3.0)) > 0) == bool(text.strip("\x00 \n\t"))


def test_a_text_too_long_is_shortened_to_the_width():
    text = "A very long title of a lamp table " * 100
    short = shortened(text, 3.0, 60.0)
    assert short.endswith("...")
    assert 40.0 < text_width(short, 3.0) <= 60.0
    assert shortened("Lamp", 3.0, 60.0) == "Lamp"
    assert shortened("Lamp", 3.0, 0.1) == ""


def test_rounding_without_room_is_refused():
    with pytest.raises(GeometryError):
        rounded([((0.0, 0.0), 0.0), ((1.0, 0.0), 2.0), ((1.0, 1.0), 0.0)], closed=False)
