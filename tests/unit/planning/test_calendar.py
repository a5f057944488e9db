"""Evenings: when work can begin, and how it goes on."""

import pytest

from laminature.planning.calendar import DAY, Calendar

EVENINGS = Calendar(120.0)


@pytest.mark.parametrize(
    ("ready", "hands", "start"),
    [
        (0.0, 120.0, 0.0),
        (0.0, 120.5, 0.0),
        (60.0, 60.0, 60.0),
        (60.0, 60.5, DAY),
        (119.0, 0.0, 119.0),
        (700.0, 0.0, 700.0),
        (700.0, 1.0, DAY),
        (DAY + 1.0, 500.0, 2 * DAY),
    ],
)
def test_work_begins_where_the_evening_still_holds_it(ready, hands, start):
    assert EVENINGS.start(ready, hands) == start


def test_what_no_evening_holds_goes_on_evening_by_evening():
    assert EVENINGS.stretches(DAY, 250.0) == (
        (DAY, DAY + 120.0),
        (2 * DAY, 2 * DAY + 120.0),
        (3 * DAY, 3 * DAY + 10.0),
    )
    assert EVENINGS.end(DAY, 250.0) == 3 * DAY + 10.0


def test_without_evenings_work_begins_at_once():
    assert Calendar().start(777.0, 5000.0) == 777.0
    assert Calendar().end(777.0, 5000.0) == 5777.0
    assert Calendar().number(1e6) == 1


def test_hands_are_there_again_the_next_evening():
    assert EVENINGS.next_hands(30.0) == (30.0, 120.0)
    assert EVENINGS.next_hands(120.0) == (DAY, DAY + 120.0)


@pytest.mark.parametrize("hands", [5.0, 60.0, 120.0, 121.0, 240.0, 500.0])
@pytest.mark.parametrize("end", [DAY * 5, DAY * 5 + 3.0, DAY * 5 + 60.0, DAY * 5 + 120.0, DAY * 5 + 700.0])
def test_the_latest_start_is_the_last_that_ends_in_time(hands, end):
    latest = EVENINGS.latest(end, hands)
    assert EVENINGS.start(latest, hands) == latest
    assert EVENINGS.end(latest, hands) <= end
    later = EVENINGS.start(latest + 0.01, hands)
    assert EVENINGS.end(later, hands) > end
