"""Scales and calipers against published tables.

NEM 010, issue 2011 (MOROP): gauges and their ratios; NMRA standard S-1.2 gives HO as 3.5 mm
to the foot, O as 1/4 inch, and inches to the foot are arithmetic. A point of caliper is
1/1000 inch: printing encyclopaedias. Four layers of 22 points: common practice, no source.
"""

from fractions import Fraction

import pytest

from laminature.units import FOOT, INCH, full_to_mini, length, mini_to_full, scale

NEM_010 = {
    "Z": "220", "N": "160", "TT": "120", "H0": "87", "S": "64",
    "0": "45", "I": "32", "II": "22.5", "III": "16",
}  # fmt: skip


@pytest.mark.parametrize(("letter", "n"), NEM_010.items())
def test_gauges_of_nem_010(letter, n):
    assert scale(f"NEM {letter}").n == Fraction(n)


def test_the_worked_example_of_nem_010():
    """A drawing at 1:45 becomes 1:87 by the factor 0.517."""
    assert round(float(scale("NEM 0").n / scale("NEM H0").n), 3) == 0.517


def test_ho_of_the_nmra_is_not_h0():
    ho = scale("NMRA HO").n
    assert float(ho) == pytest.approx(87.0857, abs=5e-5)
    assert FOOT / ho == Fraction("3.5")
    assert ho != scale("NEM H0").n


@pytest.mark.parametrize(
    ("n", "inches"), [(6, "2"), (12, "1"), (16, "3/4"), (24, "1/2"), (48, "1/4"), (144, "1/12")]
)
def test_inches_to_the_foot(n, inches):
    assert scale(f"{inches} in to the foot").n == n
    assert length(f"{inches} in").mm == FOOT / n


@pytest.mark.parametrize(("n", "mm"), [(12, 61.383), (24, 30.692), (48, 15.346)])
def test_a_table_of_29_inches(n, mm):
    assert full_to_mini(29 * INCH, Fraction(n)) == pytest.approx(mm, abs=5e-4)


@pytest.mark.parametrize(
    ("points", "mm"),
    [
        (10, ".2540"),
        (14, ".3556"),
        (18, ".4572"),
        (20, ".5080"),
        (22, ".5588"),
        (24, ".6096"),
        (28, ".7112"),
        (30, ".7620"),
        (46, "1.1684"),
        (50, "1.2700"),
    ],
)
def test_points_of_caliper(points, mm):
    assert length(f"{points} pt").mm == Fraction(mm)


@pytest.mark.parametrize(("n", "mm"), [(12, 6.71), (24, 13.41), (144, 80.47)])
def test_what_one_layer_of_22_points_stands_for(n, mm):
    assert mini_to_full(length("22 pt").mm, Fraction(n)) == pytest.approx(mm, abs=5e-3)


def test_four_layers_of_22_points_at_one_inch_scale():
    assert 4 * length("22 pt").mm * scale("one inch").n / INCH == Fraction("1.056")
