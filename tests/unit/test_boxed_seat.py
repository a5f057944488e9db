"""The boxed seat: sizes as asked, panels that meet as intended, and what is refused."""

import numpy as np
import pytest

from laminature.errors import FormError
from laminature.forms.boxed_seat import FORM
from laminature.model.design import CushionSpec
from laminature.model.stack import thickness
from laminature.upholstery.envelope import envelope

from ..formed import BOARD, extent, whole, workshop

T = 4 * 0.5588


def with_cushion(**more):
    return workshop(cushions={"seat": envelope(CushionSpec(), thickness(BOARD, 2))}, **more)


def make(cushion=True, **values):
    return FORM.make(values, with_cushion() if cushion else workshop())


def test_outer_sizes_are_as_asked_and_the_cushion_tops_out_at_the_sitting_height():
    piece = make(width=100.0, depth=40.0, height=38.0)
    assert whole(piece)[:2] == pytest.approx([100.0, 40.0], abs=1e-9)
    seat_top = extent(piece.part("seat"))[1][2]
    assert seat_top + piece.cushions[0].envelope.height == pytest.approx(38.0)
    assert whole(piece) == pytest.approx(piece.size)


@pytest.mark.parametrize("frame", ["ring", "rails", "none"])
def test_without_a_cushion_the_whole_is_as_high_as_asked(frame):
    piece = make(cushion=False, height=38.0, frame=frame)
    assert whole(piece)[2] == pytest.approx(38.0, abs=1e-9)
    assert piece.size[2] == pytest.approx(38.0)
    assert piece.cushions == ()


def test_all_four_panels_touch_the_seat_from_below_more_than_a_thickness_from_its_edge():
    piece = make()
    (x0, y0, under), (x1, y1, _) = extent(piece.part("seat"))
    for name in ("long-front", "long-back", "short-left", "short-right"):
        low, high = extent(piece.part(name))
        assert high[2] == pytest.approx(under, abs=1e-9)
        assert low[2] == 0.0
        assert min(low[0] - x0, low[1] - y0, x1 - high[0], y1 - high[1]) > T


@pytest.mark.parametrize("corners", ["rebate", "fingers"])
def test_long_panels_run_to_the_corner_and_short_ones_end_on_their_inner_faces(corners):
    piece = make(corners=corners)
    front, back = extent(piece.part("long-front")), extent(piece.part("long-back"))
    for name in ("short-left", "short-right"):
        low, high = extent(piece.part(name))
        assert low[1] == pytest.approx(front[1][1], abs=1e-9)
        assert high[1] == pytest.approx(back[0][1], abs=1e-9)
    assert extent(piece.part("short-left"))[0][0] == pytest.approx(front[0][0], abs=1e-9)
    assert extent(piece.part("short-right"))[1][0] == pytest.approx(front[1][0], abs=1e-9)
    assert any(r.kind == corners and r.parts == ("long-*", "short-*") for r in piece.rules)


def test_housed_panels_stand_in_from_the_ends():
    piece = make(corners="housing", set_in=5.0)
    ends = extent(piece.part("long-front"))
    assert extent(piece.part("short-left"))[0][0] - ends[0][0] == pytest.approx(5.0)
    assert ends[1][0] - extent(piece.part("short-right"))[1][0] == pytest.approx(5.0)


def test_outer_faces_are_upper_faces_and_the_seat_shows_only_its_top():
    piece = make()
    for name, way in (("long-front", (0, -1, 0)), ("short-right", (1, 0, 0))):
        part = piece.part(name)
        assert part.pose.z == pytest.approx(way)
        assert part.show == {"upper"}
    assert piece.part("seat").show == {"upper"}


@pytest.mark.parametrize("through", [False, True])
def test_joints_into_the_seat_are_blind_unless_asked_through(through):
    piece = make(through=through)
    assert [r.through for r in piece.rules if r.kind == "tabs"] == [through, through]


def test_the_frame_opens_for_panel_cloth_and_clearance():
    piece = make(frame_width=5.0)
    (opening,) = piece.part("frame").outline.openings
    inner = np.ptp(opening.flattened, axis=0)
    cushion = piece.cushions[0]
    around = 2 * (cushion.envelope.side + cushion.envelope.clearance)
    assert inner == pytest.approx([48 * 25.4 / 12 - 10.0, 18 * 25.4 / 12 - 10.0])
    x0, y0, x1, y1 = cushion.outline.bounds
    assert inner - around == pytest.approx([x1 - x0, y1 - y0])
    assert cushion.rim == piece.part("frame").thickness


def test_the_frame_is_half_as_high_as_the_cushion_and_glued_on_the_seat():
    piece = make()
    frame = piece.part("frame")
    assert frame.stack.count == 5  # 5.7176 / 2 = 2.86 mm: 5 layers are 2.79
    assert extent(frame)[0][2] == pytest.approx(extent(piece.part("seat"))[1][2])
    assert any(r.kind == "glue" and r.parts == ("seat", "frame*") for r in piece.rules)


def test_four_rails_leave_the_opening_of_the_ring_and_do_not_overlap():
    ring, rails = make(frame="ring"), make(frame="rails")
    assert rails.cushions == ring.cushions
    area = sum(p.outline.flat.area for p in rails.parts if p.name.startswith("frame-"))
    assert area == pytest.approx(ring.part("frame").outline.flat.area)
    assert whole(rails) == pytest.approx(whole(ring))


@pytest.mark.parametrize(
    ("parameter", "values"),
    [
        ("overhang", {"overhang": 1.0}),
        ("set_in", {"corners": "housing", "set_in": 1.0}),
        ("foot", {"foot": 3.0}),
        ("foot", {"foot": 20.0}),
        ("rise", {"rise": 28.0}),
        ("height", {"height": 14.0}),
        ("depth", {"depth": 17.0, "frame_width": 2.0}),
        ("frame_width", {"frame_width": 18.0}),
        ("frame_width", {"frame_width": 1.0}),
        ("frame_height", {"frame_height": 6.0}),
        ("frame_height", {"frame": "none", "frame_height": 3.0}),
        ("panel_layers", {"corners": "housing", "panel_layers": 1}),
        ("apron", {"apron": "wavy"}),
    ],
)
def test_impossible_sizes_are_refused_with_a_remedy(parameter, values):
    with pytest.raises(FormError) as caught:
        make(**values)
    assert caught.value.parameter == parameter
    assert caught.value.remedy


def test_a_laser_may_cut_a_narrower_frame_than_a_knife():
    assert FORM.make({"frame_width": 1.2}, with_cushion(cutter="laser")).part("frame")
    with pytest.raises(FormError, match="narrower"):
        make(frame_width=1.2)
