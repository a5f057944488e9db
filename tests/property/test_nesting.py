"""Whatever the shapes: every piece lies once on a sheet, apart from the others, inside the margin.

The checks here are written out once more with plain distances, apart from the project's own check.
"""

import math
from collections import Counter
from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from laminature.geometry.flat import flat
from laminature.model.board import Board
from laminature.model.layer import Layer
from laminature.model.offcut import Offcut
from laminature.sheets.check import placed
from laminature.sheets.nesting import lay_out

sizes = st.floats(0.4, 70.0, allow_nan=False).map(lambda v: round(v, 3))
rules = st.sampled_from(["alike", "along", "crossed", "free"])


@st.composite
def outlines(draw):
    """Rectangles, stars with any number of corners, and frames with an opening."""
    kind = draw(st.sampled_from(["rectangle", "star", "frame"]))
    x, y = draw(st.floats(-50.0, 50.0)), draw(st.floats(-50.0, 50.0))
    if kind == "star":
        count = draw(st.integers(3, 12))
        radii = draw(st.lists(st.floats(2.0, 30.0), min_size=count, max_size=count))
        turn = draw(st.floats(0.0, 360.0))
        at = [math.radians(turn + 360.0 * k / count) for k in range(count)]
        return flat([(x + r * math.cos(a), y + r * math.sin(a)) for r, a in zip(radii, at, strict=True)])
    w, h = draw(sizes), draw(sizes)
    openings = []
    if kind == "frame" and min(w, h) > 3.0:
        rim = draw(st.floats(0.5, min(w, h) / 2.0 - 0.5))
        openings = [
            [(x + rim, y + rim), (x + w - rim, y + rim), (x + w - rim, y + h - rim), (x + rim, y + h - rim)]
        ]
    return flat([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], openings)


@st.composite
def kits(draw):
    """Parts of one to four layers each, on one of two boards."""
    layers = []
    for k in range(draw(st.integers(1, 6))):
        rule, board = draw(rules), draw(st.sampled_from(["card", "thin"]))
        shape = draw(outlines())
        for index in range(1, draw(st.integers(1, 4)) + 1):
            cut = (shape,) if draw(st.booleans()) else (draw(outlines()),)
            mirrored = draw(st.booleans())
            layers.append(Layer(f"p{k}", "ABCDEF"[k], index, board, 0.0, 0.5, cut, cut, rule, None, mirrored))
    return layers


@st.composite
def boards(draw):
    sides = st.floats(40.0, 160.0)
    grains = st.sampled_from(["x", "y", "none"])
    return {n: Board(n, n, 0.5, draw(sides), draw(sides), draw(grains)) for n in ("card", "thin")}


@given(kits(), boards(), st.sampled_from([0.0, 0.02, 0.5, 1.5, 6.0]), st.sampled_from([0.0, 3.0, 5.0, 18.0]))
def test_every_piece_lies_once_apart_from_the_others_and_inside_the_margin(layers, boards, spacing, margin):
    sheets, findings = lay_out(layers, boards, spacing, margin)

    assert {f.code for f in findings} <= {"part-too-large"}
    times = Counter((p.part, p.layer) for s in sheets for p in s.placements)
    too_large = {f.part for f in findings}
    by_key = {(x.part, x.index): x for x in layers}
    assert all(n == 1 for n in times.values())
    assert {part for part, _ in by_key.keys() - times.keys()} == too_large

    assert [s.name for s in sheets] == [f"sheet-{k + 1}" for k in range(len(sheets))]
    for sheet in sheets:
        assert sheet.placements
        flats = []
        for p in sheet.placements:
            layer = by_key[p.part, p.layer]
            assert layer.board == sheet.board
            assert layer.mirrored == p.mirrored
            shape = placed(layer, p)
            assert math.isclose(shape.area, layer.cut[0].area, rel_tol=1e-9)
            x0, y0, x1, y1 = shape.bounds
            assert min(x0, y0) >= margin - 1e-6
            assert x1 <= sheet.width - margin + 1e-6
            assert y1 <= sheet.height - margin + 1e-6
            flats.append(shape)
        for a, b in combinations(flats, 2):
            assert a.distance(b) >= spacing - 1e-6
            assert a.intersection(b).area < 1e-5


@st.composite
def offcuts(draw):
    """Up to three offcuts: rectangles and stars, their lower left bounds at the origin."""
    made = []
    for k in range(draw(st.integers(1, 3))):
        shape = draw(outlines())
        x0, y0, _, _ = shape.bounds
        scale = draw(st.floats(1.0, 3.0))
        rings = [
            [((x - x0) * scale, (y - y0) * scale) for x, y in r.coords]
            for r in (shape.exterior, *shape.interiors)
        ]
        board, grain = draw(st.sampled_from(["card", "thin"])), draw(st.sampled_from(["x", "y", "none"]))
        made.append(Offcut(f"O{k}", board, flat(rings[0], rings[1:]), grain))
    return made


@given(kits(), boards(), offcuts(), st.sampled_from([0.0, 0.5, 1.5]), st.sampled_from([0.0, 0.2, 3.0]))
def test_whatever_the_offcuts_shapes_stay_inside_them_by_the_margin(layers, boards, offcuts, spacing, margin):
    sheets, findings = lay_out(layers, boards, spacing, margin, offcuts=offcuts)

    assert {f.code for f in findings} <= {"part-too-large"}
    by_name = {o.name: o for o in offcuts}
    by_key = {(x.part, x.index): x for x in layers}
    used = [s.offcut for s in sheets if s.offcut]
    assert len(used) == len(set(used))
    for sheet in (s for s in sheets if s.offcut):
        piece = by_name[sheet.offcut]
        assert (sheet.board, sheet.grain, sheet.outline) == (piece.board, piece.grain, piece.outline)
        assert sheet.placements
        flats = [placed(by_key[p.part, p.layer], p) for p in sheet.placements]
        for shape in flats:
            assert shape.difference(piece.outline).area < 1e-5
            assert shape.distance(piece.outline.boundary) >= margin - 2e-6
        for a, b in combinations(flats, 2):
            assert a.distance(b) >= spacing - 1e-6
            assert a.intersection(b).area < 1e-5


@given(kits(), boards())
def test_the_layers_of_a_part_agree_about_the_grain(layers, boards):
    sheets, _ = lay_out(layers, boards, 1.0, 2.0)
    count = Counter(x.part for x in layers)
    rule = {x.part: x.grain for x in layers}
    lies = {}
    for sheet in sheets:
        grain = boards[sheet.board].grain
        if grain == "none":
            continue
        for p in sheet.placements:
            crossing = rule[p.part] == "crossed" and min(p.layer - 1, count[p.part] - p.layer) % 2 == 1
            to_grain = p.turn - (90.0 if grain == "y" else 0.0) - (90.0 if crossing else 0.0)
            lies.setdefault(p.part, set()).add(to_grain % 180.0)
    for part, ways in lies.items():
        if rule[part] in ("alike", "crossed"):
            assert len(ways) == 1
            assert ways <= {0.0, 90.0}
