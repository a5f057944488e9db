"""What the screen gets of a piece in space: closed bodies, crisp edges, and nothing that it has already."""

from __future__ import annotations

import pathlib
import re
from typing import Any

import numpy as np
import pytest

from laminature import pipeline
from laminature.geometry.crisp import plan_of, raised
from laminature.geometry.flat import flat, rectangle
from laminature.geometry.path import circle
from laminature.model.memory import Memory
from laminature.pipeline import Build
from laminature.pipeline.showing.scene import scene

EXAMPLES = pathlib.Path(__file__).parents[3] / "examples"
BOARDS = pipeline.known_boards(None, "")


def built(name: str, changes: Any = None, memory: Memory | None = None) -> Build:
    text = pipeline.changed((EXAMPLES / f"{name}.toml").read_bytes(), changes or {})
    return Build(pipeline.read_design(text, name, pathlib.Path(), BOARDS), memory=memory)


def volume(at: Any, faces: Any) -> float:
    a, b, c = (at.reshape(-1, 3)[faces.reshape(-1, 3)[:, k]].astype(float) for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def upright(edges: Any) -> int:
    lines = edges.reshape(-1, 6)
    return int((np.abs(lines[:, 5] - lines[:, 2]) > 1e-6).sum())


def test_a_box_has_twelve_edges_and_six_faces_with_normals_of_their_own() -> None:
    body = raised(plan_of(rectangle(0, 0, 30, 20)), 1.0, 3.0)
    assert volume(body.at, body.faces) == pytest.approx(30 * 20 * 2)
    assert len(body.edges) == 12
    assert len(np.unique(body.way.round(6), axis=0)) == 6


def test_a_disc_with_a_square_hole_has_upright_edges_at_the_hole_alone() -> None:
    ring = flat(circle(20.0).flattened, [[(-3, -3), (3, -3), (3, 3), (-3, 3)]])
    body = raised(plan_of(ring), 0.0, 2.0)
    assert volume(body.at, body.faces) == pytest.approx(2.0 * ring.area)
    assert upright(body.edges) == 4
    walls = body.way[np.abs(body.way[:, 2]) < 0.5]
    assert np.allclose(np.hypot(walls[:, 0], walls[:, 1]), 1.0)


@pytest.mark.parametrize("name", ["lamp-table", "chart-rack", "window-seat", "tide-chest"])
def test_meshes_hold_as_much_board_as_the_layers(name: str) -> None:
    build = built(name)
    header, blobs = scene(build, soft=False)
    for part in header["parts"]:
        mine = [x for x in build.layers if x.part == part["name"]]
        wanted = sum((x.upper - x.lower) * sum(f.area for f in x.regions) for x in mine)
        at, faces = blobs[part["mesh"] + "/at"], blobs[part["mesh"] + "/faces"]
        assert volume(at, faces) == pytest.approx(wanted, rel=1e-4)
        assert len(blobs[part["mesh"] + "/of"]) == len(faces) // 3
        assert len(blobs[part["mesh"] + "/lines"]) == len(blobs[part["mesh"] + "/edges"]) // 6
        assert set(blobs[part["mesh"] + "/of"].tolist()) == {x.index for x in mine}


def test_only_what_changed_is_sent_again_and_alike_parts_share_a_mesh() -> None:
    memory = Memory()
    header, _ = scene(built("chart-rack", memory=memory))
    digests = {p["mesh"] for p in header["parts"]}
    assert len(digests) < len(header["parts"])
    again, none = scene(built("chart-rack", memory=memory), digests)
    assert again["parts"] == header["parts"] and none == {}
    wider, some = scene(built("chart-rack", {("form", "depth"): "11 in"}, memory), digests)
    assert {name.split("/")[0] for name in some} == {p["mesh"] for p in wider["parts"]} - digests


def test_joints_are_told_from_both_sides_with_a_point_in_the_piece() -> None:
    build = built("lamp-table")
    header, _ = scene(build)
    by_name = {p["name"]: p for p in header["parts"]}
    low = [-header["size"][k] for k in range(3)]
    for joint in build.joints:
        assert any(j["with"] == joint.receiver for j in by_name[joint.entering]["joints"])
        assert any(j["with"] == joint.entering for j in by_name[joint.receiver]["joints"])
    for part in header["parts"]:
        for joint_told in part["joints"]:
            assert all(v >= low[k] for k, v in enumerate(joint_told["point"]))


def test_joints_are_told_in_the_trade_words_of_the_design() -> None:
    def told(words: str, name: str) -> set[str]:
        header, _ = scene(built(name, {("words",): words}))
        return {j["told"] for p in header["parts"] for j in p["joints"]}

    assert {"1 halving", "1 housing"} <= told("british", "chart-rack")
    assert {"1 cross lap", "1 dado"} <= told("american", "chart-rack")
    tabs = {
        each for each in told("british", "tide-chest") | told("british", "lookout-stool") if "tab" in each
    }
    assert tabs and all(re.fullmatch(r"(1 tab|[2-9] tabs), (through|blind)", each) for each in tabs)


def test_a_cushion_is_cloth_and_buttons_and_follows_its_part_before_it_is_made_anew() -> None:
    memory = Memory()
    first, blobs = scene(built("window-seat", memory=memory))
    skins = {p["role"]: p for p in first["parts"] if p["role"] != "layer"}
    assert set(skins) == {"cloth", "beads"} and first["soft"]
    normals = blobs[skins["cloth"]["mesh"] + "/way"].reshape(-1, 3)
    assert np.allclose(np.linalg.norm(normals, axis=1), 1.0, atol=1e-4)
    lower = {("form", "height"): "16 in"}
    moved, _ = scene(built("window-seat", lower, memory), soft=False)
    made, _ = scene(built("window-seat", lower, memory))
    late = next(p for p in moved["parts"] if p["role"] == "cloth")
    true = next(p for p in made["parts"] if p["role"] == "cloth")
    assert not moved["soft"] and made["soft"]
    assert late["mesh"] == skins["cloth"]["mesh"] and late["pose"] == pytest.approx(true["pose"])
