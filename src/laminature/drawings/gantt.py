"""The plan for the evenings as a chart: bars of work, thin lines for waits, evenings as columns.

Nights would take nearly all of the page, so time has a break wherever nobody is at the bench for long: each
evening is a column to scale, and what waits overnight runs on through the gap.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from laminature.drawings.axis import Axis, axis_of
from laminature.geometry.lettering import shortened, text_width
from laminature.geometry.path import polyline
from laminature.model.drawing import Drawing, Stroke, Text
from laminature.model.task import Plan, Slot, Task
from laminature.model.words import Words

#: ISO 216 A4, mm; what is drawn also fits on 8½ × 11 in paper.
WIDTH, HEIGHT = 210.0, 297.0
MARGIN = 16.0
#: From the upper margin to the first row: title, two lines of facts, the numbers of the evenings.
HEAD = 36.0
#: Height of a row, mm: at most, and where that saves a page.
ROW, LOWEST = 4.0, 3.4
BAR = 2.2
BODY = 2.0
#: Room for the words of the tasks, and for the chart beside them.
WORDS = 62.0
LEFT = MARGIN + WORDS + 2.0
RIGHT = WIDTH - MARGIN
#: More evenings than this are not told apart on a page.
MOST_COLUMNS = 13
#: A bar is never drawn narrower, mm.
NARROWEST = 0.5
#: From words beside a bar to a column's line, mm.
CLEAR = 0.5


@dataclass(frozen=True)
class _Row:
    """A line of the chart: a task, the stretches of work on it, and until when it waits then."""

    title: str
    slots: tuple[Slot, ...]
    over: float

    @property
    def end(self) -> float:
        return self.slots[-1].end


def gantt(plan: Plan, words: Words) -> tuple[Drawing, ...]:
    """Pages with the plan, its tasks in the order of work. A plan without tasks has no page.

    Where it has no evenings, columns are stretches of work.
    """
    rows = _rows(plan)
    if not rows:
        return ()
    whole = axis_of([s for row in rows for s in row.slots], LEFT, RIGHT)
    pages = _paged(rows, whole)
    made = []
    for n, page in enumerate(pages, start=1):
        title = words.of("plan_title")
        if len(pages) > 1:
            title = words.of("page_of", title=title, n=str(n), all=str(len(pages)))
        axis = axis_of([s for row in page for s in row.slots], LEFT, RIGHT, whole)
        strokes, texts = _page(title, _facts(plan, whole, words), page, axis, words)
        ending = "" if n == 1 else f"-{n}"
        made.append(Drawing("plan" + ending, WIDTH, HEIGHT, tuple(strokes), tuple(texts), title))
    return tuple(made)


def duration(minutes: float) -> str:
    """Minutes as they are said: ``45 min``, ``1 h 30 min``, ``2 d 4 h``."""
    whole = round(minutes)
    if whole < 60:
        return f"{whole} min"
    if whole < 1440:
        hours, rest = divmod(whole, 60)
        return f"{hours} h" + (f" {rest} min" if rest else "")
    days, rest = divmod(round(whole / 60), 24)
    return f"{days} d" + (f" {rest} h" if rest else "")


def _rows(plan: Plan) -> list[_Row]:
    """A row for each task; what only waits shares that of the work it follows upon."""
    tasks = {task.name: task for task in plan.tasks}
    slots: dict[str, list[Slot]] = {}
    for slot in plan.slots:
        slots.setdefault(slot.task, []).append(slot)
    waits = {task.name: task.wait for task in plan.tasks}
    carriers = {name: _carrier(tasks[name], tasks) for name in slots}
    for name, carrier in carriers.items():
        if carrier is not None:
            waits[carrier] = max(waits[carrier], waits[name])
    return [
        _Row(tasks[name].title, tuple(mine), mine[-1].end + waits[name])
        for name, mine in slots.items()
        if carriers[name] is None
    ]


def _carrier(task: Task, tasks: dict[str, Task]) -> str | None:
    """The task whose row a mere wait shares: it alone comes before, and leaves no wait of its own."""
    if task.hands > 0.0 or len(task.after) != 1:
        return None
    before = tasks[task.after[0]]
    return before.name if before.hands > 0.0 and before.wait == 0.0 else None


def facts(plan: Plan, words: Words) -> tuple[str, ...]:
    """A plan in sentences: how long it takes, how near to the shortest it is, what the times are."""
    whole = axis_of([s for row in _rows(plan) for s in row.slots], LEFT, RIGHT)
    return _facts(plan, whole, words) if plan.slots else ()


def _facts(plan: Plan, axis: Axis, words: Words) -> tuple[str, ...]:
    hands = duration(sum(task.hands for task in plan.tasks))
    count = len(axis.columns)
    when = words.of("plan_stretches", n=str(count)) if count > 1 else words.of("plan_one_go")
    if axis.evenings:
        last = axis.columns[-1].number
        key = "plan_evenings" if count == last else "plan_some_evenings"
        when = words.of(key, n=str(count), all=str(last))
    first = words.of("plan_about", hands=hands, when=when, length=duration(plan.length))
    near = words.of("plan_proved")
    if plan.length >= plan.bound + 1.0:
        near = words.of("plan_near", less=duration(plan.length - plan.bound))
    if plan.naive >= plan.length + 1.0:
        near += " " + words.of("plan_naive", more=duration(plan.naive - plan.length))
    return first, near, words.of("plan_legend")


def _paged(rows: Sequence[_Row], axis: Axis) -> list[list[_Row]]:
    """The rows in pages: as many on each, and no more evenings than can be told apart."""
    least = math.ceil(len(rows) * LOWEST / (HEIGHT - 2.0 * MARGIN - HEAD))
    tall = math.ceil(len(rows) / least)
    columns = len(axis.columns)
    most = math.ceil(columns / math.ceil(columns / MOST_COLUMNS))
    pages: list[list[_Row]] = []
    first = 0
    for row in rows:
        column = axis.column(row.slots[0].start)
        if not pages or len(pages[-1]) == tall or column - first >= most:
            pages.append([])
            first = column
        pages[-1].append(row)
    return pages


def _page(
    title: str, about: Sequence[str], rows: Sequence[_Row], axis: Axis, words: Words
) -> tuple[list[Stroke], list[Text]]:
    top = HEIGHT - MARGIN
    texts = [Text(shortened(title, 5.0, WIDTH - 2.0 * MARGIN), MARGIN, top - 5.0, 5.0)]
    for n, line in enumerate(about):
        texts.append(Text(shortened(line, 2.3, WIDTH - 2.0 * MARGIN), MARGIN, top - 11.0 - 4.2 * n, 2.3))
    base = top - HEAD
    high = min(ROW, (base - MARGIN) / len(rows))
    foot = base - high * len(rows)
    strokes = _frame(axis, base, foot)
    texts += _heads(axis, base, words)
    for n, row in enumerate(rows, start=1):
        middle = base - high * (n - 0.5)
        told = shortened(row.title, BODY, WORDS)
        texts.append(Text(told, MARGIN, middle - BODY / 2.0, BODY))
        strokes += _drawn(row, axis, middle, n, MARGIN + text_width(told, BODY))
        after = row.over - row.end
        at = axis.x(row.over) + 1.0
        said = duration(after)
        if after >= 60.0:
            at = _between_lines(at, text_width(said, 1.6), axis)
            if at + text_width(said, 1.6) < RIGHT:
                texts.append(Text(said, at, middle - 0.8, 1.6))
    return strokes, texts


def _between_lines(at: float, wide: float, axis: Axis) -> float:
    """The first place from ``at`` on where words so ``wide`` are struck by no column's lines, mm."""
    lines = sorted(x for c in axis.columns for x in (c.left, c.right))
    for line in lines:
        if at - CLEAR < line < at + wide + CLEAR:
            at = line + CLEAR
    return at


