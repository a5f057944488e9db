"""Hidden lines against rays: what is drawn as seen is struck by a ray from the viewer first.

Rays are tried against every triangle of the solids (Möller and Trumbore, "Fast, minimum storage ray-triangle
intersection", Journal of Graphics Tools 2, 1997), a method that shares nothing with the drawing's.
"""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.drawings.looking import looking
from laminature.geometry.flat import pieces, rectangle
from laminature.geometry.outer import BEND, SEAM, outer
from laminature.geometry.pose import turned
from laminature.geometry.prism import pile
from laminature.geometry.region import disc
from laminature.geometry.solid import Slab
from laminature.geometry.visible import Scene

#: Rays keep so far from the ends of stretches; chords lie within this of a curve; what lies this much
#: before a point hides it, and what lies less than that before it does not, mm.
NEAR, CHORD, LEAST, BEFORE = 0.06, 0.03, 1e-3, 0.02
PLATE = rectangle(0, 0, 12, 8)
SHAPES = {
    "plate": (PLATE,),
    "frame": pieces(PLATE.difference(rectangle(3, 2, 9, 6))),
    "notched": pieces(PLATE.difference(rectangle(4, -1, 7, 4))),
    "round": (disc(5.0, (6.0, 4.0)).flat,),
    "arched": pieces(PLATE.difference(disc(3.0, (6.0, 0.0)).flat)),
}
coordinate = st.integers(-8, 8).map(float)


@st.composite
def scenes(draw):
    found = []
    for _ in range(draw(st.integers(2, 4))):
        low = draw(st.sampled_from(sorted(SHAPES)))
        high = draw(st.sampled_from([low, "plate", "notched"]))
        slabs = (Slab(SHAPES[low], 0.0, 2.0), Slab(SHAPES[high], 2.0, 3.5))
        axis = draw(st.sampled_from([(1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 1, 0), (1, 2, 3)]))
        angle = draw(st.sampled_from([0, 0, 90, 180, 35, 72]))
        pose = turned(axis, angle).moved(draw(coordinate), draw(coordinate), draw(coordinate))
        found.append((slabs, pose))
    view = draw(
        st.sampled_from(
            [(-34.0, 27.0), (-45.0, math.degrees(math.asin(3**-0.5))), (20.0, -15.0), (140.0, 50.0)]
        )
    )
    return found, view


def struck(points, way, triangles):
    """For each point how far towards the viewer the furthest triangle over it lies; −inf where none does."""
    a, b, c = triangles[:, 0], triangles[:, 1], triangles[:, 2]
    u, v = b - a, c - a
    across = np.cross(way, v)
    det = (u * across).sum(axis=1)
    ok = np.abs(det) > 1e-9
    a, u, v, across, det = a[ok], u[ok], v[ok], across[ok], det[ok]
    to = points[:, None] - a[None]
    s = (to * across).sum(axis=2) / det
    q = np.cross(to, u[None])
    t = (q @ way) / det
    far = (q * v[None]).sum(axis=2) / det
    hit = (s >= 0) & (t >= 0) & (s + t <= 1)
    return np.where(hit, far, -np.inf).max(axis=1)


@settings(max_examples=25)
@given(scenes(), st.integers(0, 1000))
def test_rays_agree_with_what_is_seen_and_hidden(scene, seed):
    made, direction = scene
    curved = any(s.flats in (SHAPES["round"], SHAPES["arched"]) for slabs, _ in made for s in slabs)
    view = looking(*direction)
    skins = [(outer(slabs), pose) for slabs, pose in made]
    triangles = np.concatenate(
        [pose.to_piece(m.vertices)[m.faces] for m, pose in ((pile(s), p) for s, p in made)]
    )
    drawn = Scene(skins, view)
    keep = [(s.kind != SEAM) & (s.kind != BEND) for s, _ in skins]
    start = np.concatenate([p.to_piece(s.start[k]) for (s, p), k in zip(skins, keep, strict=True)])
    end = np.concatenate([p.to_piece(s.end[k]) for (s, p), k in zip(skins, keep, strict=True)])
    rng = np.random.default_rng(seed)
    for hidden in (False, True):
        of, low, high = drawn.stretches(start, end, hidden=hidden)
        long = (high - low) * np.linalg.norm(view.flat(end) - view.flat(start), axis=1)[of]
        chosen = np.flatnonzero(long > 6 * NEAR)
        if not len(chosen):
            continue
        chosen = rng.choice(chosen, size=min(60, len(chosen)), replace=False)
        inset = 2 * NEAR / long[chosen]
        at = low[chosen] + (high - low)[chosen] * (inset + (1 - 2 * inset) * rng.random(len(chosen)))
        points = start[of[chosen]] + at[:, None] * (end - start)[of[chosen]]
        # Straight boards are exact. Where chords stand for curves, some ray near by has to agree.
        count = 5 if curved else 1
        offsets = CHORD * np.array([(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1)])[:count]
        spread = points[:, None] + offsets[None, :, :1] * view.right + offsets[None, :, 1:] * view.up
        far = struck(spread.reshape(-1, 3), -view.away, triangles).reshape(len(points), count)
        if hidden:
            assert (far.max(axis=1) > LEAST).all()
        else:
            assert (far.min(axis=1) < BEFORE).all()
