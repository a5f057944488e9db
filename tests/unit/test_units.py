"""Lengths as people write them, and scales."""

import subprocess
import sys
import time
from fractions import Fraction

import pytest

from laminature.units import (
    INCH,
    Measure,
    Scale,
    UnitError,
    full_to_mini,
    in_inches,
    in_mm,
    length,
    mini_to_full,
    scale,
    two_lengths,
)


def test_units_need_nothing_heavy():
    code = "import laminature.units, sys; assert not {'numpy', 'shapely', 'pydantic'} & set(sys.modules)"
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        ("18 in", Fraction("457.2")),
        ("18in", Fraction("457.2")),
        ("18 inches", Fraction("457.2")),
        ("18 IN", Fraction("457.2")),
        ('18"', Fraction("457.2")),
        ("18″", Fraction("457.2")),
        ("18''", Fraction("457.2")),
        ("457 mm", 457),
        ("45.7 cm", 457),
        (".5 m", 500),
        ("5. mm", 5),
        ("1 m 20 cm", 1200),
        ("1 ft 5 1/2 in", Fraction("17.5") * INCH),
        ("1' 5 1/2\"", Fraction("17.5") * INCH),
        ("1’ 5½”", Fraction("17.5") * INCH),
        ("5-1/2 in", Fraction("5.5") * INCH),
        ("1⁄2 in", INCH / 2),
        ("¾\u00a0in", INCH * 3 / 4),
        ("1 yd 1 ft 1 in", 49 * INCH),
        ("22 pt", Fraction("0.5588")),
        ("558.8 µm", Fraction("0.5588")),
        ("0 mm", 0),
        ("  3 mm  ", 3),
        ("3", 3),
        (3, 3),
        (0.1, Fraction(1, 10)),
        ("1/3 in", INCH / 3),
    ],
)
def test_a_length_is_read_exactly(written, mm):
    assert length(written) == Measure(Fraction(mm))


@pytest.mark.parametrize(
    ("written", "realm"),
    [("mini 3 mm", "mini"), ("miniature 3 mm", "mini"), ("Full 3mm", "full"), ("3 mm", None)],
)
def test_a_word_before_the_number_says_which_size_is_meant(written, realm):
    assert length(written) == Measure(Fraction(3), realm)


def test_a_bare_number_takes_the_unit_it_is_told():
    assert length(18, bare="in").mm == 18 * INCH
    assert length("1 1/2", bare="ft").mm == 18 * INCH
    assert length("mini 2", bare="cm") == Measure(Fraction(20), "mini")
    assert length("18 mm", bare="in").mm == 18


def test_a_sign_is_read_only_where_it_makes_sense():
    assert length("-3 mm", signed=True).mm == -3
    assert length("−1 ft 6 in", signed=True).mm == -18 * INCH
    assert length("mini -3 mm", signed=True) == Measure(Fraction(-3), "mini")
    assert length("+3 mm").mm == 3
    for written in ("-3 mm", -3, -0.5):
        with pytest.raises(UnitError, match="below zero"):
            length(written)


@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("18 inn", 'Did you mean "in"'),
        ("18 milimetres", 'Did you mean "millimetres"'),
        ("18 zorkmids", "Units are mm, cm, m, in, ft"),
        ("45,7 cm", "decimal point"),
        ("1 ft 5", "without its unit"),
        ("5 in 1 ft", "larger first"),
        ("1 in 1 in", "larger first"),
        ("1/0 in", "divides by zero"),
        ("3 mini mm", "comes first"),
        ("tiny 3 mm", '"mini" or "full"'),
        ("1 ft -5 in", "sign in the middle"),
        ("nan", "not a number"),
        ("inf mm", "not a number"),
        ("", "missing"),
        ("   ", "missing"),
        ("mm", "cannot be read"),
        ("1.2.3 mm", "cannot be read"),
        ("1/2/3 in", "cannot be read"),
        ("1.5/2 in", "cannot be read"),
        ("1e3 mm", "unit of length belongs"),
        ("three mm", "cannot be read"),
        ("٣ mm", "cannot be read"),
        ("1" * 201, "too long"),
        ("9" * 150 + " mm", "too large"),
        (float("nan"), "not a length"),
        (float("inf"), "not a length"),
        (1e300, "too large"),
        (10**400, "not a length"),
        (True, "not a length"),
        (None, "not a length"),
        ([1], "not a length"),
    ],
)
def test_what_is_no_length_is_refused_in_words(written, words):
    with pytest.raises(UnitError) as caught:
        length(written)
    assert words in str(caught.value)
    assert len(str(caught.value)) < 250


