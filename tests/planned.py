"""Plans to test with: the examples' tasks and supplies, and a checker that knows only what a plan is."""

import pathlib
from functools import cache
from itertools import pairwise

from laminature import front
from laminature.data import library
from laminature.design.rates import read_rates
from laminature.pipeline.reading import guide_words
from laminature.planning.supplies import supplies_for
from laminature.planning.tasks import tasks_for

ROOT = pathlib.Path(__file__).parents[1]
WORDS = guide_words("british")
RATES = read_rates(library.rates(), "rates.toml")
EXAMPLES = ("lamp-table", "window-seat", "lookout-stool", "chart-rack", "tide-chest", "slat-chair")
DAY = 1440.0

#: A post that carries a board, whose face is glued on over the joint.
BOLLARD = """
title = "Bollard"
scale = "1:12"
board = "chipboard-22"
stands = false

[[part]]
name = "post"
shape = "rectangle"
width = "14 in"
height = "24 in"
layers = 4
stance = "facing front"
at = ["3 in", "mini 13 mm", "0 in"]

[[part]]
name = "top"
shape = "rectangle"
width = "20 in"
height = "24 in"
layers = 4
show = ["upper"]
at = ["0 in", "0 in", "mini 50.8 mm"]

[[stack]]
parts = "top"
face_last = true
"""


@cache
def built(name):
    return front.build(front.read(ROOT / "examples" / f"{name}.toml"))


@cache
def tasks_of(name):
    b = built(name)
    cutting, kind = b.design.cutting, b.design.cutter
    seconds = {
        sheet.name: route.seconds(cutting, cutting.passes or b.boards[sheet.board].passes(kind))
        for sheet, route in zip(b.sheets, b.routes, strict=True)
    }
    return tasks_for(
        b.piece, b.joints, b.cut_layers, b.sheets, b.assembly, b.cushions, RATES, seconds, WORDS, kind
    )


@cache
def supplies_of(name):
    b = built(name)
    return supplies_for(b.piece, b.joints, b.cut_layers, b.sheets, b.cushions, b.boards, RATES, WORDS)


def check(plan, tasks, evening=None):
    """Replay a plan: nothing overlaps, nothing begins too early, all is worked on as long as it takes."""
    slots = {}
    for slot in plan.slots:
        slots.setdefault(slot.task, []).append(slot)
    assert set(slots) == {t.name for t in tasks}
    known = {t.name: t for t in tasks}
    over = {name: mine[-1].end + known[name].wait for name, mine in slots.items()}
    for name, mine in slots.items():
        task = known[name]
        assert abs(sum(s.end - s.start for s in mine) - task.hands) < 1e-6
        assert all(mine[0].start >= over[before] - 1e-6 for before in task.after)
        if evening is not None and 0.0 < task.hands <= evening:
            assert len(mine) == 1
    work = sorted((s.start, s.end) for s in plan.slots if s.end > s.start)
    assert all(a[1] <= b[0] + 1e-6 for a, b in pairwise(work))
    if evening is not None:
        for slot in plan.slots:
            if slot.end > slot.start:
                begins = (slot.evening - 1) * DAY
                assert begins - 1e-6 <= slot.start
                assert slot.end <= begins + evening + 1e-6
    assert abs(plan.length - max(over.values(), default=0.0)) < 1e-5
    assert plan.bound <= plan.length + 1e-6
    assert plan.length <= plan.naive + 1e-6
