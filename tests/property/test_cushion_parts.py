"""Buttons, batting, panels and the order of sewing on any outline, at any size and scale."""

import itertools
import math

import numpy as np
from hypothesis import assume, event, given
from hypothesis import strategies as st

from laminature.geometry.flat import border_distances, holds_points
from laminature.geometry.region import disc, regular
from laminature.model.cushion import Buttoning
from laminature.model.design import CushionSpec
from laminature.upholstery.batting import make_batting
from laminature.upholstery.buttons import button_layout, margin, wanted_spacing
from laminature.upholstery.order import sewing_order, travel
from laminature.upholstery.panels import make_panels
from laminature.upholstery.stitching import make_stitching

from .cushions import outlines, scales, specs

#: Curves are flattened by 0.002 mm; a mirrored place may differ by what two of those make.
SAME = 0.02


def has(points, wanted):
    """Whether each wanted place has a button."""
    apart = np.hypot(*(np.array(wanted)[:, None, :] - np.array(points)[None, :, :]).transpose(2, 0, 1))
    return bool((apart.min(axis=1) < SAME).all())


def mirrored(shape, axis):
    """Whether the bounds' centre line mirrors the outline's points, and where it lies."""
    x0, y0, x1, y1 = shape.bounds
    return (x0 + x1 if axis == 0 else y0 + y1) / 2.0


@given(outlines(), specs(), scales)
def test_every_button_lies_inside_the_margin(outline, spec, scale):
    made, found = button_layout(outline, spec, scale)
    inset = margin(spec, outline.flat, wanted_spacing(spec, scale))
    event(f"{spec.pattern}: {'none' if not made.points else 'some'}")
    if made.points:
        assert border_distances(outline.flat, np.array(made.points)).min() >= inset - 0.007
    elif not made.seams:
        assert found[0].code in {"no-room-for-buttons", "button-spacing"}
    assert len(made.rings) == len(made.points)
    assert all(0 <= a < b < len(made.points) for a, b in made.links)
    assert len(set(made.links)) == len(made.links)


@given(outlines(), specs(), scales)
def test_the_layout_keeps_the_mirrors_of_the_outline(outline, spec, scale):
    made, _ = button_layout(outline, spec, scale)
    assume(made.points)
    for axis in (0, 1):
        line = mirrored(outline.flat, axis)
        image = outline.flat.exterior.coords[:-1]
        image = np.array(image)
        image[:, axis] = 2 * line - image[:, axis]
        same = outline.flat.symmetric_difference(type(outline.flat)(image)).area < 0.001 * outline.flat.length
        if not same:
            continue
        alternate = spec.pattern == "diamond" and (spec.rows or 1) % 2 == 0
        # An odd number of buttons once round is not the same at front and back.
        odd = spec.pattern == "concentric" and (spec.columns or 2) % 2 == 1
        if axis == 1 and (alternate or odd):
            continue
        event(f"mirrored about axis {axis}")
        wanted = np.array(made.points)
        wanted[:, axis] = 2 * line - wanted[:, axis]
        assert has(made.points, wanted)


@given(
    st.integers(3, 10),
    st.floats(20.0, 80.0),
    st.floats(0.0, 360.0),
    st.none() | st.tuples(st.floats(5.0, 20.0), st.floats(5.0, 20.0)),
)
def test_rings_keep_the_turns_of_a_regular_polygon(sides, size, turn, spacing):
    made, _ = button_layout(
        regular(sides, size, turn), CushionSpec(pattern="concentric", spacing=spacing), 12.0
    )
    c, s = math.cos(math.tau / sides), math.sin(math.tau / sides)
    assert has(made.points, np.array(made.points) @ np.array([[c, s], [-s, c]]))
    assert all(made.rings.count(r) % sides == 0 for r in range(1, max(made.rings) + 1))


@given(st.floats(8.0, 60.0), st.none() | st.tuples(st.floats(5.0, 20.0), st.floats(5.0, 20.0)))
def test_rings_on_a_circle_turn_onto_themselves(radius, spacing):
    made, _ = button_layout(disc(radius), CushionSpec(pattern="concentric", spacing=spacing), 12.0)
    assume(max(made.rings) > 0)
    first = made.rings.count(1)
    c, s = math.cos(math.tau / first), math.sin(math.tau / first)
    assert has(made.points, np.array(made.points) @ np.array([[c, s], [-s, c]]))


