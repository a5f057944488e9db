"""Line drawings of every form, random sizes, turned freely: all of a piece is seen, and fits its page."""

import os

import manifold3d as m3
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.drawings.bodies import bodies
from laminature.drawings.exploded import exploded
from laminature.drawings.hidden import see
from laminature.drawings.looking import looking
from laminature.drawings.stack_diagram import stack_diagram
from laminature.drawings.whole import whole
from laminature.forms.registry import FORMS

from ..drawn_by_hand import WORDS
from .assembled import Assembled
from .strategies import pieces, placed, turns

CASES = settings(max_examples=40 if os.environ.get("HYPOTHESIS_PROFILE") == "ci" else 6)


@pytest.mark.parametrize("name", sorted(FORMS))
@CASES
@given(data=st.data())
def test_what_is_coloured_is_the_shadow_of_the_piece(name, data):
    made = data.draw(pieces(FORMS[name]))
    piece = placed(made.piece, data.draw(turns()))
    built = Assembled(piece, made.workshop)
    view = looking(
        data.draw(st.sampled_from([-34.0, 20.0, 146.0])), data.draw(st.sampled_from([27.0, -15.0, 60.0]))
    )
    seen = see(bodies(piece.parts, built.layers), view)
    # The shadow of the solids along the way of looking, by another library.
    turn = np.column_stack([np.array([view.right, view.up, -view.away]), np.zeros(3)])
    shadows = [built.solid(p.name).transform(turn).project() for p in piece.parts]
    shadow = m3.CrossSection.batch_boolean(shadows, m3.OpType.Add)
    # Chords lie within 0.012 mm of borders, lines on a grid of 0.002 mm.
    border = sum(np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1).sum() for p in shadow.to_polygons())
    assert sum(p.area.area for p in seen.patches) == pytest.approx(shadow.area(), abs=0.015 * border + 0.01)


@pytest.mark.parametrize("name", sorted(FORMS))
@CASES
@given(data=st.data())
def test_every_drawing_fits_its_page(name, data):
    made = data.draw(pieces(FORMS[name]))
    piece = placed(made.piece, data.draw(turns()))
    layers = Assembled(piece, made.workshop).layers
    drawings = [whole(piece, layers), exploded(piece, layers)]
    drawings += [stack_diagram(p, layers, WORDS) for p in piece.parts[:2]]
    for drawing in drawings:
        assert drawing.strokes
        for stroke in drawing.strokes:
            points = stroke.path.flattened
            assert np.isfinite(points).all()
            assert points.min() >= -1e-6
            assert (points <= np.array([drawing.width, drawing.height]) + 1e-6).all()
