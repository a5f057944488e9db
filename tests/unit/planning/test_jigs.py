"""A jig is offered where joints leave a part free to lean or to slip, and nowhere else."""

import numpy as np
import pytest

from laminature import front
from laminature.drawings.jigs import jig_drawings, jig_shape
from laminature.geometry.flat import Flat, grown, minus, overlap_area
from laminature.model.jig import Corner, Place
from laminature.pipeline.reading import guide_words
from laminature.planning.jigs import ROOM, WEB, jigs

from ...planned import EXAMPLES, built


def of(name):
    b = built(name)
    return jigs(b.assembly, b.piece, b.joints, b.layers)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_part_whose_joints_lie_on_one_line_gets_a_corner_at_their_angle(name):
    b = built(name)
    known = {j.name: j for j in b.joints}
    wanted = {n for jig in of(name) if isinstance(jig, Corner) for n in jig.steps}
    assert wanted
    for step in b.assembly.steps:
        lines = {tuple(np.round(np.abs(known[n].contact.along), 3)) for n in step.joints if n in known}
        if len(lines) > 1:
            assert step.number not in wanted


def test_the_angle_is_that_between_the_two_parts_as_they_stand():
    b = built("slat-chair")
    (jig,) = of("slat-chair")
    back, seat = (b.piece.part(n).pose.z for n in ("back", "seat"))
    between = np.degrees(np.arccos(abs(np.dot(back, seat))))
    assert between != pytest.approx(90.0)
    assert jig.angle in (pytest.approx(between, abs=0.01), pytest.approx(180.0 - between, abs=0.01))


def test_a_corner_has_its_angle_and_leaves_room_for_glue():
    shape = jig_shape(Corner(1, 97.0, (20.0, 30.0), (4,)))
    start, end_of_first, end_of_second, other = np.asarray(shape.exterior.coords)[:4]
    first, second = end_of_first - start, end_of_second - other
    cosine = first @ second / np.linalg.norm(first) / np.linalg.norm(second)
    assert np.degrees(np.arccos(cosine)) == pytest.approx(97.0)
    assert min(np.linalg.norm(start), np.linalg.norm(other)) == pytest.approx(3.0)


def test_a_ring_on_a_lid_is_laid_into_a_mask_as_large_as_the_lid():
    b = built("tide-chest")
    place = next(jig for jig in of("tide-chest") if isinstance(jig, Place))
    assert (place.part, place.onto) == ("lid-ring", "lid")
    lid, ring = b.piece.part("lid"), b.piece.part("lid-ring")
    corners = ring.pose.to_piece(np.column_stack([ring.outline.outline.flattened, np.zeros(4)]))
    local = lid.pose.to_part(corners)[:, :2]
    # The ring comes from below: the mask is seen from there, mirrored.
    seen = Flat(local * np.array([-1.0, 1.0]))
    assert overlap_area(place.shape, seen) < 1e-6
    opening = Flat(place.shape.interiors[0])
    assert minus(opening, grown(seen, ROOM + 1e-6)).area < 1e-6
    assert grown(place.shape, -WEB / 2.0).area > 0.0


def test_a_part_too_near_the_border_gets_no_mask():
    b = built("window-seat")
    assert not [jig for jig in of("window-seat") if isinstance(jig, Place)]
    frame, seat = (b.piece.part(n).outline.bounds for n in ("frame", "seat"))
    assert max(frame) + WEB > max(seat)


@pytest.mark.parametrize("language", ["british", "american"])
def test_every_jig_is_drawn_at_true_size_with_what_it_is_for(language):
    for jig in of("tide-chest"):
        drawing = jig_drawings([jig], guide_words(language))[0]
        points = np.concatenate([s.path.flattened for s in drawing.strokes])
        x0, y0, x1, y1 = jig_shape(jig).bounds
        assert np.ptp(points, axis=0) == pytest.approx((x1 - x0, y1 - y0), abs=1e-6)
        assert f"Jig {jig.number}" in drawing.texts[0].text


def test_the_guide_sends_to_the_jig_where_it_is_wanted():
    from laminature.pipeline.guide import guide_of

    guide = guide_of(front.build(front.read("examples/slat-chair.toml")))
    assert "jig 1" in guide.steps[3].words.lower()
    assert not any("jig" in step.words.lower() for step in guide.steps[:3])