def _frame(axis: Axis, base: float, foot: float) -> list[Stroke]:
    strokes = []
    for n, column in enumerate(axis.columns, start=1):
        left, right = column.left, column.right
        box = polyline([(left, foot), (right, foot), (right, base), (left, base)])
        strokes.append(Stroke("marking", box, f"column-{n}"))
    return strokes


def _heads(axis: Axis, base: float, words: Words) -> list[Text]:
    texts = [Text(words.of("plan_evening" if axis.evenings else "plan_stretch"), MARGIN, base + 5.4, BODY)]
    texts.append(Text(words.of("plan_until"), MARGIN, base + 1.6, BODY))
    for column in axis.columns:
        middle = (column.left + column.right) / 2.0
        texts.append(Text(str(column.number), middle, base + 5.4, 2.3, "middle"))
        hours, minutes = divmod(round(column.until - column.origin), 60)
        texts.append(Text(f"{hours}:{minutes:02d}", middle, base + 1.6, 1.8, "middle"))
    return texts


def _drawn(row: _Row, axis: Axis, middle: float, n: int, words: float) -> list[Stroke]:
    strokes = []
    first = axis.x(row.slots[0].start)
    if first - words > 6.0:
        leader = polyline([(words + 1.5, middle), (first - 1.0, middle)], closed=False)
        strokes.append(Stroke("notes", leader, f"leader-{n}", open=True))
    for k, slot in enumerate(row.slots, start=1):
        x0 = axis.x(slot.start)
        x1 = max(axis.x(slot.end), x0 + NARROWEST) if slot.end > slot.start else x0
        if x1 > x0:
            strokes += _bar(x0, x1, middle, f"bar-{n}-{k}")
    if row.over > row.end:
        last = axis.x(row.over)
        begin = max(axis.x(row.end), first + (NARROWEST if row.end > row.slots[0].start else 0.0))
        if last > begin:
            wait = polyline([(begin, middle), (last, middle)], closed=False)
            strokes.append(Stroke("opening", wait, f"wait-{n}", open=True))
        tick = polyline([(last, middle - BAR / 4.0), (last, middle + BAR / 4.0)], closed=False)
        strokes.append(Stroke("opening", tick, f"over-{n}", open=True))
    return strokes


def _bar(x0: float, x1: float, middle: float, name: str) -> list[Stroke]:
    """A bar that looks solid: its border, and one line to and fro inside."""
    low, high = middle - BAR / 2.0, middle + BAR / 2.0
    strokes = [Stroke("outline", polyline([(x0, low), (x1, low), (x1, high), (x0, high)]), name)]
    points = []
    y, right = low + 0.2, False
    while y < high - 0.1:
        points += [(x1, y), (x0, y)] if right else [(x0, y), (x1, y)]
        y, right = y + 0.2, not right
    strokes.append(Stroke("outline", polyline(points, closed=False), f"{name}-fill", open=True))
    return strokes
