"""Cut paths against the curves they came from: measured by dense sampling, not by the fitter's own proof.

The referee is numpy: points every 0.1 mm or closer along one side, distances to the exact lines
and circles (or to a far finer polyline of a cubic) on the other.
"""

import math

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.geometry.fitting import FIT, borders, fitted
from laminature.geometry.flat import grown, minus, pieces, rectangle, tidy
from laminature.geometry.path import FLATTEN, Arc, Cubic, Line, Path, circle
from laminature.geometry.provenance import Parallel
from laminature.geometry.region import Region, box, disc

#: Sampling is dense and slow: fewer cases than elsewhere, in CI too.
FEW = settings(max_examples=30)
#: The whole budget from a source curve to the path that is cut, mm (DESIGN: curves and tolerance).
BUDGET = 0.01


def samples(path, step=0.1):
    """Points along a path, at most ``step`` apart and 20 on each arc, each exactly on it."""
    found = []
    for s in path:
        if isinstance(s, Line):
            n = max(2, math.ceil(math.dist(s.start, s.end) / step))
            found.append(np.linspace(s.start, s.end, n))
        elif isinstance(s, Arc):
            sweep = math.radians(s.sweep)
            n = max(20, math.ceil(abs(sweep) * s.radius / step))
            first = math.atan2(s.start[1] - s.centre[1], s.start[0] - s.centre[0])
            a = first + np.linspace(0.0, sweep, n)
            found.append(np.column_stack([np.cos(a), np.sin(a)]) * s.radius + s.centre)
        else:
            length = math.dist(s.start, s.c1) + math.dist(s.c1, s.c2) + math.dist(s.c2, s.end)
            t = np.linspace(0.0, 1.0, max(20, math.ceil(length / step)))[:, None]
            p0, p1, p2, p3 = (np.array(p) for p in (s.start, s.c1, s.c2, s.end))
            found.append((1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3)
    return np.concatenate(found)


def closed(path):
    """The path as a ring of points, 1e-5 mm from it at most."""
    return np.concatenate([[path.start], path.flatten(1e-5), [path.start]])


def away(points, *lines):
    """The distance of each point from the nearest of ``lines``, mm."""
    edges = [shapely.linestrings(np.stack([line[:-1], line[1:]], axis=1)) for line in map(np.asarray, lines)]
    tree = shapely.STRtree(np.concatenate(edges))
    return tree.query_nearest(shapely.points(points), return_distance=True, all_matches=False)[1]


def distance(points, path):
    """The greatest distance from ``points`` to ``path``, mm: itself to less than 1e-5."""
    return float(away(points, closed(path)).max())


def apart(a, b):
    """Both ways: how far two closed paths run from each other, mm."""
    return max(distance(samples(a), b), distance(samples(b), a))


def rounded(width, height, radii):
    """A rectangle about the origin with a rounded corner each."""
    x, y = width / 2, height / 2
    segments, corners = [], [(x, y, 0), (-x, y, 90), (-x, -y, 180), (x, -y, 270)]
    for (cx, cy, turn), r in zip(corners, radii, strict=True):
        a, b = math.radians(turn), math.radians(turn + 90)
        c = (cx - math.copysign(r, cx), cy - math.copysign(r, cy))
        start, end = ((c[0] + r * math.cos(t), c[1] + r * math.sin(t)) for t in (a, b))
        segments.append(Arc(start, end, c))
    joined = []
    for n, arc in enumerate(segments):
        after = segments[(n + 1) % 4]
        joined += [arc, Line(arc.end, after.start)]
    return Region(Path(tuple(joined)))


def scalloped(count, radius, bulge):
    """Arcs that meet in points, on a circle."""
    at = [math.tau * n / count for n in range(count)]
    points = [(radius * math.cos(a), radius * math.sin(a)) for a in at]
    arcs = []
    for p, q in zip(points, points[1:] + points[:1], strict=True):
        half = math.dist(p, q) / 2
        r = half * bulge
        back = math.sqrt(r * r - half * half)
        m = ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2)
        size = math.hypot(*m)
        arcs.append(Arc(p, q, (m[0] - back * m[0] / size, m[1] - back * m[1] / size)))
    return Region(Path(tuple(arcs)))


