"""Ledgers read back as they were written, and no bytes bring the reader down."""

import datetime

from hypothesis import example, given, settings
from hypothesis import strategies as st

from laminature.errors import StoreError
from laminature.geometry.flat import flat, rectangle
from laminature.model.offcut import Keep, Offcut
from laminature.store.offcuts import Entered, Ledger, dump, parse
from laminature.store.toml import string

SIDES = st.floats(1.0, 3000.0)
WORDS = st.text(st.characters(codec="utf-8"), max_size=20)
NAMES = st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._-]{0,9}", fullmatch=True)


@st.composite
def outlines(draw):
    w, h = draw(SIDES), draw(SIDES)
    if draw(st.booleans()):
        return rectangle(0.0, 0.0, w, h)
    x, y = draw(st.floats(0.2, 0.8)) * w, draw(st.floats(0.2, 0.8)) * h
    holes = [[(x / 4, y / 4), (x / 4, y / 2), (x / 2, y / 2)]] if draw(st.booleans()) else []
    return flat([(0.0, 0.0), (w, 0.0), (w, y), (x, y), (x, h), (0.0, h)], holes)


@st.composite
def ledgers(draw):
    names = draw(st.lists(NAMES, max_size=5, unique_by=str.casefold))
    offcuts = tuple(
        Offcut(name, draw(WORDS.filter(bool)), draw(outlines()), draw(st.sampled_from(["x", "y", "none"])))
        for name in names
    )
    cuts = tuple(
        Entered(draw(WORDS), draw(WORDS), tuple(draw(st.lists(WORDS, max_size=2))), ("K3",))
        for _ in range(draw(st.integers(0, 2)))
    )
    keep = Keep((draw(SIDES), draw(SIDES)), (draw(SIDES), draw(SIDES)))
    return Ledger(offcuts, 10**9 - 1, keep, cuts)


@given(ledgers())
def test_a_ledger_reads_back_as_it_was(ledger):
    assert parse(dump(ledger), "x") == ledger


WHOLE = dump(
    Ledger(
        (
            Offcut("K1", "card-10", rectangle(0, 0, 120, 80), "y", "drawer"),
            Offcut("K2", "card-10", flat([(0, 0), (80, 0), (80, 20), (20, 20), (20, 60), (0, 60)])),
        ),
        3,
        cuts=(Entered("seal", "Lamp", ("K0",), ("K2",)),),
    )
)


def read_or_refused(data):
    """The ledger in ``data``, or None where it is refused with a message that names the file."""
    try:
        return parse(data, "file.toml")
    except StoreError as error:
        assert "file.toml" in str(error)
        return None


@given(st.binary(max_size=300))
@settings(settings.get_profile("many"))
def test_any_bytes_are_read_or_refused(data):
    read_or_refused(data)


@given(st.data())
@settings(settings.get_profile("many"))
def test_a_damaged_ledger_is_read_or_refused(data):
    at = data.draw(st.integers(0, len(WHOLE) - 1))
    gone = data.draw(st.integers(0, 12))
    put = data.draw(st.binary(max_size=6))
    found = read_or_refused(WHOLE[:at] + put + WHOLE[at + gone :])
    if found is not None:
        assert parse(dump(found), "x") == found


VALUES = st.recursive(
    st.one_of(
        st.integers(-(10**25), 10**25),
        st.floats(),
        st.booleans(),
        WORDS,
        st.just(datetime.datetime(1979, 5, 27, 7, 32)),
    ),
    lambda inner: st.one_of(st.lists(inner, max_size=4), st.dictionaries(NAMES, inner, max_size=3)),
    max_leaves=8,
)
KEYS = ("name", "board", "grain", "width", "height", "points", "openings", "origin")


def toml(value):
    """A value as TOML writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float):
        return repr(value)  # nan and inf are written so in TOML too
    if isinstance(value, datetime.datetime):
        return value.isoformat()
    if isinstance(value, str):
        return string(value)
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{k}" = {toml(v)}' for k, v in value.items()) + "}"
    return str(value)


@given(st.sampled_from(KEYS), VALUES)
@settings(settings.get_profile("many"))
@example("points", [[0, 0], [10**25, 0], [5, 5]])
@example("width", 10**400)
@example("grain", {"x": 1})
def test_any_value_at_any_key_is_read_or_refused(key, value):
    usual = {"name": "K1", "board": "card", "width": 80, "height": 50} | {key: value}
    if key in ("points", "openings"):
        usual = {k: v for k, v in usual.items() if k not in ("width", "height")}
    lines = [f"{k} = {toml(v)}" for k, v in usual.items()]
    read_or_refused("\n".join(["format = 1", "[[offcuts]]", *lines]).encode("utf-8", "replace"))


@given(st.sampled_from(["format", "next", "keep", "keep_drop_outs", "offcuts", "cuts"]), VALUES)
def test_any_value_at_any_key_of_the_file_is_read_or_refused(key, value):
    usual = {"format": 1, "next": 1} | {key: value}
    read_or_refused("\n".join(f"{k} = {toml(v)}" for k, v in usual.items()).encode("utf-8", "replace"))
