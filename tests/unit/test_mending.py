"""Mends as a whole kind: whatever is offered certainly mends its finding, and can be taken back."""

import pathlib
import re
import tomllib

import pytest

from laminature import pipeline
from laminature.errors import Cancelled
from laminature.pipeline.mending import trial
from laminature.pipeline.mending.trial import tried_mends
from laminature.worktable.history import History

from ..spoilt import SPOILT, example, joint, stand

ROOT = pathlib.Path(__file__).parents[2]
BOARDS = pipeline.known_boards(None, "")


def read(text):
    return pipeline.read_design(text, "design.toml", pathlib.Path(), BOARDS)


def built(text):
    return pipeline.Build(read(text))


def key(finding):
    return (finding.code, finding.part, finding.parts)


def graded(findings, grade):
    return [key(f) for f in findings if f.grade == grade]


@pytest.mark.parametrize("name", SPOILT)
def test_every_mend_removes_its_finding_brings_no_stop_and_can_be_taken_back(name):
    source, code = SPOILT[name], name.partition(",")[0]
    build = built(source)
    before, mends = build.findings, tried_mends(build, read)
    offered = [(f, m) for f, m in zip(before, mends, strict=True) if m is not None]
    assert code in {f.code for f, _ in offered}, [(f.code, f.message) for f in before]
    tried = {}
    for finding, mend in offered:
        changes = {path: list(v) if isinstance(v, tuple) else v for path, v in mend.changes}
        label = (mend.label, str(changes))
        if label not in tried:
            history = History()
            after = pipeline.changed(source, changes)
            history.changed(mend.label, source)
            tried[label] = built(after).findings
            tomllib.loads(after.decode())
            assert history.undo(after) == source
        left = tried[label]
        assert sum(key(f) == key(finding) for f in left) < sum(key(f) == key(finding) for f in before)
        assert finding.message not in [f.message for f in left if key(f) == key(finding)]
        assert not set(graded(left, "stop")) - set(graded(before, "stop"))
        assert len(graded(left, "stop")) <= len(graded(before, "stop"))
        if finding.grade != "stop":
            assert len(graded(left, "care")) <= len(graded(before, "care"))


@pytest.mark.parametrize("example_name", ["lamp-table", "chart-rack", "slat-chair"])
def test_in_the_examples_only_notes_are_offered_a_mend(example_name):
    build = built(example(example_name, {}))
    assert {f.grade for f, m in zip(build.findings, tried_mends(build, read), strict=True) if m} <= {"note"}


def test_a_change_that_does_not_serve_is_not_offered():
    # Under a part without any straight room no number of tabs is wide enough.
    build = built(stand(width="1 in", more=joint(kind='"tabs"', depth=1)))
    mends = tried_mends(build, read)
    labels = [m.label for f, m in zip(build.findings, mends, strict=True) if m and f.code == "run-too-short"]
    assert "Let leg go only one layer deep into top" not in labels


def test_what_has_no_thought_has_no_mend():
    build = built(example("window-seat", {}))
    mends = dict(zip([f.code for f in build.findings], tried_mends(build, read), strict=True))
    assert mends["cure-before-cushion"] is None
    assert mends["stands"] is None


def test_trials_end_when_they_are_not_wanted_any_more_or_have_taken_long():
    build = built(SPOILT["tab-narrow, many"])
    assert build.findings

    def enough(_share, _words):
        raise Cancelled("a newer text has come")

    with pytest.raises(Cancelled):
        tried_mends(build, read, enough)
    assert not any(tried_mends(build, read, seconds=-1.0))


def test_the_documents_say_of_every_code_whether_it_can_be_mended():
    text = (ROOT / "docs" / "checks.md").read_text("utf-8")
    table, _, mending = text.partition("## What can be mended by a button")
    codes = set(re.findall(r"^\| `([a-z-]+)` \|", table, re.MULTILINE))
    mended, _, rest = mending.partition("No button")
    said_mended = set(re.findall(r"^\| (.*?) \|", mended, re.MULTILINE))
    named = {code for cell in said_mended for code in re.findall(r"`([a-z-]+)`", cell)} & codes
    without = set(re.findall(r"`([a-z-]+)`", rest)) & codes
    assert named | without == codes
    assert not named & without
    assert set(trial._THOUGHTS) <= named
