"""Random and mutated design files: a design or a clear error, never anything else, and in bounded time.

``outcome`` is the one place where a case meets the program: what is asked of a design after it has
been read is asked there.
"""

import time

from hypothesis import given, settings
from hypothesis import strategies as st

from laminature.data import library
from laminature.design.boards import read_boards
from laminature.design.reading import parse
from laminature.errors import DesignError, DesignErrors
from laminature.model.design import Design
from laminature.model.form import Parameter

BOARDS = read_boards(library.boards(), "boards.toml")
FORMS = {
    "stand": (
        Parameter("height", "length", "How high", 600.0, 150.0, 1300.0),
        Parameter("rim", "length", "Rim", 2.5, 0.5, 60.0, realm="mini"),
        Parameter("legs", "count", "Legs", 4, 3, 8),
        Parameter("rake", "angle", "Rake", 0.0, -5.0, 30.0),
        Parameter("edge", "choice", "Edge", "plain", choices=("plain", "scalloped")),
        Parameter("through", "flag", "Through", False),
        Parameter("curve", "path", "Curve", None),
    )
}
#: No case may take longer, seconds; most take a few thousandths. Generous for a busy machine.
LONGEST = 5.0

SEEDS = [
    """\
# the tide-reader's loft
title = "Lookout stool"
scale = "1:12"
unit = "in"
board = { name = "chipboard-22", measured = { 4 = "2.31 mm" } }
cutter = { kind = "laser", spacing = 2 }
fit = "pinned"
edge_sanding = "0.15 mm"
photo = "pictures/stool.png"

[form]
name = "stand"
height = "1 ft 5 1/2 in"   # to the sill
rim = "mini 3 mm"
legs = 6
rake = 12.5
edge = "scalloped"
through = false
curve = "M 0 0 C 1 2 3 4 5 6 a 3 4 20 1 0 9 9 z"
""",
    """\
scale = "1:22.5"
[boards.grey]
like = "greyboard-1-a4"
caliper = "1.03 mm"
[boards.grey.sources]
caliper = "measured"

[[part]]
name = "top"
shape = "polygon"
sides = 6
across = "18 in"
layers = 4
at = [0, 0, "mini 40 mm"]
profile = [0, 1, 2, "mini 1 mm"]
rim = { layers = 2, width = "mini 3 mm" }
[[part.opening]]
shape = "circle"
diameter = "2 in"
at = ["1 in", "-1 in"]
[[part]]
name = "leg-1"
shape = "path"
path = "M 0 0 h 100 q 20 200 -30 400 h -40 z m 20 20 v 5 h 5 z"
path_unit = "mm"
thickness = "1 in"
board = "grey"
stance = "facing front"
turn = 30
turns = [["x", 10], ["z", -20]]
show = ["upper"]
grain = "along"
[[part]]
name = "leg-2"
shape = "rectangle"
width = 300
height = 400
corner = 20
layers = 3
stance = "facing side"

[[joint]]
parts = ["leg-*", "top"]
kind = "tabs"
count = 2
width = "mini 6 mm"
share = [0, 2]
fit = { name = "pinned", across = 0.05 }
[cushion]
on = "top"
piping = "1 mm"
""",
]

words = st.sampled_from(
    [
        *(
            "nan",
            "-inf",
            "1e400",
            "0",
            "-1",
            "1" * 50,
            "true",
            '""',
            '"3 inn"',
            '"mini"',
            '"1/0 in"',
            "[]",
            "{}",
        ),
        *(
            "[[[[]]]]",
            "[part]",
            "[[part]]",
            "[[part.opening]]",
            "[form]",
            "[board]",
            'form = "stand"',
            "a.b.c = 1",
        ),
        *("\\", "\0", "é", "#", '"""', "'''", "=", ",", "\r", "\ufeff", "𐀀", '"M 0 0 a 1 1 0 1 1 0 0"'),
        *('"../../x"', "1979-05-27", '"*"', '"1:1e9"'),
    ]
)


@st.composite
def mutated(draw):
    """A good design in which a few stretches are cut out, doubled, swapped or replaced by other words."""
    text = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 4))):
        lines = text.split("\n")
        at = draw(st.integers(0, len(lines) - 1))
        what = draw(
            st.sampled_from(["drop", "double", "swap", "value", "key", "character", "join", "insert"])
        )
        if what == "drop":
            del lines[at]
        elif what == "double":
            lines.insert(at, lines[at])
        elif what == "swap":
            other = draw(st.integers(0, len(lines) - 1))
            lines[at], lines[other] = lines[other], lines[at]
        elif what == "value" and "=" in lines[at]:
            lines[at] = (
                lines[at].split("=")[0] + "= " + draw(words | st.floats().map(str) | st.integers().map(str))
            )
        elif what == "key" and "=" in lines[at]:
            lines[at] = (
                draw(st.sampled_from(["width", "name", "shape", "at", "x", "like"]))
                + " ="
                + lines[at].split("=", 1)[1]
            )
        elif what == "character" and lines[at]:
            i = draw(st.integers(0, len(lines[at]) - 1))
            lines[at] = lines[at][:i] + draw(st.characters()) + lines[at][i + 1 :]
        elif what == "join":
            lines[at : at + 2] = ["".join(lines[at : at + 2])]
        else:
            lines.insert(at, draw(words))
        text = "\n".join(lines) or "#"
    return text.encode("utf-8", "surrogatepass")


designs = st.one_of(
    mutated(),
    mutated(),
    st.lists(words, max_size=12).map(lambda w: " ".join(w).encode()),
    st.text(max_size=200).map(lambda t: t.encode("utf-8", "surrogatepass")),
    st.binary(max_size=200),
)


def outcome(data):
    """The design that was read, or the error, which has to be a clear one."""
    began = time.perf_counter()
    try:
        result = parse(data, "fuzz.toml", BOARDS, FORMS)
    except DesignError as error:
        result = error
        for one in error.errors if isinstance(error, DesignErrors) else (error,):
            assert 10 < len(str(one)) < 1500
            assert one.place.file == "fuzz.toml"
            assert one.place.line is None or 1 <= one.place.line <= data.count(b"\n") + 1
    assert time.perf_counter() - began < LONGEST
    return result


@settings(settings.get_profile("many"))
@given(designs)
def test_any_file_is_a_design_or_a_clear_error(data):
    result = outcome(data)
    if isinstance(result, Design):
        assert (result.form is None) != (not result.parts)
        assert 1 <= result.scale <= 1000
        for part in result.parts:
            assert part.outline.flat.is_valid
            assert max(map(abs, part.outline.bounds)) < 1e5
            assert (part.thickness is None) != (part.layers is None)


def test_the_seeds_themselves_are_designs():
    assert all(isinstance(outcome(seed.encode()), Design) for seed in SEEDS)
