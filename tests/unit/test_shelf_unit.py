"""The shelf unit: sizes as asked, crossings, housings, back and plinth, and what is refused."""

import itertools

import pytest

from laminature.errors import FormError
from laminature.forms.shelf_unit import FORM

from ..formed import extent, whole, workshop

T = 4 * 0.5588


def make(**values):
    return FORM.make(values, workshop())


@pytest.mark.parametrize("top", ["between", "over"])
@pytest.mark.parametrize("back", ["glued", "rebated", "none"])
def test_outer_sizes_are_as_asked(top, back):
    piece = make(width=76.0, height=90.0, depth=30.0, top=top, back=back, dividers=2)
    assert whole(piece) == pytest.approx([76.0, 30.0, 90.0], abs=1e-9)
    assert piece.size == (76.0, 30.0, 90.0)


def test_shelves_and_dividers_pass_right_through_each_other():
    piece = make(shelves=2, dividers=1)
    divider = extent(piece.part("divider-1"))
    for name in ("shelf-1", "shelf-2"):
        shelf = extent(piece.part(name))
        assert divider[0][2] < shelf[0][2] and shelf[1][2] < divider[1][2]
        assert shelf[0][0] < divider[0][0] and divider[1][0] < shelf[1][0]
        assert shelf[0][1] == pytest.approx(divider[0][1])
        assert shelf[1][1] == pytest.approx(divider[1][1])
    assert any(r.kind == "halving" for r in piece.rules)


def test_every_gap_between_shelves_and_between_dividers_is_the_same():
    piece = make(shelves=3, dividers=2)
    levels = [extent(piece.part(n)) for n in ("bottom", "shelf-1", "shelf-2", "shelf-3", "top")]
    rises = [b[0][2] - a[1][2] for a, b in itertools.pairwise(levels)]
    assert rises == pytest.approx([rises[0]] * 4)
    walls = [extent(piece.part(n)) for n in ("side-left", "divider-1", "divider-2", "side-right")]
    bays = [b[0][0] - a[1][0] for a, b in itertools.pairwise(walls)]
    assert bays == pytest.approx([bays[0]] * 3)


def test_shelves_touch_the_inner_faces_of_the_sides():
    piece = make()
    shelf = extent(piece.part("shelf-1"))
    assert shelf[0][0] == pytest.approx(extent(piece.part("side-left"))[1][0], abs=1e-9)
    assert shelf[1][0] == pytest.approx(extent(piece.part("side-right"))[0][0], abs=1e-9)


@pytest.mark.parametrize("stopped", ["none", "front", "back", "both"])
def test_housings_are_half_as_deep_as_the_sides_and_stopped_as_asked(stopped):
    piece = make(stopped=stopped, back="none")
    (rule,) = [r for r in piece.rules if r.parts == ("side-*", "shelf-*")]
    assert (rule.kind, rule.depth, rule.stopped) == ("housing", 2, stopped)


@pytest.mark.parametrize(("layers", "stopped"), [(2, "both"), (3, "front")])
def test_housings_also_stop_before_a_back_thinner_than_the_narrowest_web(layers, stopped):
    # 2 layers are 1.12 mm, 3 are 1.68 mm; the board wants webs of 1.5 mm
    piece = make(stopped="front", back_layers=layers)
    (rule,) = [r for r in piece.rules if r.parts == ("side-*", "shelf-*")]
    assert rule.stopped == stopped


def test_no_shelves_and_no_dividers_leave_a_plain_case():
    names = {p.name for p in make(shelves=0, dividers=0).parts}
    assert names == {"side-left", "side-right", "bottom", "top", "back", "plinth"}


def test_the_back_is_let_in_flush_and_everything_within_ends_on_it():
    piece = make(dividers=1)
    low, high = extent(piece.part("back"))
    assert high[1] == pytest.approx(extent(piece.part("side-left"))[1][1])
    assert low[2] == pytest.approx(extent(piece.part("bottom"))[1][2])
    assert high[2] == pytest.approx(extent(piece.part("top"))[0][2])
    for name in ("shelf-1", "divider-1"):
        assert extent(piece.part(name))[1][1] == pytest.approx(low[1])


def test_without_a_plinth_the_bottom_is_on_the_floor_and_meets_the_sides_as_a_corner():
    piece = make(plinth=0.0, corners="fingers")
    assert extent(piece.part("bottom"))[0][2] == 0.0
    assert "plinth" not in {p.name for p in piece.parts}
    assert any(r.parts == ("side-*", "bottom") and r.kind == "fingers" for r in piece.rules)


def test_a_top_that_lies_over_rests_on_the_sides_and_runs_past_them():
    piece = make(top="over", overhang=3.0)
    top, side = extent(piece.part("top")), extent(piece.part("side-left"))
    assert top[0][2] == pytest.approx(side[1][2])
    assert side[0][0] - top[0][0] == pytest.approx(3.0)
    assert side[0][1] - top[0][1] == pytest.approx(3.0)
    assert side[1][1] == pytest.approx(top[1][1])


@pytest.mark.parametrize(
    ("parameter", "values"),
    [
        ("shelves", {"shelves": 24}),
        ("dividers", {"dividers": 20}),
        ("height", {"shelves": 0, "height": 15.0, "plinth": 8.0}),
        ("plinth", {"plinth": 1.0}),
        ("plinth_set_back", {"plinth_set_back": 1.0}),
        ("plinth_set_back", {"plinth_set_back": 20.0}),
        ("overhang", {"top": "over", "overhang": 1.0}),
        ("depth", {"depth": 8.0}),
        ("board_layers", {"board_layers": 1}),
        ("back", {"board_layers": 1, "back": "rebated"}),
        ("shelves", {"shelves": 1.5}),
    ],
)
def test_impossible_sizes_are_refused(parameter, values):
    with pytest.raises(FormError) as caught:
        make(**values)
    assert caught.value.parameter == parameter