def flowing(xs):
    """A blob of cubics that flow into each other."""
    n = len(xs)
    points = [(x * math.cos(math.tau * k / n), x * math.sin(math.tau * k / n)) for k, x in enumerate(xs)]
    segments = []
    for k in range(n):
        p, q = points[k], points[(k + 1) % n]
        before, after = points[k - 1], points[(k + 2) % n]
        c1 = (p[0] + (q[0] - before[0]) / 6, p[1] + (q[1] - before[1]) / 6)
        c2 = (q[0] - (after[0] - p[0]) / 6, q[1] - (after[1] - p[1]) / 6)
        segments.append(Cubic(p, c1, c2, q))
    return Region(Path(tuple(segments)))


def lengths(low, high):
    return st.floats(low, high).map(lambda v: round(v, 3))


ROUNDED = st.builds(rounded, lengths(20, 90), lengths(20, 90), st.tuples(*[lengths(0.3, 9.5)] * 4))
SCALLOPED = st.builds(scalloped, st.integers(5, 14), lengths(10, 60), lengths(1.05, 4.0))
FLOWING = st.builds(flowing, st.lists(lengths(12, 40), min_size=4, max_size=9))


@FEW
@given(st.one_of(ROUNDED, SCALLOPED, FLOWING))
def test_an_outline_comes_back_within_the_whole_budget_of_its_source(region):
    path = borders(region.flat, [Parallel(region)]).outline
    assert apart(path, region.outline) <= BUDGET


@FEW
@given(st.one_of(ROUNDED, SCALLOPED))
def test_what_is_made_of_lines_and_arcs_comes_back_exactly(region):
    path = borders(region.flat, [Parallel(region)]).outline
    assert len(path.segments) <= len(region.outline.segments) + 1
    assert apart(path, region.outline) <= 2e-5


@FEW
@given(ROUNDED, st.sampled_from([0.15, -0.2]))
def test_a_parallel_outline_is_the_parallel_of_its_lines_and_arcs(region, distance):
    source = Parallel(region, distance)
    (shape,) = pieces(grown(region.flat, distance))
    path = borders(tidy(shape), [source]).outline
    flown = samples(path)
    exact = away(flown, closed(region.outline))
    assert np.abs(exact - abs(distance)).max() <= BUDGET


@FEW
@given(st.one_of(ROUNDED, SCALLOPED, FLOWING))
def test_without_a_known_source_the_polygon_is_kept_to_both_ways(region):
    ring = region.outline.flattened
    path = fitted(ring)
    polygon = Path(tuple(Line(tuple(p), tuple(q)) for p, q in zip(ring, np.roll(ring, -1, 0), strict=True)))
    assert apart(path, polygon) <= FIT + 1e-5
    assert apart(path, region.outline) <= BUDGET


SLOT = st.tuples(lengths(0, 360), lengths(0.6, 3.0), lengths(1.0, 4.0))


def slotted(region, slots):
    """The region with slots cut in from its border, and the slots themselves."""
    shape, cutters = region.flat, []
    for degrees, width, depth in slots:
        x0, y0, x1, y1 = shape.bounds
        reach = math.hypot(x1 - x0, y1 - y0)
        ray = shapely.linestrings(
            [(0, 0), (reach * math.cos(math.radians(degrees)), reach * math.sin(math.radians(degrees)))]
        )
        met = shapely.length(shapely.intersection(ray, region.flat))
        cutter = rectangle(met - depth, -width / 2, met + 3.0, width / 2)
        cutters.append(shapely.affinity.rotate(cutter, degrees, origin=(0, 0)))
    return pieces(minus(shape, shapely.union_all(cutters))), cutters


