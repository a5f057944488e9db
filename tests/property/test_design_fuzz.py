"""Random and mutated design files through all that ``check`` does: findings or a clear error.

Never another exception, never beyond the caps, and in bounded time. ``outcome`` is the one place
where a case meets the program.
"""

import re
import time

from hypothesis import given, settings
from hypothesis import strategies as st

from laminature import pipeline
from laminature.errors import DesignError, DesignErrors, LaminatureError
from laminature.model.design import Design
from laminature.model.finding import Finding

BOARDS = pipeline.known_boards(None, "boards.toml")
#: No case may take longer, seconds; most take a few hundredths. Generous for a busy machine.
LONGEST = 30.0

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
name = "radial-table"
height = "1 ft 11 1/2 in"   # to the sill
sides = 6
edge = "piecrust"
scallop_depth = "mini 0.8 mm"
rim_layers = 1
rim_width = "mini 2.5 mm"
legs = 4
leg_layers = 3
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
        elif what == "number" and re.search(r"[0-9]", lines[at]):
            factor = draw(st.sampled_from([0, 0.01, 0.3, 0.8, 1.1, 1.5, 3, 100]))
            number = re.search(r"[0-9]+", lines[at])
            changed = f"{int(number[0]) * factor:g}"
            lines[at] = lines[at][: number.start()] + changed + lines[at][number.end() :]
        elif what == "join":
            lines[at : at + 2] = ["".join(lines[at : at + 2])]
        else:
            lines.insert(at, draw(words))
        text = "\n".join(lines) or "#"
    return text.encode("utf-8", "surrogatepass")


@st.composite
def resized(draw):
    """A good design with some of its numbers changed by a factor: most can be read, many built."""
    text = draw(st.sampled_from(SEEDS))
    for _ in range(draw(st.integers(1, 5))):
        number = draw(st.sampled_from(list(re.finditer(r"(?<![\w.:-])[0-9]+", text))))
        changed = int(number[0]) * draw(st.sampled_from([0, 0.3, 0.6, 0.8, 0.9, 1.1, 1.3, 1.5, 2, 3, 30]))
        text = f"{text[: number.start()]}{changed:g}{text[number.end() :]}"
    return text.encode()


designs = st.one_of(
    mutated(),
    resized(),
    resized(),
    st.lists(words, max_size=12).map(lambda w: " ".join(w).encode()),
    st.text(max_size=200).map(lambda t: t.encode("utf-8", "surrogatepass")),
    st.binary(max_size=200),
)


def outcome(data):
    """The findings about the design, with it, or the error, which has to be a clear one."""
    began = time.perf_counter()
    result = checked(data)
    assert time.perf_counter() - began < LONGEST
    return result


def checked(data):
    try:
        design = pipeline.read_design(data, "fuzz.toml", None, BOARDS)
    except DesignError as error:
        for one in error.errors if isinstance(error, DesignErrors) else (error,):
            assert 10 < len(str(one)) < 1500
            assert one.place.file == "fuzz.toml"
            assert one.place.line is None or 1 <= one.place.line <= data.count(b"\n") + 1
        return error
    assert_is_sound(design)
    try:
        return design, pipeline.Build(design).findings
    except LaminatureError as error:
        assert len(str(error)) > 10
        return error


def assert_is_sound(design):
    assert (design.form is None) != (not design.parts)
    assert 1 <= design.scale <= 1000
    for part in design.parts:
        assert part.outline.flat.is_valid
        assert max(map(abs, part.outline.bounds)) < 1e5
        assert (part.thickness is None) != (part.layers is None)


@settings(settings.get_profile("many"))
@given(designs)
def test_any_file_leads_to_findings_or_a_clear_error(data):
    result = outcome(data)
    if isinstance(result, tuple):
        assert isinstance(result[0], Design)
        assert all(isinstance(finding, Finding) for finding in result[1])
    else:
        assert isinstance(result, LaminatureError)


def test_the_seeds_themselves_are_checked_to_the_end():
    assert all(isinstance(outcome(seed.encode()), tuple) for seed in SEEDS)
