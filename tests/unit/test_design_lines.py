"""Lines of keys, by example."""

import time

import pytest

from laminature.design.lines import Refused, lines_of

TEXT = '''# a table
title = "Lamp table"

[form]
name = "radial-table"   # note
size.height = 3
notes = """
height = 9
"""
points = [
  [1, 2],
  # between
  [3, 4],
]
[[part]]
name = "top"
[[part.opening]]
shape = "circle"
[[part]]
rim = { layers = 2, width = 3 }
'''


def test_every_kind_of_key_has_its_line():
    lines = lines_of(TEXT)
    assert lines["title",] == 2
    assert lines["form",] == 4
    assert lines["form", "size", "height"] == 6
    assert lines["form", "notes"] == 7
    assert lines["form", "points"] == 10
    assert lines["form", "points", 1] == 13
    assert lines["part", 0] == 15
    assert lines["part", 0, "opening", 0, "shape"] == 18
    assert lines["part", 1] == 19
    assert lines["part", 1, "rim", "width"] == 20


def test_it_stops_where_the_file_is_no_toml():
    lines = lines_of("a = 1\nb = = 2\nc = 3\n")
    assert lines["a",] == 1
    assert ("c",) not in lines


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 100_000,
        "a = " + "{a=" * 100_000,
        ".".join("a" * 100_000) + " = 1",
        "[" + ".".join("a" * 100_000) + "]",
        "a = [" + "1," * 200_000 + "]",
        "\n".join(f"a{i} = 1" for i in range(150_000)),
    ],
    ids=["arrays", "tables", "dotted", "header", "items", "keys"],
)
def test_what_is_too_deep_or_too_much_is_refused_in_short_time(text):
    began = time.perf_counter()
    with pytest.raises(Refused):
        lines_of(text)
    assert time.perf_counter() - began < 5.0


@pytest.mark.parametrize(
    "text", ['"' * 2_000_000, "a='''" + "'" * 100_000 + "x", 'a="""' + "\\" * 999_999, " " * 2_000_000]
)
def test_long_nonsense_takes_no_long_time(text):
    began = time.perf_counter()
    lines_of(text)
    assert time.perf_counter() - began < 5.0
