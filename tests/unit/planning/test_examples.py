"""The orders of the examples, read as their maker: would one build it like this?"""

import pathlib

import pytest

import laminature as lam
from laminature.pipeline.reading import guide_words
from laminature.planning.assembly import order_of_assembly
from laminature.planning.words import lies, side, step_words

WORDS = guide_words("british")

EXAMPLES = pathlib.Path(__file__).parents[3] / "examples"

#: What moves in each step, and how the work lies meanwhile.
ORDERS = {
    # The dividers stand on the bottom, the shelves slide over them; then sides and top, the back last.
    "chart-rack": [
        ("divider-1", "as it stands"),
        ("divider-2", "as it stands"),
        ("divider-3", "as it stands"),
        ("divider-4", "as it stands"),
        ("shelf-1", "on its back"),
        ("shelf-2", "on its back"),
        ("shelf-3", "on its back"),
        ("side-left", "on its front"),
        ("side-right", "on its front"),
        ("top", "on its front"),
        ("back", "on its front"),
        ("plinth", "on its front"),
    ],
    # The legs are a cross of their own, which goes onto the top as that lies face down.
    "lamp-table": [
        ("half-1", "on its front"),
        ("half-2", "upside down"),
        ("panel-1 half-1 half-2", "upside down"),
    ],
    "lookout-stool": [
        ("panel-2", "upside down"),
        ("panel-1", "upside down"),
        ("cushion", "as it stands"),
    ],
    # The rail ties the sides, the seat closes with them, the back goes down through the seat.
    "slat-chair": [
        ("rail", "on its left side"),
        ("side-2", "on its left side"),
        ("seat", "as it stands"),
        ("back", "as it stands"),
    ],
    # The front lies on the bench; the other front closes the box; the lid is put together apart.
    "tide-chest": [
        ("bottom", "on its front"),
        ("wall-left", "on its front"),
        ("wall-right", "on its front"),
        ("wall-back", "on its front"),
        ("lid-ring", "upside down"),
        ("lid lid-ring", "as it stands"),
    ],
    # All four panels go onto the seat as it lies face down; turned once, it gets its ring and its cushion.
    "window-seat": [
        ("long-front", "upside down"),
        ("long-back", "upside down"),
        ("short-left", "upside down"),
        ("short-right", "upside down"),
        ("frame", "as it stands"),
        ("cushion", "as it stands"),
    ],
}


@pytest.mark.parametrize("name", sorted(ORDERS))
def test_the_order_of_an_example(name):
    build = lam.build(lam.read(EXAMPLES / f"{name}.toml"))
    assembly, found = order_of_assembly(build.piece, build.joints, build.layers, build.cushions)
    assert found == ()
    assert [(" ".join(s.moving), lies(s.down, WORDS)) for s in assembly.steps] == ORDERS[name]
    assert [s.number for s in assembly.steps] == list(range(1, len(assembly.steps) + 1))
    # The same piece has the same order, every time.
    assert order_of_assembly(build.piece, build.joints, build.layers, build.cushions) == (assembly, ())


def test_what_a_step_says():
    build = lam.build(lam.read(EXAMPLES / "tide-chest.toml"))
    assembly, _ = order_of_assembly(build.piece, build.joints, build.layers)
    assert step_words(assembly.steps[1], build.piece, WORDS) == (
        "Put B (wall-left) onto A (wall-front) and C (bottom) from its left, the work lying on its front: "
        "1 finger joint and 1 housing; fine tip; clamp until it has set."
    )
    assert step_words(assembly.steps[-1], build.piece, WORDS) == (
        "Put D (lid) and E (lid-ring) in from above, without glue: they stay loose."
    )


def test_sides_are_those_of_the_piece_as_it_stands():
    assert [side(w, WORDS) for w in ((0, 0, -1), (0, 0, 1), (1, 0, 0), (0, 1, 0), (0, -1, 0))] == [
        "above",
        "below",
        "the left",
        "the front",
        "the back",
    ]
    assert lies((0.1, 0.0, -0.99), WORDS) == "as it stands"
