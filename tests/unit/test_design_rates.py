"""Rates as data: the package's, each with its source, and a maker's own over them."""

from dataclasses import fields, is_dataclass

import pytest

from laminature.data import library
from laminature.design.rates import read_rates
from laminature.errors import DesignErrors
from laminature.model.rates import Packs

RATES = read_rates(library.rates(), "rates.toml")


def test_every_rate_has_a_source():
    groups = [f.name for f in fields(RATES) if is_dataclass(getattr(RATES, f.name))]
    names = {f"{group}.{f.name}" for group in groups for f in fields(getattr(RATES, group))}
    assert set(dict(RATES.sources)) == names
    assert "your own value" not in dict(RATES.sources).values()


def test_times_are_minutes_or_words():
    own = b'[glue]\ndry = "1 d"\nweight = "1.5 h"\nlayer = 2\n[join]\nclamp = "20 min"'
    mine = read_rates(own, "rates.toml", RATES)
    assert (mine.glue.dry, mine.glue.weight, mine.glue.layer, mine.join.clamp) == (1440.0, 90.0, 2.0, 20.0)
    assert mine.glue.area == RATES.glue.area
    assert dict(mine.sources)["glue.dry"] == "your own value"


def test_an_own_source_is_kept():
    mine = read_rates(b'[sand]\nedge = 11\n[sand.sources]\nedge = "timed, ten parts"', "rates.toml", RATES)
    assert dict(mine.sources)["sand.edge"] == "timed, ten parts"


def test_nothing_is_a_value():
    mine = read_rates(b"[coat]\nstains = 0\nair = 0\n[spread]\ngrits = []", "rates.toml", RATES)
    assert (mine.coat.stains, mine.coat.air, mine.spread.grits) == (0, 0.0, ())


def test_grits_are_sorted_the_finest_last():
    assert read_rates(b"[spread]\ngrits = [600, 320]", "rates.toml", RATES).spread.grits == (320, 600)


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[glu]\narea = 1", 1, "Did you mean 'glue'"),
        ("[glue]\nara = 1", 2, "Did you mean 'area'"),
        ("glue = 3", 1, r"Write \[glue\]"),
        ('[glue]\n\ndry = "12 hrs"', 3, "12 h"),
        ('[glue]\ndry = "soon"', 2, "12 h"),
        ("[glue]\ndry = -5", 2, "between 0"),
        ("[glue]\ndry = true", 2, "Write minutes"),
        ("[glue]\ndry = [1]", 2, "Write minutes"),
        ("[spread]\nuptake = 1.5", 2, "between 0 and 1"),
        ("[spread]\nwall = 0", 2, "cannot be 0"),
        ("[packs]\nstain = 0", 2, "cannot be 0"),
        ("[coat]\nstains = 1.5", 2, "whole number"),
        ("[coat]\nstains = 50", 2, "whole number"),
        ("[spread]\ngrits = [240, 240]", 2, "each once"),
        ("[spread]\ngrits = 240", 2, "in a list"),
        ("[spread]\ncard = nan", 2, "not a number"),
        ("[glue.sources]\nara = 'x'", 2, "no rate"),
        ("[glue.sources]\narea = 3", 2, "one line of text"),
    ],
)
def test_what_cannot_be_used_is_said_with_its_line(text, line, words):
    with pytest.raises(DesignErrors, match=words) as caught:
        read_rates(text.encode(), "rates.toml", RATES)
    assert caught.value.errors[0].place.line == line


def test_the_packages_own_file_has_to_be_whole():
    with pytest.raises(DesignErrors, match=r"glue\.batch is missing"):
        read_rates(library.rates().replace(b"batch = 20", b""), "rates.toml")


def test_all_packs_hold_something():
    assert all(getattr(RATES.packs, f.name) > 0 for f in fields(Packs))