@FEW
@given(st.one_of(ROUNDED, SCALLOPED, FLOWING), st.lists(SLOT, min_size=1, max_size=4))
def test_slots_stay_exact_and_the_rest_keeps_to_its_source(region, slots):
    shapes, cutters = slotted(region, slots)
    edges = shapely.union_all([shapely.boundary(c) for c in cutters])
    edges_of = [np.asarray(c.exterior.coords) for c in cutters]
    for drawn in shapes:
        shape = tidy(drawn)
        path = borders(shape, [Parallel(region)]).outline
        # Every point of the path lies on the source or on a cutter's edge …
        assert away(samples(path), closed(region.outline), *edges_of).max() <= BUDGET
        # … and the polygon, which leaves both by 0.002 mm at most, has no stretch that the path misses.
        assert distance(np.asarray(shape.exterior.coords), path) <= BUDGET
        assert shapely.polygons(path.flatten()).is_valid
        # Edges of slots are lines, and lie on the cutters' edges exactly.
        for s in path:
            middle = shapely.points((s.start[0] + s.end[0]) / 2, (s.start[1] + s.end[1]) / 2)
            if isinstance(s, Line) and math.dist(s.start, s.end) > 0.5:
                on_cut = shapely.distance(middle, edges)
                on_edge = shapely.distance(middle, shapely.boundary(shape))
                assert min(on_cut, on_edge) < 1e-9


@FEW
@given(lengths(0.5, 200.0), lengths(-50, 50), lengths(0, 360))
def test_a_circle_comes_back_as_two_arcs_whether_its_source_is_known_or_not(radius, x, degrees):
    region = disc(radius, (x, 7.0))
    turned = shapely.affinity.rotate(region.flat, degrees, origin=(x, 7.0))
    for sources in ([Parallel(region)], []):
        path = borders(turned, sources).outline
        assert [type(s) for s in path] == [Arc, Arc]
        assert apart(path, region.outline) <= (2e-5 if sources else BUDGET)


def test_round_shapes_need_a_tenth_of_their_flattened_points():
    for region, sources in (
        (disc(50.0), []),
        (scalloped(12, 50.0, 1.1), []),
        (scalloped(12, 50.0, 1.1), None),
        (rounded(80, 60, (9, 9, 9, 9)), []),
        (Region(circle(60.0), (circle(20.0),)), []),
    ):
        made = borders(region.flat, [Parallel(region)] if sources is None else sources)
        before = sum(len(p.flattened) for p in (region.outline, *region.openings))
        after = sum(len(p.segments) for p in (made.outline, *made.openings))
        assert after <= before / 10


@FEW
@given(st.lists(st.tuples(lengths(-30, 30), lengths(-30, 30)), min_size=3, max_size=12, unique=True))
def test_any_ring_at_all_gives_a_closed_path_near_it(points):
    hull = shapely.convex_hull(shapely.multipoints(points))
    if hull.geom_type != "Polygon":
        return
    ring = np.asarray(hull.exterior.coords)[:-1]
    path = fitted(ring)
    for s, after in zip(path.segments, path.segments[1:] + path.segments[:1], strict=True):
        assert s.end == after.start
    assert distance(ring, path) <= FIT
    assert (
        shapely.hausdorff_distance(shapely.linearrings(path.flatten()), hull.exterior, densify=0.2)
        <= FIT + FLATTEN
    )


@FEW
@given(lengths(5, 60), lengths(5, 60))
def test_right_angles_stay_as_they_are(width, height):
    shape = minus(box(0, 0, width, height).flat, rectangle(1, -1, 2.3456789, 3.1415926))
    path = borders(tidy(pieces(shape)[0])).outline
    assert all(isinstance(s, Line) for s in path)
    corners = {s.start for s in path}
    assert (2.3456789, 3.1415926) in corners and (width, height) in corners
