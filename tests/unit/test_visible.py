"""Hidden lines: lengths worked out by hand, in views where they can be."""

import math

import numpy as np
import pytest

from laminature.drawings.bodies import Body
from laminature.drawings.hidden import see
from laminature.drawings.looking import FROM_LEFT, FROM_RIGHT, FRONT, ISOMETRIC, PLAN, looking
from laminature.geometry.flat import rectangle
from laminature.geometry.linework import joined
from laminature.geometry.outer import outer
from laminature.geometry.pose import Pose, turned
from laminature.geometry.region import disc
from laminature.geometry.solid import Slab
from laminature.geometry.thinning import thinned
from laminature.geometry.visible import Scene

SHORT = math.sqrt(2.0 / 3.0)


def block(x=0.0, y=0.0, z=0.0, size=(10.0, 10.0, 10.0), shape=None):
    slab = Slab((shape or rectangle(0, 0, size[0], size[1]),), 0.0, size[2])
    return Body("block", "A", outer((slab,)), Pose((x, y, z)))


def drawn(*bodies, view, **more):
    found = see(bodies, looking(*view), **more)
    return found, found.rims.length + found.edges.length


def test_a_cube_in_isometric_view_shows_nine_edges_and_hides_three():
    found, _ = drawn(block(), view=ISOMETRIC, hidden=True)
    # Six of the nine are its outline. All three axes are shortened by √(2/3) (ISO 5456-3).
    assert found.rims.length == pytest.approx(6 * 10 * SHORT, abs=0.01)
    assert found.edges.length == pytest.approx(3 * 10 * SHORT, abs=0.01)
    assert found.hidden.length == pytest.approx(3 * 10 * SHORT, abs=0.01)


def test_a_cube_shows_three_faces_of_equal_size_in_isometric_view():
    found, _ = drawn(block(), view=ISOMETRIC)
    assert [p.area.area for p in found.patches] == pytest.approx([100 / math.sqrt(3)] * 3, abs=0.03)
    assert sorted(p.shade for p in found.patches) == [0, 1, 2]


def test_of_a_cube_behind_another_what_stands_out_is_seen():
    rear = block(5.0, 20.0, 5.0)
    found, all_seen = drawn(block(), rear, view=FRONT, hidden=True)
    # The front square whole; of the rear one's left and lower sides half, its others whole.
    assert all_seen == pytest.approx(40 + 10 + 10 + 5 + 5)
    assert found.hidden.length == pytest.approx(5 + 5)
    assert sum(p.area.area for p in found.patches) == pytest.approx(100 + 75)


def test_what_lies_on_a_face_is_seen_and_what_lies_under_it_is_not():
    plate, lid = block(size=(20, 20, 1)), block(5, 5, 1)
    _, together = drawn(plate, lid, view=PLAN)
    assert together == pytest.approx(80 + 40)
    _, under = drawn(plate, block(5, 5, -10), view=PLAN)
    assert under == pytest.approx(80)


def test_blocks_side_by_side_have_one_seam():
    _, length = drawn(block(), block(10.0), view=FRONT)
    assert length == pytest.approx(2 * (20 + 10) + 10)


def test_a_bar_through_a_frame_is_hidden_within_it():
    frame = block(size=(20, 20, 4), shape=rectangle(0, 0, 20, 20).difference(rectangle(5, 5, 15, 15)))
    bar = block(8, 8, -20, size=(4, 4, 60))
    _, length = drawn(frame, bar, view=PLAN)
    assert length == pytest.approx(80 + 40 + 16)
    # From the front the frame is a strip of 20 × 4 across the bar.
    _, length = drawn(frame, bar, view=FRONT)
    assert length == pytest.approx(2 * 24 + 2 * (60 - 4) + 2 * 4)


def test_a_round_post_has_two_upright_outlines():
    _, length = drawn(block(shape=disc(5.0).flat), view=FRONT)
    assert length == pytest.approx(2 * (10 + 10), rel=2e-3)