@pytest.mark.parametrize(
    "nasty", ["1" * 199, "1 " * 100, "-" * 200, "1/" * 100, "1-" * 99, "''" * 100, "a " * 99]
)
def test_nonsense_is_refused_quickly(nasty):
    began = time.perf_counter()
    with pytest.raises(UnitError):
        length(nasty)
    assert time.perf_counter() - began < 0.5


@pytest.mark.parametrize(
    ("written", "n"),
    [
        ("1:12", 12),
        ("1/12", 12),
        (" 1 : 12 ", 12),
        ("1∶12", 12),
        ("12", 12),
        (12, 12),
        (22.5, Fraction(45, 2)),
        ("1:22.5", Fraction(45, 2)),
        ("one inch", 12),
        ("One Inch Scale", 12),
        ("half scale", 24),
        ("quarter inch scale", 48),
        ("NEM II", Fraction(45, 2)),
        ("H0", 87),
        ("HO", Fraction(3048, 35)),
        ("3/4 in to the foot", 16),
        ("3.5 mm to the foot", Fraction(3048, 35)),
        ("1 inch to 1 foot", 12),
        ("1:1", 1),
        ("1:3048/35", Fraction(3048, 35)),
    ],
)
def test_a_scale_is_exact(written, n):
    assert scale(written) == Scale(Fraction(n))


@pytest.mark.parametrize(
    "written",
    [
        *("12:1", "1:0", "1:0.5", "1:-12", "1:1e3", "1:9999", "1:12/0", "1:" + "9" * 190, "1" * 300),
        *(0, -12, 0.5, float("nan"), float("inf"), True, [12], "", "large", "0 in to the foot"),
    ],
)
def test_what_is_no_scale_is_refused(written):
    with pytest.raises(UnitError, match=r"1:12|too long"):
        scale(written)


def test_a_misspelt_scale_gets_the_nearest_name():
    with pytest.raises(UnitError, match="half scale"):
        scale("halv scale")


def test_a_scale_is_written_back_as_it_is_read():
    for written in ("1:12", "1:22.5", "1:3048/35"):
        assert str(scale(written)) == written


def test_full_size_becomes_miniature_and_back_rounded_once():
    assert full_to_mini(29 * INCH, Fraction(12)) == pytest.approx(61.383, abs=5e-4)
    assert full_to_mini(29 * INCH, Fraction(12)) == float(29 * INCH / 12)
    assert mini_to_full(0.5588, Fraction(12)) == pytest.approx(6.7056, abs=1e-12)
    assert scale("1:12").mini(length("mini 3 mm")) == 3
    assert scale("1:12").mini(length("3 mm")) == Fraction(1, 4)
    assert scale("1:12").full(length("mini 3 mm")) == 36


@pytest.mark.parametrize(
    ("mm", "words"), [(12.5, "12.5 mm"), (12, "12 mm"), (100, "100 mm"), (0.126, "0.13 mm"), (-0.001, "0 mm")]
)
def test_lengths_are_said_in_mm(mm, words):
    assert in_mm(mm) == words


@pytest.mark.parametrize(
    ("mm", "words"),
    [
        (0, "0 in"),
        (INCH / 2, "1/2 in"),
        (Fraction("17.5") * INCH, "17 1/2 in"),
        (24 * INCH, "2 ft"),
        (Fraction("29.25") * INCH, "2 ft 5 1/4 in"),
        (-INCH, "-1 in"),
        (1.0, "1/16 in"),
    ],
)
def test_lengths_are_said_in_inches(mm, words):
    assert in_inches(mm) == words


def test_inches_can_be_said_finer():
    assert in_inches(INCH * 3 / 32, finest=32) == "3/32 in"


@pytest.mark.parametrize(
    ("written", "sides"),
    [
        ("120 x 80 mm", (120.0, 80.0)),
        ("120 mm x 80 mm", (120.0, 80.0)),
        ("120×80", (120.0, 80.0)),
        ("12 X 8 cm", (120.0, 80.0)),
        ("4 3/4 x 3 in", (120.65, 76.2)),
        ('4 3/4" x 3"', (120.65, 76.2)),
        ("4¾ in by 76.2 mm", (120.65, 76.2)),
        ("1 in x 10", (25.4, 10.0)),
    ],
)
def test_sizes_are_two_actual_lengths(written, sides):
    assert two_lengths(written) == pytest.approx(sides)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "120",
        "120 x",
        "x 80",
        "1 x 2 x 3",
        "0 x 5",
        "-3 x 5",
        "mini 3 x 5",
        "full 3 x full 5",
        "a x b",
        "9" * 999,
    ],
)
def test_what_is_no_size_is_refused(written):
    with pytest.raises(UnitError):
        two_lengths(written)
