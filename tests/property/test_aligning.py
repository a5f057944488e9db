"""With pins, and with faces that come last, pieces still go together.

Layers go onto their pins one way only, and a face that comes last is whole.
"""

import os
from dataclasses import replace

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from laminature.forms.registry import FORMS
from laminature.joinery.contacts import find_contacts
from laminature.layering.facing import with_faces_last
from laminature.model.board import Board
from laminature.model.gluing import Gluing

from .assembled import Assembled
from .strategies import pieces, standing_panels, turns
from .test_invariants import goes_together

IN_CI = os.environ.get("HYPOTHESIS_PROFILE") == "ci"
#: Pieces of forms are assembled and measured as solids, which takes a while; panels less.
CASES = settings(max_examples=60 if IN_CI else 6)
PANELS = settings(max_examples=300 if IN_CI else 30)
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
@given(any_piece(), st.sampled_from(["pins", "keys"]))
def test_pieces_whose_layers_are_held_go_together(drawn, way):
    goes_together(held(drawn, way), None)


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


@PANELS
@given(standing_panels(), turns(), st.sampled_from([0.254, 0.3556]))
def test_pieces_with_a_face_that_comes_last_go_together(drawn, turn, caliper):
    skin = Board("skin", "Skin", caliper, 600.0, 600.0, glue_line=0.02, growth=0.01)
    boards = {"skin": skin, drawn.workshop.board.name: drawn.workshop.board}
    facing = Gluing(face_last="skin")
    parts = tuple(replace(p, gluing=facing) if p.name == "plate" else p for p in drawn.piece.parts)
    piece, found = with_faces_last(replace(drawn.piece, parts=parts), find_contacts(parts), boards)
    plate = piece.part("plate")
    assert (plate.last_face is not None) == bool(plate.show)
    assert [f.code for f in found] == ["face-last" if plate.show else "face-last-not-possible"]
    goes_together(replace(drawn, piece=piece), turn)
    if plate.last_face is not None:
        (last,) = (x for x in Assembled(piece, drawn.workshop).layers if x.last)
        assert last.regions[0].equals(plate.outline.flat)