def test_layers_show_only_where_asked_for():
    slabs = tuple(Slab((rectangle(0, 0, 10, 10),), k, k + 1) for k in range(4))
    stack = Body("stack", "A", outer(slabs), Pose())
    plain, _ = drawn(stack, view=FRONT)
    assert plain.seams.is_empty
    layered, _ = drawn(stack, view=FRONT, seams=True)
    assert layered.seams.length == pytest.approx(3 * 10)


def test_a_way_through_a_block_is_seen_up_to_it():
    ways = np.array([[(-10.0, 5.0, 5.0), (20.0, 5.0, 5.0)]])
    found, _ = drawn(block(), view=FRONT, ways=ways)
    assert found.ways.length == pytest.approx(20)


@pytest.mark.parametrize(
    ("view", "size"), [(FRONT, (3, 7)), (FROM_LEFT, (5, 7)), (FROM_RIGHT, (5, 7)), (PLAN, (3, 5))]
)
def test_views_show_the_sides_they_say(view, size):
    found, length = drawn(block(size=(3, 5, 7)), view=view)
    assert length == pytest.approx(2 * sum(size))
    x0, y0, x1, y1 = found.rims.bounds
    assert (x1 - x0, y1 - y0) == pytest.approx(size)


def test_the_left_of_the_view_from_the_right_is_the_front():
    look = looking(*FROM_RIGHT)
    front, back = look.flat(np.array([[0.0, -5.0, 0.0], [0.0, 5.0, 0.0]]))
    assert front[0] < back[0]


@pytest.mark.parametrize("view", [(-34.0, 27.0), (12.0, -40.0), ISOMETRIC, FRONT])
def test_seen_and_hidden_are_all_of_an_edge(view):
    bodies = [
        block(),
        block(3, -4, 2),
        Body("b", "B", outer((Slab((disc(4.0).flat,), 0, 20),)), turned((1, 1, 0), 50)),
    ]
    scene = Scene([(b.skin, b.pose) for b in bodies], looking(*view))
    start = np.concatenate([b.pose.to_piece(b.skin.start) for b in bodies])
    end = np.concatenate([b.pose.to_piece(b.skin.end) for b in bodies])
    share = np.zeros(len(start))
    for hidden in (False, True):
        of, low, high = scene.stretches(start, end, hidden=hidden)
        np.add.at(share, of, high - low)
    long = np.linalg.norm(scene.view.flat(end) - scene.view.flat(start), axis=1) > 0.01
    np.testing.assert_allclose(share[long], 1.0, atol=0.03)


def lines(*rows):
    at = np.array(rows, dtype=float)
    return joined(at[:, 0], at[:, 1])


def test_of_two_lines_a_hair_apart_one_is_drawn():
    kept, rest = thinned([lines([(0, 0), (10, 0)]), lines([(2, 0.1), (12, 0.1)])], (0.3, 0.3))
    assert kept.length == pytest.approx(10)
    assert rest.length == pytest.approx(2)


def test_stubs_give_way_sooner_than_long_lines():
    rows = [lines([(0, 0), (10, 0)], [(2, 0.2), (9, 0.2)], [(3, -0.2), (4, -0.2)]), lines([(0, 5), (1, 5)])]
    assert thinned(rows, (0.1, 0.3))[0].length == pytest.approx(18)
    assert thinned(rows, (0.1, 0.3), short=2.0)[0].length == pytest.approx(17)


def test_lines_that_meet_or_cross_stay_whole():
    cross = lines([(0, 0), (10, 0)], [(5, -5), (5, 5)], [(0, 0), (0, 3)])
    assert thinned([cross], [0.5])[0].length == pytest.approx(23)


def test_coincident_lines_are_drawn_once():
    assert lines([(0, 0), (10, 0)], [(4, 0), (14, 0)], [(10, 0), (0, 0)]).length == pytest.approx(14)
