"""Choosing layers for a repair by labels and names."""

import pytest

from laminature.errors import ChoiceError
from laminature.geometry.flat import rectangle
from laminature.layering.choosing import choose_layers
from laminature.model.layer import Layer

SHAPE = rectangle(0, 0, 30, 20)


def part(name, letter, count):
    return [Layer(name, letter, k, "card", 0.0, 0.5, (SHAPE,), (SHAPE,)) for k in range(1, count + 1)]


LAYERS = [
    *part("top", "A", 3),
    *(layer for n in range(1, 5) for layer in part(f"leg-{n}", "B", 2)),
    *part("stretcher", "C", 1),
]


def chosen(wanted):
    return [f"{x.part}:{x.index}" for x in choose_layers(wanted, LAYERS)]


@pytest.mark.parametrize(
    ("wanted", "layers"),
    [
        ("B2", ["leg-1:2"]),
        ("b2", ["leg-1:2"]),
        ("B", ["leg-1:1", "leg-1:2"]),
        ("Bx2", ["leg-1:1", "leg-1:2", "leg-2:1", "leg-2:2"]),
        ("B2x3", ["leg-1:2", "leg-2:2", "leg-3:2"]),
        ("B2×2", ["leg-1:2", "leg-2:2"]),
        ("B2 B2", ["leg-1:2", "leg-2:2"]),
        ("C, A1", ["top:1", "stretcher:1"]),
        ("A1 C", ["top:1", "stretcher:1"]),
        ("leg-2", ["leg-2:1", "leg-2:2"]),
        ("leg-2:1", ["leg-2:1"]),
        ("B1 leg-1:1", ["leg-1:1", "leg-2:1"]),
    ],
)
def test_labels_counts_and_names(wanted, layers):
    assert chosen(wanted) == layers


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ("", "Nothing was chosen"),
        (" , ", "Nothing was chosen"),
        ("D", "no layer or part 'D'"),
        ("B9", "no layer 9"),
        ("B0", "no layer 0"),
        ("leg-2:7", "no layer 7. It has layers 1 to 2"),
        ("leg-22", "Did you mean leg-2"),
        ("streetcher", "Did you mean stretcher"),
        ("B2x5", "only 4 times"),
        ("A1 A1", "only 1 times"),
        ("x2", "no layer or part"),
        ("B2x", "no layer or part"),
        ("B-1", "no layer or part"),
        ("½", "no layer or part"),
    ],
)
def test_what_is_not_there_is_said(wanted, words):
    with pytest.raises(ChoiceError, match=words):
        chosen(wanted)
