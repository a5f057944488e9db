"""A locating cleat for what two layers cannot hold."""

import pathlib

import numpy as np
import pytest

from laminature import pipeline

from ...cleated import cleated


def built(show: str = "lower", kind: str = "cleat") -> pipeline.Build:
    data = cleated(show, kind).encode()
    return pipeline.Build(
        pipeline.read_design(data, "step.toml", pathlib.Path(), pipeline.known_boards(None, ""))
    )


def test_two_layers_cannot_hold_a_blind_tab_and_a_cleat_is_offered():
    found = [f for f in built(kind="tabs").findings if f.code == "blind-too-shallow"]
    assert len(found) == 1
    assert "cleat" in found[0].remedy


@pytest.mark.parametrize(("show", "side"), [("lower", 1.0), ("upper", -1.0)])
def test_a_cleat_stands_in_the_corner_on_the_side_that_is_not_seen(show, side):
    build = built(show)
    cleat, leg, top = (build.piece.part(n) for n in ("cleat-1", "leg", "top"))
    # Its upper face looks down, its lower one is glued under the top.
    assert np.allclose(cleat.pose.z, (0.0, 0.0, -1.0))
    assert cleat.pose.origin[2] == pytest.approx(top.pose.origin[2])
    # Its width runs away from the leg's hidden face.
    assert np.allclose(cleat.pose.y, (side, 0.0, 0.0))
    face = leg.pose.origin[0] + (leg.thickness if side > 0 else 0.0)
    assert cleat.pose.origin[0] == pytest.approx(face)


def test_a_cleat_is_glued_on_both_faces_and_nothing_overlaps():
    build = built()
    glued = {j.name.split("/")[0] for j in build.joints if "cleat-1" in j.name}
    assert glued == {"top", "leg"}
    assert [f.code for f in build.findings if f.grade == "stop"] == []
    assert not any(p.action == "cut" for j in build.joints for p in j.patches)
