"""GLB: the container, nodes and their poses, read without a library."""

import dataclasses
import json
import struct

import numpy as np
import pytest

from laminature.errors import WriterError
from laminature.writers.glb import glb

from ...drawn_by_hand import LAYERS, LEGS, PARTS, TOP
from .test_svg import HOSTILE


def parsed(data):
    magic, version, total = struct.unpack("<4sII", data[:12])
    length, kind = struct.unpack("<I4s", data[12:20])
    document = json.loads(data[20 : 20 + length])
    size, second = struct.unpack("<I4s", data[20 + length : 28 + length])
    assert (magic, version, total, kind, second) == (b"glTF", 2, len(data), b"JSON", b"BIN\0")
    assert length % 4 == size % 4 == 0
    assert len(data) == 28 + length + size
    return document, data[28 + length :]


def test_a_node_for_each_part_named_as_the_part():
    document, _ = parsed(glb(PARTS, LAYERS))
    root = document["nodes"][document["scenes"][0]["nodes"][0]]
    assert [document["nodes"][n]["name"] for n in root["children"]] == ["top", "leg-1", "leg-2"]


def test_alike_parts_share_a_mesh():
    document, _ = parsed(glb(PARTS, LAYERS))
    assert [n["mesh"] for n in document["nodes"][:-1]] == [0, 1, 1]


def test_nodes_stand_where_the_parts_stand_in_metres_y_up():
    document, _ = parsed(glb(PARTS, LAYERS))
    upright = np.array(document["nodes"][-1]["matrix"]).reshape(4, 4).T
    for part, node in zip(PARTS, document["nodes"], strict=False):
        whole = upright @ np.array(node["matrix"]).reshape(4, 4).T
        point = np.array([3.0, 4.0, 5.0])
        x, y, z = part.pose.to_piece(point) / 1000.0
        assert (whole @ [*(point / 1000.0), 1.0])[:3] == pytest.approx((x, z, -y), abs=1e-15)


def test_bounds_are_told_as_stored():
    document, binary = parsed(glb(PARTS, LAYERS))
    for mesh in document["meshes"]:
        accessor = document["accessors"][mesh["primitives"][0]["attributes"]["POSITION"]]
        view = document["bufferViews"][accessor["bufferView"]]
        assert view["byteOffset"] % 4 == 0
        data = binary[view["byteOffset"] : view["byteOffset"] + view["byteLength"]]
        points = np.frombuffer(data, dtype="<f4").reshape(-1, 3)
        assert len(points) == accessor["count"]
        assert points.min(axis=0).tolist() == accessor["min"]
        assert points.max(axis=0).tolist() == accessor["max"]


def test_the_same_piece_gives_the_same_bytes():
    assert glb(PARTS, LAYERS) == glb(PARTS, LAYERS)


@pytest.mark.parametrize("name", [*HOSTILE, "lone \ud800 surrogate"])
def test_hostile_names_stay_names(name):
    part = dataclasses.replace(TOP, name=name, title=name)
    layers = [dataclasses.replace(x, part=name) for x in LAYERS if x.part == "top"]
    document, _ = parsed(glb([part], layers))
    assert document["nodes"][0]["name"] == name.replace("\ud800", "?")


def test_parts_without_layers_are_left_out_and_a_piece_without_any_is_refused():
    document, _ = parsed(glb(PARTS, [x for x in LAYERS if x.part == "top"]))
    assert [n["name"] for n in document["nodes"]] == ["top", "piece"]
    with pytest.raises(WriterError):
        glb(LEGS, ())
