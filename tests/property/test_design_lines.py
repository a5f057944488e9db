"""The index of lines agrees with the standard library's reader on every key of every file."""

import tomllib

import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from laminature.design.lines import Refused, lines_of

names = st.sampled_from(["a", "b-1", "part", "x y", "it's", 'say "so"', "ü", "a.b", "", "#", "[t]", "\\u"])
leaves = (
    st.integers(-(10**6), 10**6)
    | st.booleans()
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.sampled_from(["", "# no comment", "a = 1", "[x]", 'quo"te', "it's", "two\nlines", "'''", "x\\", "ü"])
)
values = st.recursive(
    leaves,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(names, inner, max_size=4),
    max_leaves=12,
)
documents = st.dictionaries(names, values, max_size=6)


def paths_in(value, path=()):
    if path:
        yield path
    if isinstance(value, dict):
        for key, item in value.items():
            yield from paths_in(item, (*path, key))
    elif isinstance(value, list):
        for i, item in enumerate(value):
            yield from paths_in(item, (*path, i))


def check_every_key_has_a_line_that_holds_it(text):
    read = tomllib.loads(text)
    lines = lines_of(text)
    assert set(paths_in(read)) == set(lines)
    physical = text.split("\n")
    for path, line in lines.items():
        last = path[-1]
        if isinstance(last, str) and last.isidentifier():
            assert last in physical[line - 1]


@given(documents)
def test_files_that_a_library_wrote(document):
    check_every_key_has_a_line_that_holds_it(tomlkit.dumps(document))


keys = st.sampled_from(["a", "b", "'c d'", '"e\\tf"', "g . h", 'i."j.k"', "1"])
spaces = st.sampled_from(["", " ", "\t"])
scalars = st.sampled_from(
    [
        *("1", "-2.5e3", "true", '"x # y"', "'[x]'", "1979-05-27 07:32:00Z", "0xff", '"\\""', "inf"),
        *('"""\nlong # text\nx = 1\n"""', "'''\n[no]\n'''", '"""a""b"""', '"""quote at end""""'),
    ]
)
arrays = st.lists(st.tuples(spaces, scalars), max_size=3).map(
    lambda items: "[" + ",".join(f"\n  # [note] ]\n{s}{v}{s}" for s, v in items) + "\n]"
)
inlines = st.lists(
    st.tuples(st.sampled_from(["p", "q.r", "'s t'"]), scalars | arrays), max_size=3, unique_by=lambda t: t[0]
)
inline_tables = inlines.map(lambda items: "{ " + ", ".join(f"{k} = {v}" for k, v in items) + " }")
hand_values = scalars | arrays | inline_tables
pairs = st.tuples(spaces, keys, spaces, hand_values, st.sampled_from(["", " # a = 1", "\t# 'open"])).map(
    lambda t: f"{t[0]}{t[1]}{t[2]}={t[2]}{t[3]}{t[4]}"
)
headers = st.sampled_from(
    [
        "[t]",
        "[ t . u ]",
        '[t."v w"]',
        "[[part]]",
        "[[ part ]]",
        "[[part.opening]]",
        "[part.rim]",
        "# note",
        "",
    ]
)
hand_written = st.lists(pairs | headers, max_size=14).map("\n".join)


@given(hand_written, st.booleans())
def test_files_as_hands_write_them(text, dos):
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        lines_of(text)
        return
    check_every_key_has_a_line_that_holds_it(text)
    if dos:
        assert lines_of(text.replace("\n", "\r\n")) == lines_of(text)


@given(st.text(max_size=200) | st.text(alphabet="a.=[]{}\"'\n\\,#1 ", max_size=80))
def test_any_text_is_walked_without_complaint(text):
    try:
        lines_of(text)
    except Refused as refused:
        assert 1 <= refused.line <= text.count("\n") + 1
