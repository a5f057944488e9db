"""The chart of a plan: a row for each task, bars to scale within an evening, waits behind them."""

import pytest

from laminature.drawings.axis import BEHIND, LARGEST, NARROWEST, axis_of
from laminature.drawings.gantt import HEIGHT, LEFT, RIGHT, WIDTH, duration, gantt
from laminature.geometry.lettering import text_width
from laminature.model.task import Slot, Task
from laminature.planning.schedule import plan
from laminature.writers.pdf import pdf
from laminature.writers.svg import svg

from ...planned import DAY, EXAMPLES, WORDS, tasks_of


def task(name, hands, wait=0.0, after=()):
    return Task(name, name, name.capitalize(), hands, wait, tuple(after))


GLUE = (task("glue", 20.0), task("dry", 0.0, 720.0, ["glue"]), task("harden", 10.0, 15.0, ["dry"]))


def strokes(page, start):
    return {s.name: s for s in page.strokes if s.name.startswith(start)}


def span(stroke):
    xs = [x for x, _ in stroke.path.flattened]
    return min(xs), max(xs)


def test_a_wait_shares_the_row_of_what_it_follows_upon():
    (page,) = gantt(plan(GLUE, 60.0), WORDS)
    words = [t.text for t in page.texts]
    assert "Glue" in words
    assert "Harden" in words
    assert "Dry" not in words
    assert "12 h" in words
    bars = [n for n in strokes(page, "bar") if not n.endswith("fill")]
    assert bars == ["bar-1-1", "bar-2-1"]
    # Its line begins where the bar ends.
    assert span(strokes(page, "wait-1")["wait-1"])[0] == pytest.approx(
        span(strokes(page, "bar-1-1")["bar-1-1"])[1]
    )


def test_bars_are_to_scale_within_an_evening():
    tasks = (task("a", 10.0), task("b", 30.0), task("c", 20.0))
    (page,) = gantt(plan(tasks, 60.0), WORDS)
    widths = {}
    for name, bar in strokes(page, "bar").items():
        if not name.endswith("fill"):
            x0, x1 = span(bar)
            widths[name] = x1 - x0
    assert sorted(w / min(widths.values()) for w in widths.values()) == pytest.approx([1.0, 2.0, 3.0])


@pytest.mark.parametrize("name", EXAMPLES)
def test_bars_of_all_evenings_have_one_scale_on_a_page(name):
    """No short bar looks long because its evening's column would be too narrow."""
    scheduled = plan(tasks_of(name), 45.0)
    slots = [s for s in scheduled.slots if s.end > s.start]
    axis = axis_of(slots, LEFT, RIGHT)
    scales = [(axis.x(s.end) - axis.x(s.start)) / (s.end - s.start) for s in slots]
    assert scales == pytest.approx([scales[0]] * len(scales))


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_words_of_a_chart_are_struck_by_the_lines_of_its_columns(name):
    for evening in (30.0, 60.0, 120.0):
        for page in gantt(plan(tasks_of(name), evening), WORDS):
            columns = [span(s) for s in strokes(page, "column").values()]
            top = max(y for s in strokes(page, "column").values() for _, y in s.path.flattened)
            lines = [x for ends in columns for x in ends]
            for text in page.texts:
                if text.anchor == "start" and text.y < top:
                    right = text.x + text_width(text.text, text.size)
                    assert not [x for x in lines if text.x - 0.2 < x < right + 0.2], text.text


def test_an_evening_on_two_pages_ends_at_one_time_on_both():
    tasks = tuple(task(f"t{n}", 1.0) for n in range(100))
    pages = gantt(plan(tasks, 120.0), WORDS)
    assert len(pages) > 1
    ends = {t.text for page in pages for t in page.texts if t.size == 1.8}
    assert ends == {"1:40"}


def test_work_that_no_evening_holds_has_a_bar_in_each():
    (page,) = gantt(plan((task("long", 150.0),), 60.0), WORDS)
    assert [n for n in strokes(page, "bar") if not n.endswith("fill")] == ["bar-1-1", "bar-1-2", "bar-1-3"]


def test_time_runs_on_through_the_gaps():
    axis = axis_of([Slot("a", 0.0, 60.0, 1), Slot("b", DAY, DAY + 30.0, 2)], LEFT, RIGHT)
    times = [0.0, 30.0, 60.0, 61.0, 700.0, DAY - 1.0, DAY, DAY + 30.0, DAY + 31.0, 2 * DAY, 9 * DAY]
    places = [axis.x(t) for t in times]
    assert places == sorted(places)
    assert places[0] == LEFT
    assert places[-1] == RIGHT
    gap = axis.columns[1].left - axis.columns[0].right
    assert axis.x((60.0 + DAY) / 2.0) == pytest.approx(axis.columns[0].right + gap / 2.0)


def test_columns_have_one_scale_but_none_is_too_narrow():
    slots = [Slot(f"t{n}", n * DAY, n * DAY + length, n + 1) for n, length in enumerate((120.0, 60.0, 1.0))]
    widths = [c.right - c.left for c in axis_of(slots, 0.0, 100.0).columns]
    assert widths[0] == pytest.approx(2.0 * widths[1])
    assert widths[2] == pytest.approx(NARROWEST)
    assert widths[0] <= 120.0 * LARGEST
    assert axis_of(slots, 0.0, 100.0).columns[-1].right <= 100.0 - BEHIND + 1e-9


def test_without_evenings_columns_are_stretches_of_work():
    made = plan(GLUE)
    axis = axis_of(list(made.slots), LEFT, RIGHT)
    assert not axis.evenings
    assert [(c.number, c.begin, c.end) for c in axis.columns] == [(1, 0.0, 20.0), (2, 740.0, 750.0)]


def test_nothing_to_do_has_no_page():
    assert gantt(plan(()), WORDS) == ()


def test_hundreds_of_tasks_take_several_pages_and_keep_their_numbers():
    tasks = tuple(task(f"t{n}", 5.0, 0.0, [f"t{n - 1}"] if n else ()) for n in range(200))
    pages = gantt(plan(tasks, 60.0), WORDS)
    assert len(pages) > 2
    assert pages[1].title == f"Plan for the evenings (2 of {len(pages)})"
    assert [p.name for p in pages[:2]] == ["plan", "plan-2"]
    assert sum(len([n for n in strokes(p, "bar") if not n.endswith("fill")]) for p in pages) == 200
    numbers = [t.text for t in pages[-1].texts if t.text.isdigit()]
    assert numbers[-1] == "17"


@pytest.mark.parametrize("evening", [None, 60.0, 120.0])
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_examples_charts_stay_on_the_page_and_can_be_written(name, evening):
    pages = gantt(plan(tasks_of(name), evening), WORDS)
    for page in pages:
        for stroke in page.strokes:
            for x, y in stroke.path.flattened:
                assert 10.0 <= x <= WIDTH - 10.0
                assert 10.0 <= y <= HEIGHT - 10.0
        assert svg(page).startswith(b"<?xml")
    assert pdf(pages).startswith(b"%PDF")


@pytest.mark.parametrize(
    ("minutes", "text"),
    [
        (0.4, "0 min"),
        (59.4, "59 min"),
        (60.0, "1 h"),
        (90.0, "1 h 30 min"),
        (1440.0, "1 d"),
        (1439.8, "1 d"),
        (8887.5, "6 d 4 h"),
    ],
)
def test_durations_in_words(minutes, text):
    assert duration(minutes) == text