@given(outlines(), specs(patterns=("plain",)))
def test_layers_of_batting_nest(outline, spec):
    made, _ = make_batting(outline, spec.batting_layers, spec.batting_thickness, spec.swell)
    assert list(made.numbers) == sorted(made.numbers)
    assert made.crown == max(made.numbers, default=0) * spec.batting_thickness
    layers = {
        k: [r.flat for r, n in zip(made.outlines, made.numbers, strict=True) if n == k] for k in made.numbers
    }
    for flat in layers.get(1, []):
        assert flat.difference(outline.flat.buffer(0.01)).area < 1e-9
    for below, above in itertools.pairwise(sorted(layers)):
        assert above == below + 1
        for flat in layers[above]:
            holding = [b for b in layers[below] if b.contains(flat)]
            assert len(holding) == 1
            assert holding[0].area > flat.area


@given(
    st.lists(
        st.tuples(st.floats(-50, 50), st.floats(-50, 50), st.integers(0, 4)),
        min_size=1,
        max_size=24,
        unique_by=lambda p: (round(p[0], 3), round(p[1], 3)),
    )
)
def test_the_order_visits_each_once_and_never_goes_back_past_one_ring(stops):
    points = [(x, y) for x, y, _ in stops]
    rings = [r for _, _, r in stops]
    order = sewing_order(points, rings)
    assert sorted(order) == list(range(len(points)))
    walked = np.array([rings[k] for k in order])
    assert walked[0] == min(rings)
    assert (walked >= np.maximum.accumulate(walked) - 1).all()


@given(outlines(), specs(patterns=("diamond", "square", "row", "concentric")), scales)
def test_thread_serves_every_button_once(outline, spec, scale):
    layout, _ = button_layout(outline, spec, scale)
    assume(len(layout.points) <= 60)
    made = make_stitching(layout, 1.5, 6.0)
    ends = [0, *(end for _, end, _ in made.needlefuls)]
    assert [start for start, _, _ in made.needlefuls] == ends[:-1]
    assert ends[-1] == len(layout.points)
    assert made.travel == travel(layout.points, made.order)
    between = sum(
        math.dist(layout.points[made.order[k - 1]], layout.points[made.order[k]]) for k in ends[1:-1]
    )
    buttons = len(layout.points) * (2 * 6.0 + 10.0)
    tails = 240.0 * len(made.needlefuls)
    assert math.isclose(made.thread, buttons + tails + made.travel - between, abs_tol=1e-6)
    walked = np.array([layout.rings[k] for k in made.order], dtype=int)
    assert (walked >= np.maximum.accumulate(walked) - 1).all() if len(walked) else not layout.points


@given(outlines(), specs(), st.floats(1.2, 4.0), st.sampled_from([(2.0, 1.5), (1.0, 1.0), (0.8, 0.8)]))
def test_panels_are_cut_inside_their_outline(outline, spec, bead, board):
    layout, _ = button_layout(outline, spec, 12.0)
    assume(len(layout.points) <= 80)
    made, _ = make_panels(outline, layout, bead, *board)
    assert made.hole <= 0.6 * bead + 1e-9
    assert bool(made.guide.openings) != bool(made.pricked) or not (layout.points or layout.seams)
    # The rim is whole, and every knot that lies on the panel inside the rim has room.
    knots = made.pricked if layout.seams else layout.points
    deep = outline.flat.buffer(-board[1])
    for opening in made.relief.openings:
        hole = type(outline.flat)(opening.flattened)
        assert hole.difference(deep.buffer(0.02)).area < 1e-6
    if layout.points and not layout.seams:
        free = np.array(knots)[border_distances(outline.flat, np.array(knots)) > board[1] + 0.05]
        if len(free):
            assert not holds_points(made.relief.flat.buffer(-0.01), free).any()


@given(st.lists(st.tuples(st.floats(-20, 20), st.floats(-20, 20)), min_size=1, max_size=12))
def test_points_by_hand_are_kept_as_they_are(points):
    made, _ = button_layout(disc(40), CushionSpec(pattern="points", points=tuple(points)), 12.0)
    assert isinstance(made, Buttoning)
    assert made.points == tuple(points)
    assert min(made.rings) == 0
