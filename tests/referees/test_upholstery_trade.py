"""Upholstery against worked examples of the trade, closed forms and all orders of small layouts."""

import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad

from laminature.geometry.region import box, disc
from laminature.model.design import CushionSpec
from laminature.upholstery.batting import crown_height, insets, make_batting
from laminature.upholstery.beads import LIGNE, bead_for, lignes
from laminature.upholstery.buttons import button_layout
from laminature.upholstery.order import sewing_order, travel
from laminature.upholstery.piping import make_piping, strip_width, strips

INCH = 25.4


@pytest.mark.parametrize("scale", [1.0, 12.0])
def test_a_trade_journals_ottoman(scale):
    """A 42 × 31 in top with a 4 in border: a field of 34 × 23 in takes 4 × 2 diamonds of 8.5 × 11.5 in.

    Worked example of a trade journal. Any wanted size near it, 8 × 12 or 9 × 11, must come to the same.
    """
    inch = INCH / scale
    top = box(-21 * inch, -15.5 * inch, 21 * inch, 15.5 * inch)
    for wanted in ((8.5, 11.5), (8.0, 12.0), (9.0, 11.0)):
        spec = CushionSpec(pattern="diamond", margin=4 * inch, spacing=(wanted[0] * inch, wanted[1] * inch))
        made, found = button_layout(top, spec, scale)
        assert made.spacing == pytest.approx((8.5 * inch, 11.5 * inch))
        assert "8 1/2 × 11 1/2 in" in found[0].message
        assert max(x for x, _ in made.points) == pytest.approx(17 * inch)
        assert max(y for _, y in made.points) == pytest.approx(11.5 * inch)


def test_diamonds_left_to_the_trade_are_taller_than_wide():
    """An upholstery teacher's notes: 4 × 6 in, taller than wide, laid out from the centre line."""
    field = box(-12 * INCH, -12 * INCH, 12 * INCH, 12 * INCH)
    made, _ = button_layout(field, CushionSpec(pattern="diamond", margin=0.0), 1.0)
    assert made.spacing == pytest.approx((4 * INCH, 6 * INCH))
    assert any(abs(x) < 1e-9 for x, _ in made.points)


def test_welt():
    """5/32 in cord with 1/2 in seams: 1.491, in the trade 1 1/2 in; 950 in of it from 54 in goods."""
    assert strip_width(5 / 32, 0.5) == pytest.approx(1.491, abs=5e-4)
    assert strips(950, 54, 1.5) == (18, 27.0)


def test_lignes():
    """Button charts: 40 lignes to the inch; 24 L is 15.24 mm (printed 15.0); 30 L at 1:12 is 1.59 mm."""
    assert pytest.approx(25.4) == 40 * LIGNE
    assert pytest.approx(15.24) == 24 * LIGNE
    assert lignes(19.05) == pytest.approx(30.0)
    assert pytest.approx(1.5875) == 30 * LIGNE / 12
    assert bead_for(CushionSpec(button=30 * LIGNE / 12), 12.0) == 1.5


def test_piping_of_a_circle_against_the_closed_form():
    made, _ = make_piping(disc(25), CushionSpec(piping=0.8, cloth_thickness=0.15))
    assert made.length == pytest.approx(1.1 * math.tau * (25 + 0.45 + 0.55), rel=1e-4)


def test_the_volume_of_a_round_crown_of_exponent_two_is_half_an_ellipsoids():
    """A half ellipsoid, radius R and height C, holds 2/3 π R² C: by the profile's integral, and by layers."""
    radius, crown = 20.0, 4.0
    volume, _ = quad(
        lambda s: math.tau * (radius - s) * float(crown_height(np.array(s), radius, crown, 2.0)), 0, radius
    )
    exact = 2 / 3 * math.pi * radius**2 * crown
    assert volume == pytest.approx(exact, rel=1e-6)
    many, _ = make_batting(disc(radius), 20, crown / 20, 2.0)
    layered = sum(float(r.flat.area) for r in many.outlines) * crown / 20
    assert layered == pytest.approx(exact, rel=0.01)
    assert len(insets(20, radius, 2.0)) == 20


@pytest.mark.parametrize("n", [3, 5, 8, 12])
def test_points_on_a_circle(n):
    """The shortest way through n points on a unit circle leaves out one side of 2 sin(π/n) (elementary)."""
    angles = math.tau * np.random.default_rng(n).permutation(n) / n
    points = [(math.cos(a), math.sin(a)) for a in angles]
    order = sewing_order(points, [0] * n)
    assert travel(points, order) == pytest.approx((n - 1) * 2 * math.sin(math.pi / n))


def test_small_layouts_against_every_permitted_order():
    """All permutations of up to eight buttons that begin in the middle and never go back past one ring."""
    rng = np.random.default_rng(4)
    for case in range(40):
        n = int(rng.integers(2, 8)) if case else 8
        points = [(float(x), float(y)) for x, y in rng.uniform(-20, 20, (n, 2))]
        rings = rng.integers(0, 4, n)
        rings = [int(r) for r in np.unique(rings, return_inverse=True)[1]]
        best = min(
            travel(points, order)
            for order in itertools.permutations(range(n))
            if rings[order[0]] == min(rings)
            and all(rings[b] >= rings[a] - 1 for a, b in itertools.combinations(order, 2))
        )
        assert travel(points, sewing_order(points, rings)) == pytest.approx(best)


def test_the_search_for_large_layouts_comes_near_the_exact_order(monkeypatch):
    """What is solved exactly up to twelve buttons in two rings is searched instead: at most 10 % longer."""
    layout, _ = button_layout(
        box(-46, -15, 46, 15), CushionSpec(pattern="diamond", spacing=(8.5, 11.0)), 12.0
    )
    exact = travel(layout.points, sewing_order(layout.points, layout.rings))
    monkeypatch.setattr("laminature.upholstery.order.EXACT", 1)
    searched = travel(layout.points, sewing_order(layout.points, layout.rings))
    assert exact - 1e-6 <= searched <= 1.1 * exact
