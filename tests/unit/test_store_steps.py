"""Steps of undo and redo on the disk: small, bounded, and back as they were."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from laminature.store.steps import MOST_KEPT, Steps, packed, unpacked

TEXTS = st.one_of(st.binary(max_size=40), st.text("ab\n\u00e9\U0001f600", max_size=12).map(str.encode))
SIDE = st.lists(st.tuples(st.text(max_size=5), TEXTS), max_size=6).map(tuple)


@given(TEXTS, SIDE, SIDE)
def test_they_come_back_as_they_were(now, past, future):
    steps = Steps(now, past, future)
    assert unpacked(json.loads(packed(steps))) == steps


def design(n):
    return (f"height = {n}\n" + "# a line of the design\n" * 400).encode()


def test_a_hundred_changes_of_a_value_take_little_more_than_the_design():
    past = tuple(("height", design(n)) for n in range(100))
    assert len(packed(Steps(design(100), past))) < len(design(100)) + 100 * 40


def test_the_newest_hundred_stay():
    past = tuple((str(n), design(n)) for n in range(250))
    found = unpacked(json.loads(packed(Steps(design(250), past, past))))
    assert found.past == past[-MOST_KEPT:]
    assert found.future == past[-MOST_KEPT:]


def test_the_oldest_fall_away_where_they_take_too_much():
    long = [bytes([65 + n]) * 600_000 for n in range(5)]
    steps = Steps(long[0], tuple((str(n), text) for n, text in enumerate(long[1:])))
    found = unpacked(json.loads(packed(steps)))
    assert found.past == steps.past[-2:]


@pytest.mark.parametrize(
    "broken",
    [
        None,
        [],
        {"now": 3, "past": [], "future": []},
        {"now": "a", "past": [["x", 1, 1, ""]], "future": []},
        {"now": "a", "past": [["x", -1, 0, ""]], "future": []},
        {"now": "a", "past": [["x", 0, 0, 7]], "future": []},
        {"now": "a", "past": 4, "future": []},
        {"now": "a", "past": []},
    ],
)
def test_what_is_broken_is_no_step(broken):
    assert unpacked(broken) is None
