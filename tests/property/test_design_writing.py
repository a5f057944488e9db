"""A change to a design file changes just that, whatever else stands there."""

import tomllib

from hypothesis import given
from hypothesis import strategies as st

from laminature.design.writing import with_values

SOURCE = """\
# above all
title = "Chart rack" # the charts' own
board = "chipboard-22" # grey
fit.name = "pinned"
cutter = { kind = "knife", spacing = 2 } # sharp

[form] # a shelf unit
name = "shelf-unit"
  width = "36 in"    # between the posts
shelves = 3
# doors = 2

[[part]]
name = "a" # first
at = [0, 1,
  2, # up
]

[[part]]
name = 'b'

[boards.mine.sources]
caliper = "measured" # with a screw gauge
"""
NOTES = [line.partition("#")[2] for line in SOURCE.splitlines() if "#" in line]

values = (
    st.text(st.characters(codec="utf-8"), max_size=20)
    | st.integers(-(2**53), 2**53)
    | st.booleans()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.lists(st.integers(0, 9), max_size=3)
)
paths = st.sampled_from(
    [
        *(
            ("title",),
            ("notes",),
            ("form", "width"),
            ("form", "depth"),
            ("cutter", "spacing"),
            ("cutter", "margin"),
        ),
        *(("fit", "name"), ("fit", "across"), ("part", 0, "name"), ("part", 1, "layers"), ("cushion", "on")),
        *(("boards", "mine", "caliper"), ("boards", "mine", "sources", "caliper"), ("boards", "x y", "like")),
    ]
)


def set_in(read, path, value):
    for key in path[:-1]:
        read = read[key] if isinstance(key, int) else read.setdefault(key, {})
    read[path[-1]] = value


@given(st.dictionaries(paths, values, min_size=1, max_size=5))
def test_values_are_set_and_all_else_stays(changes):
    written = with_values(SOURCE.encode(), changes).decode()
    expected = tomllib.loads(SOURCE)
    for path, value in changes.items():
        set_in(expected, path, value)
    assert tomllib.loads(written) == expected
    for note in NOTES:
        assert note in written
