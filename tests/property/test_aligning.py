"""With layers held by pins every form still goes together, and no layer goes onto its pins wrongly."""

from dataclasses import replace

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from laminature.forms.registry import FORMS
from laminature.model.gluing import Gluing

from .assembled import Assembled
from .strategies import pieces
from .test_invariants import goes_together

CASES = settings(max_examples=10)
SEEN = 0.5


def held(drawn, way):
    piece = replace(drawn.piece, parts=tuple(replace(p, gluing=Gluing(way)) for p in drawn.piece.parts))
    return replace(drawn, piece=piece)


def any_piece():
    return st.sampled_from(sorted(FORMS)).flatmap(lambda name: pieces(FORMS[name]))


def wrong_poses(outline):
    """The half turn and both mirrorings about the middle, where they bring the outline onto itself."""
    x0, y0, x1, y1 = outline.bounds
    middle = ((x0 + x1) / 2, (y0 + y1) / 2)
    for fx, fy in ((-1, -1), (-1, 1), (1, -1)):
        moved = affinity.scale(outline, fx, fy, origin=middle)
        if moved.exterior.hausdorff_distance(outline.exterior) <= SEEN:
            flip, centre = np.array([fx, fy]), np.array(middle)
            yield lambda p, flip=flip, centre=centre: (np.array(p) - centre) * flip + centre


@CASES
@given(any_piece())
def test_pieces_glued_on_pins_go_together(drawn):
    goes_together(held(drawn, "pins"), None)


@CASES
@given(any_piece())
def test_no_layer_goes_onto_its_pins_wrongly(drawn):
    drawn = held(drawn, "pins")
    web = drawn.workshop.board.smallest_web(drawn.workshop.cutter)
    for x in Assembled(drawn.piece, drawn.workshop).layers:
        if not x.pins:
            continue
        for region in x.regions:
            outline = shapely.Polygon(region.exterior)
            for pose in wrong_poses(outline):
                misses = [min(np.hypot(*(pose(p) - np.array(q))) for q in x.pins) for p in x.pins]
                assert max(misses) > SEEN
        for p in x.pins:
            # Its own opening is one of the cuts: all others are further off.
            own = shapely.Point(p).buffer(1.3)
            others = shapely.union_all([r.boundary for r in x.regions]).difference(own)
            assert others.distance(shapely.Point(p)) >= 1.1 + web
