"""A cushion's steps in words and its tasks in the plan are the same work in the same order."""

import itertools
import pathlib
from functools import cache

import pytest

import laminature as lam
from laminature import pipeline
from laminature.pipeline.reading import guide_words
from laminature.writers.cushion_words import cushion_steps

EXAMPLES = pathlib.Path(__file__).parents[2] / "examples"
STOOL = """
[form]
name = "radial-table"
height = "18 in"
width = "15 in"
sides = 0
[cushion]
"""
TEXTS = {
    "window-seat": (EXAMPLES / "window-seat.toml").read_text(),
    "lookout-stool": (EXAMPLES / "lookout-stool.toml").read_text(),
    "nothing behind": STOOL + "backing_panels = 0",
    "knots alone": STOOL + 'backing_panels = 1\npiping = "0.5 mm"',
    "three behind": STOOL + "backing_panels = 3",
    "channels": STOOL + 'pattern = "channels"\npiping = "0.5 mm"',
    "plain": STOOL + 'pattern = "plain"',
}
#: What only the words of each kind of task hold.
SAID = {
    "drill": "drill 0.8 mm",
    "batting": "glue it on in that order",
    "cloth": "Cut the cloth",
    "buttons": "Sew ",
    "behind": "behind",
    "edge": "turn it under",
    "piping": "Piping:",
}


@cache
def build_of(name):
    """The build of a design, and the rows of words about its one cushion."""
    given = pipeline.read_design(TEXTS[name].encode(), "t.toml", None, pipeline.known_boards(None, ""))
    build = lam.build(given)
    (made,) = build.cushions
    return build, cushion_steps(made, build.aids.parts, "cushion/", guide_words("british"))[1:]


@pytest.mark.parametrize("name", TEXTS)
def test_words_and_plan_tell_one_order(name):
    build, rows = build_of(name)
    tasks = [t for t in build.plan.tasks if t.kind == "upholster"]
    kinds = [t.name.split("/")[0] for t in tasks]
    # "edge" also says "draw the cloth round", and the panels come before it: no cloth is under them.
    assert [SAID[kind] in row for kind, row in zip(kinds, rows, strict=True)] == [True] * len(rows)
    assert kinds == [kind for kind in SAID if kind in kinds]
    for earlier, later in itertools.pairwise(tasks):
        assert earlier.name in later.after


@pytest.mark.parametrize("name", TEXTS)
def test_every_panel_behind_the_guide_is_glued_on_in_both(name):
    build, rows = build_of(name)
    letters = {p.name.rpartition("-")[2]: p.letter for p in build.aids.parts}
    behind = [letters[kind] for kind in ("relief", "backing") if kind in letters]
    wanted = f"{', then '.join(behind)} behind {letters['guide']}"
    told = [text for text in (*rows, *(t.title for t in build.plan.tasks)) if wanted in text]
    assert len(told) == (2 if behind else 0)
    assert any("glue " in t.title and "behind" in t.title for t in build.plan.tasks) == bool(behind)
