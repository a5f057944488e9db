"""Short ways against what is known: a closed form, enumeration of small cases, and random tours.

Points evenly on a unit circle: the shortest round tour is their polygon, 2·n·sin(π/n) long (elementary).
"""

import itertools
import math

import numpy as np
import pytest

from laminature.geometry.shortest import shortest_order


def way(points, order, start, end=None, exits=None):
    exits = points if exits is None else exits
    total, here = 0.0, np.asarray(start, float)
    for k in order:
        total += float(np.hypot(*(points[k] - here)))
        here = exits[k]
    return total + (0.0 if end is None else float(np.hypot(*(np.asarray(end) - here))))


@pytest.mark.parametrize("n", [3, 8, 25, 60])
def test_points_on_a_circle(n):
    angle = 2.0 * np.pi * np.arange(n) / n
    points = np.column_stack([np.cos(angle), np.sin(angle)])
    rest = points[np.random.default_rng(n).permutation(np.arange(1, n))]
    order = shortest_order(rest, rest, (1.0, 0.0), (1.0, 0.0))
    assert way(rest, order, (1.0, 0.0), (1.0, 0.0)) == pytest.approx(2 * n * math.sin(math.pi / n))
    if n == 8:
        assert way(rest, order, (1, 0), (1, 0)) == pytest.approx(6.12293, abs=1e-5)


def test_small_cases_against_all_orders():
    """Local search promises no optimum; it has to reach it mostly, and to come near it always."""
    rng = np.random.default_rng(7)
    ratios = []
    for _ in range(60):
        n = int(rng.integers(2, 8))
        entries, exits = rng.uniform(0, 100, (n, 2)), rng.uniform(0, 100, (n, 2))
        found = way(entries, shortest_order(entries, exits, (0, 0)), (0, 0), None, exits)
        best = min(way(entries, o, (0, 0), None, exits) for o in itertools.permutations(range(n)))
        ratios.append(found / best)
    assert min(ratios) >= 1.0 - 1e-9
    assert max(ratios) < 1.12
    assert sum(r < 1.0 + 1e-9 for r in ratios) >= 50


def test_small_cases_with_an_order_to_be_kept():
    rng = np.random.default_rng(11)
    ratios = []
    for _ in range(40):
        n = 6
        points = rng.uniform(0, 100, (n, 2))
        before = [(0, 3), (1, 3), (3, 5)]
        order = shortest_order(points, points, (0, 0), None, before)
        assert all(order.index(a) < order.index(b) for a, b in before)
        allowed = (
            o for o in itertools.permutations(range(n)) if all(o.index(a) < o.index(b) for a, b in before)
        )
        best = min(way(points, o, (0, 0)) for o in allowed)
        ratios.append(way(points, order, (0, 0)) / best)
    assert max(ratios) < 1.3
    assert float(np.mean(ratios)) < 1.03


def test_a_square_grid_is_walked_near_its_bound():
    """A 10 × 10 grid of unit steps cannot be walked in less than 99 steps."""
    points = np.array([(x, y) for x in range(10) for y in range(10)], float)
    mixed = points[np.random.default_rng(3).permutation(100)]
    order = shortest_order(mixed, mixed, (0.0, 0.0))
    assert sorted(order) == list(range(100))
    assert 99.0 - 1e-9 <= way(mixed, order, (0, 0)) < 99.0 * 1.06
