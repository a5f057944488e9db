"""What holds for the cloth of every cushion: it covers, it is mirrored where the cushion is, it is smooth."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.geometry.flat import grown, holds_point
from laminature.geometry.region import Region, box, disc, regular, shape
from laminature.model.cushion import Buttoning
from laminature.upholstery.cloth import solve_cloth
from laminature.upholstery.heights import heights_at
from laminature.upholstery.mesh import cushion_mesh
from laminature.upholstery.outermost import ways_out
from laminature.upholstery.surface import solve_surface

from ..buttonings import PLAIN, channels, circle, diamonds, squares

FEW = settings(max_examples=25)


def ellipse(a: float, b: float) -> Region:
    # From the middle of a chord, so that the corners are mirrored both ways.
    turn = 2.0 * np.pi * (np.arange(96) + 0.5) / 96
    return shape(np.column_stack([a * np.cos(turn), b * np.sin(turn)]).tolist())


@st.composite
def outlines(draw, size):
    """An outline about the origin that holds a rectangle of half sides ``size``, and its mirror planes."""
    a, b = size
    kind = draw(st.sampled_from(["box", "disc", "hexagon", "ellipse", "taper", "bay"]))
    if kind == "box":
        return box(-a, -b, a, b), (True, True)
    if kind == "disc":
        return disc(math.hypot(a, b)), (True, True)
    if kind == "hexagon":
        return regular(6, 2.4 * math.hypot(a, b)), (True, True)
    if kind == "ellipse":
        return ellipse(a * math.sqrt(2.0) + 0.5, b * math.sqrt(2.0) + 0.5), (True, True)
    if kind == "taper":
        return shape([(-a - 3.0, -b), (a + 3.0, -b), (a, b), (-a, b)]), (True, False)
    # A bay in the back edge, as for the arms of a chair.
    points = [(-a, -b), (a, -b), (a, b + 6.0), (a - 3.0, b + 6.0), (a - 3.0, b)]
    return shape([*points, *((-x, y) for x, y in points[:1:-1])]), (True, False)


@st.composite
def cushions(draw):
    """An outline, its mirror planes, buttons within it, and how it is made."""
    across, up = draw(st.floats(6.0, 15.0)), draw(st.floats(6.0, 15.0))
    margin = draw(st.floats(2.5, 8.0))
    pattern = draw(st.sampled_from(["plain", "diamond", "square", "row", "concentric", "channels"]))
    columns, rows = draw(st.integers(2, 4)), draw(st.sampled_from([3, 5]))
    if pattern == "diamond":
        buttoning, half = diamonds(columns, rows, across, up), (columns - 1, (rows - 1) / 2)
    elif pattern in ("square", "row"):
        count = 1 if pattern == "row" else 2
        buttoning, half = squares(columns, count, across, up), (columns - 1, count - 1)
    elif pattern == "concentric":
        count = draw(st.sampled_from([6, 8, 12]))
        buttoning = circle(count, across * 1.2)
        half = (2.4, 2.4 * across / up)
    elif pattern == "channels":
        buttoning, half = channels((-across, 0.0, across), up), (2.0, 2.0)
    else:
        buttoning, half = PLAIN, (3.0, 2.0)
    outline, mirrors = draw(outlines((half[0] * across / 2 + margin, half[1] * up / 2 + margin)))
    crown = draw(st.floats(0.0, 4.5))
    dip = draw(st.floats(0.0, 0.95))
    bead = draw(st.floats(1.0, 2.2))
    manner = draw(st.sampled_from(["pulled-in", "deep"]))
    swell = draw(st.floats(1.5, 4.0))
    surface = solve_surface(outline, buttoning, crown, dip, bead, swell, manner)
    return outline, mirrors, buttoning, manner, surface


def along(surface, start, end):
    """Length of the cloth over a line, by its own fine polyline, down to the panel at its end."""
    t = (1.0 - np.cos(np.linspace(0.0, np.pi, 3001))) / 2.0
    points = np.array(start) * (1.0 - t[:, None]) + np.array(end) * t[:, None]
    height = heights_at(surface, points)
    height[-1] = 0.0
    return float(np.hypot(np.hypot(*np.diff(points, axis=0).T), np.diff(height)).sum())


def first_met(start, way, ring):
    """How far a ray goes until it meets a closed line."""
    best = math.inf
    for (ax, ay), (bx, by) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        cross = way[0] * (by - ay) - way[1] * (bx - ax)
        if abs(cross) < 1e-12:
            continue
        far = ((ax - start[0]) * (by - ay) - (ay - start[1]) * (bx - ax)) / cross
        share = ((ax - start[0]) * way[1] - (ay - start[1]) * way[0]) / cross
        if far > 1e-9 and -1e-9 <= share <= 1.0 + 1e-9:
            best = min(best, far)
    return best


@FEW
@given(cushions(), st.floats(0.5, 3.0), st.floats(4.0, 12.0))
def test_cloth_covers_with_at_least_the_turn_under_all_round(cushion, wrap, turn_under):
    outline, _, buttoning, manner, surface = cushion
    cloth = solve_cloth(outline, buttoning, surface, manner, wrap, turn_under)
    edge, cut = Region(cloth.edge).flat, Region(cloth.cut).flat
    assert grown(edge, wrap + turn_under, corners="round").difference(grown(cut, 0.06)).is_empty
    ring = np.asarray(outline.flat.exterior.coords)[:-1]
    border = np.asarray(cut.exterior.coords)[:-1]
    for k, way, _ in ways_out(np.array(buttoning.points).reshape(-1, 2)):
        start, mark = buttoning.points[k], cloth.marks[k]
        far = first_met(start, way, ring)
        end = (start[0] + far * way[0], start[1] + far * way[1])
        wanted = along(surface, start, end) + wrap + turn_under
        assert first_met(mark, way, border) >= wanted - 0.05
    for mark in cloth.marks:
        assert holds_point(edge, *mark)


@FEW
@given(cushions())
def test_no_two_neighbours_lie_nearer_on_the_cloth_than_on_the_guide(cushion):
    outline, _, buttoning, manner, surface = cushion
    cloth = solve_cloth(outline, buttoning, surface, manner, 1.1, 8.0)
    for (i, j), length in zip(buttoning.links, cloth.lengths, strict=True):
        plain = math.dist(buttoning.points[i], buttoning.points[j])
        assert math.dist(cloth.marks[i], cloth.marks[j]) >= plain - 1e-6
        # Cloth goes up and down at most once between two buttons, or it would not be a button's dent.
        assert plain - 1e-9 <= length <= plain + 2.0 * surface.crown + 1e-9


@FEW
@given(cushions())
def test_cloth_is_mirrored_where_the_cushion_is(cushion):
    outline, mirrors, buttoning, manner, surface = cushion
    cloth = solve_cloth(outline, buttoning, surface, manner, 1.1, 8.0)
    for axis, mirrored in enumerate(mirrors):
        if not mirrored:
            continue
        flip = np.array([-1.0, 1.0]) if axis == 0 else np.array([1.0, -1.0])
        # A flattened circle is mirrored to within 0.002 mm; heights at its edge are too steep to compare.
        inner = surface.share > 0.02
        for field in (surface.share, surface.drop):
            mirror = field[:, ::-1] if axis == 0 else field[::-1]
            assert np.abs(field - mirror)[inner].max() < 5e-3
        marks = np.array(cloth.marks).reshape(-1, 2)
        for mark in marks:
            assert np.hypot(*(marks - mark * flip).T).min() < 0.02
        cut = Region(cloth.cut).flat
        mirror = Region(cloth.cut.mapped([[flip[0], 0.0], [0.0, flip[1]]])).flat
        # Drawn to within 0.05 mm on either side.
        assert cut.symmetric_difference(mirror).area < 0.1 * cut.length
        assert len(cloth.darts) % 2 == 0 or any(abs(a[axis]) < 0.1 for a, _ in cloth.darts)


@FEW
@given(cushions())
def test_the_surface_lies_between_panel_and_crown_and_has_no_spikes(cushion):
    _, _, _, _, surface = cushion
    inside = np.isfinite(surface.heights)
    heights = surface.heights[inside]
    assert heights.min() >= 0.0
    assert heights.max() <= surface.crown + 1e-9
    # Drawn down nowhere more than at the deepest button or seam, and lifted nowhere.
    depths = surface.depths if len(surface.depths) else np.array([surface.crown])
    drop = surface.drop[inside]
    x, y = np.meshgrid(surface.x, surface.y)
    if len(surface.buttons):
        far = np.min([np.hypot(x - p, y - q) for p, q in surface.buttons], axis=0)[inside]
        drop = drop[far > surface.radius]
    if len(drop):
        assert drop.min() >= -0.02 * max(surface.crown, 1e-9)
        assert drop.max() <= float(depths.max()) * 1.02 + 1e-9


@FEW
@given(cushions(), st.sampled_from([0.0, 0.8]))
def test_every_cushion_has_a_picture(cushion, cord):
    outline, _, buttoning, manner, surface = cushion
    mesh = cushion_mesh(outline, buttoning, surface, manner, 1.1, 2.0 * surface.radius or 1.0, cord)
    vertices, faces = mesh.cloth.vertices, mesh.cloth.faces
    assert np.isfinite(vertices).all()
    assert np.isfinite(mesh.cloth.normals).all()
    assert vertices[:, 2].max() <= surface.crown + 1e-9
    assert vertices[:, 2].min() == -1.1
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    solid = float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)
    held = float(np.nansum(surface.heights)) * surface.cell**2 + 1.1 * outline.flat.area
    assert abs(solid - held) < 0.03 * held


def test_buttons_by_hand_without_links_are_marked_too():
    hand = Buttoning("points", ((-12.0, -4.0), (0.0, 5.0), (12.0, -4.0)))
    outline = box(-25.0, -15.0, 25.0, 15.0)
    surface = solve_surface(outline, hand, 4.0, 0.6, 1.6, 2.5, "pulled-in")
    cloth = solve_cloth(outline, hand, surface, "pulled-in", 1.1, 8.0)
    assert cloth.lengths == ()
    assert cloth.marks[2][0] - cloth.marks[0][0] > 24.5
