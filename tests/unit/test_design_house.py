"""Full sizes are told in the unit that the maker thinks in."""

from pathlib import Path

import pytest

from laminature import pipeline
from laminature.pipeline.kit import guide_of

BOARDS = pipeline.known_boards(None, "")


def told(head, height):
    text = f'{head}board = "chipboard-22"\n[form]\nname = "radial-table"\nheight = {height}\n'.encode()
    design = pipeline.read_design(text, "design", Path(), BOARDS)
    return design, guide_of(pipeline.Build(design))


@pytest.mark.parametrize(
    ("head", "height", "unit"),
    [
        ("", '"18 in"', "in"),
        ('unit = "mm"\n', '"18 in"', "in"),
        ('unit = "ft"\n', "1.5", "in"),
        ("", '"457 mm"', "mm"),
        ('unit = "mm"\n', "457", "mm"),
        ('unit = "cm"\n', "45.7", "mm"),
        ("", '"mini 38 mm"', None),
    ],
)
def test_the_unit_of_most_lengths_is_that_of_the_piece(head, height, unit):
    design, guide = told(head, height)
    assert design.unit == unit
    metric = unit == "mm"
    for size in guide.sizes:
        assert size.full.split(" (")[0].endswith(" mm") == metric


def test_the_drawing_of_sizes_is_in_that_unit_too():
    """The same piece, once in inches and once in millimetres: told alike it would be drawn alike."""
    (_, inches), (_, again), (_, metric) = (told("", h) for h in ('"18 in"', '"1 ft 6 in"', '"457.2 mm"'))
    assert inches.dimensions == again.dimensions
    assert inches.dimensions != metric.dimensions
