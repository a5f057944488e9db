"""Lengths go out and come back exactly, and no text breaks the reader."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from laminature.units import INCH, UnitError, full_to_mini, in_inches, length, mini_to_full, scale


@given(st.integers(0, 10**6), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_fractions_of_an_inch_come_back_exactly(steps, finest):
    mm = Fraction(steps, finest) * INCH
    assert length(in_inches(mm, finest)).mm == mm


@given(st.integers(0, 999), st.integers(0, 11), st.integers(0, 15))
def test_feet_and_inches_add_up(feet, inches, sixteenths):
    expected = (feet * 12 + inches + Fraction(sixteenths, 16)) * INCH
    assert length(f"{feet} ft {inches} {sixteenths}/16 in").mm == expected
    assert length(f"{feet}' {inches} {sixteenths}/16\"").mm == expected


@given(st.decimals(0, 10**5, places=4))
def test_decimals_are_taken_at_their_word(number):
    assert length(f"{number} mm").mm == Fraction(number)
    assert length(f"mini {number} cm").mm == 10 * Fraction(number)


@given(st.floats(0, 1e6))
def test_a_float_means_its_shortest_decimal(number):
    assert float(length(number).mm) == number


@given(st.integers(1, 10**6), st.fractions(1, 1000, max_denominator=1000))
def test_scaling_rounds_once(tenths, n):
    full = Fraction(tenths, 10)
    assert full_to_mini(full, n) == float(full / n)
    assert mini_to_full(full / n, n) == float(full)


@given(st.fractions(1, 1000, max_denominator=10**4))
def test_a_scale_is_written_so_that_it_is_read_again(n):
    assert scale(str(scale(f"1:{n}"))).n == n


nonsense = st.text(max_size=220) | st.text(alphabet="0123456789 ./-'\"½″minftcpx,eE+", max_size=60)


@given(nonsense, st.booleans())
def test_any_text_is_a_length_or_a_clear_error(text, signed):
    try:
        assert signed or length(text, signed=signed).mm >= 0
    except UnitError as error:
        assert 10 < len(str(error)) < 400


@given(nonsense)
def test_any_text_is_a_scale_or_a_clear_error(text):
    try:
        assert 1 <= scale(text).n <= 1000
    except UnitError as error:
        assert 10 < len(str(error)) < 400
