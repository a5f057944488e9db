"""Values, scenes, undo and redo: one page, several pages, quick hands."""

import pathlib
import sys
from typing import get_args

import numpy as np
import pytest

from laminature.model.cushion import Pattern

ROOT = pathlib.Path(__file__).parents[2]
sys.path.append(str(ROOT / "benchmarks"))
from read_to_layers import crate  # noqa: E402

HEIGHT = ("form", "height")


def test_an_example_is_drawn_with_all_its_meshes(page):
    opened, scene = page.open()
    assert opened["file"] == ""
    digests = {part["mesh"] for part in scene["parts"]}
    assert {name.split("/")[0] for name in scene["blobs"]} == digests
    for digest in digests:
        at, faces = scene["blobs"][f"{digest}/at"], scene["blobs"][f"{digest}/faces"]
        assert at.dtype == np.float32
        assert faces.dtype == np.uint32
        assert faces.max() < len(at) // 3
        assert len(scene["blobs"][f"{digest}/of"]) == len(faces) // 3


def test_only_changed_meshes_are_sent_and_each_once(page):
    page.open()
    first = page.set(HEIGHT, "24 in")
    sent = {name.split("/")[0] for name in first["blobs"]}
    assert sent, "a new height changes something"
    again = page.set(HEIGHT, "24 in", label="the same")
    assert not again["blobs"]
    page.set(HEIGHT, "23 in")
    back = page.set(HEIGHT, "24 in")
    assert not back["blobs"], "what the page has had before it still has"


def test_meshes_that_the_page_says_it_has_are_not_sent(server):
    with server.page() as page:
        opened, _ = page.open()
        scene = page.hear("scene", where=lambda h: h["soft"])
        digests = sorted({part["mesh"] for part in scene["parts"]})
    with server.page() as page:
        page.say("have", meshes=digests[:1])
        _, again = page.open("work", work=opened["work"])
        assert {name.split("/")[0] for name in again["blobs"]} == set(digests[1:])


def test_the_makers_notes_stay_through_change_undo_and_redo(page):
    page.open()
    before = page.text()
    page.set(HEIGHT, "24 in", label="height")
    changed = page.text()
    assert '"24 in"' in changed
    notes = [line for line in before.splitlines() if line.startswith("#")]
    assert notes
    assert [line for line in changed.splitlines() if line.startswith("#")] == notes
    page.say("undo", id=5)
    page.hear("scene", where=lambda h: h.get("id") == 5)
    assert page.hear("state")["redo"] == "height"
    assert page.text() == before
    page.say("redo")
    assert page.hear("state", where=lambda h: h["undo"] == "height")["redo"] is None
    assert page.text() == changed


def test_undo_with_nothing_to_take_back_changes_nothing(page):
    page.open()
    before = page.text()
    page.say("undo", id=1)
    page.hear("scene", where=lambda h: h.get("id") == 1)
    page.say("redo", id=2)
    page.hear("scene", where=lambda h: h.get("id") == 2)
    assert page.text() == before


def test_a_gesture_is_one_step_of_undo(page):
    page.open()
    before = page.text()
    for inches in range(18, 24):
        page.set(HEIGHT, f"{inches} in", settle=False, label="height")
    page.set(HEIGHT, "24 in", label="height")
    page.say("undo")
    assert page.hear("state", where=lambda h: h["redo"] == "height")["undo"] is None
    assert page.text() == before


def test_an_unfinished_gesture_can_be_undone_too(page):
    page.open()
    before = page.text()
    page.set(HEIGHT, "22 in", settle=False, label="height")
    page.say("undo")
    page.hear("state", where=lambda h: h["redo"] == "height")
    assert page.text() == before


def test_a_value_that_cannot_be_is_refused_and_kept_as_typed(server):
    with server.page() as page:
        opened, scene = page.open()
        before = page.text()
        refused = page.set(HEIGHT, "900 in")
        assert refused["kind"] == "refused"
        assert refused["problems"][0]["path"] == list(HEIGHT)
        assert "too large" in refused["problems"][0]["message"]
        state = page.hear("state")
        assert [(p["path"], p["value"]) for p in state["pending"]] == [(list(HEIGHT), "900 in")]
        assert page.text() == before
    with server.page() as page:
        page.say("work", work=opened["work"])
        state = page.hear("state")
        assert [(p["path"], p["value"]) for p in state["pending"]] == [(list(HEIGHT), "900 in")]
        again = page.hear("scene")
        assert {part["mesh"] for part in scene["parts"]} <= {part["mesh"] for part in again["parts"]}
        page.set(HEIGHT, "20 in")
        assert page.hear("state")["pending"] == []


NONSENSE = ["", "about knee high", [], ["1 in"], True, "18", 10**15, "18 in\n# x", "\u2028", "'\"\\"]


@pytest.mark.parametrize("value", NONSENSE)
def test_nonsense_is_refused_or_taken_but_never_breaks_anything(page, value):
    page.open()
    answer = page.set(HEIGHT, value)
    assert answer["kind"] in ("scene", "refused")
    page.set(HEIGHT, "20 in")
    assert page.set(HEIGHT, "21 in")["kind"] == "scene"


def test_values_that_only_go_together_are_taken_together(page):
    """What was refused for another value's sake is taken as soon as that one allows it."""
    page.open()
    refused = page.set(("board",), "no-such-board")
    assert refused["kind"] == "refused"
    state = page.hear("state")
    assert state["pending"]
    assert page.set(HEIGHT, "19 in")["kind"] == "scene"
    assert page.hear("state")["pending"], "still wrong, so still kept"
    assert page.set(("board",), "chipboard-30")["kind"] == "scene"
    assert page.hear("state")["pending"] == []


def test_a_place_that_is_not_there_is_refused(page):
    page.open()
    refused = page.set(("part", 7, "name"), "x")
    assert refused["kind"] == "refused"
    assert page.set(HEIGHT, "21 in")["kind"] == "scene"


def test_the_whole_file_can_be_written_anew(page):
    page.open()
    before = page.text()
    page.say("rewrite", text=before.replace("Lookout stool", "Gallery stool"), seq=1, id=4)
    page.hear("scene", where=lambda h: h.get("id") == 4)
    assert page.hear("state")["title"] == "Gallery stool"
    page.say("rewrite", text=before + "\nlegs = = 3\n", seq=2)
    refused = page.hear("refused")
    assert refused["problems"][0]["line"] == before.count("\n") + 2
    assert page.hear("state")["pending"][0]["value"].endswith("legs = = 3\n")
    assert "Gallery stool" in page.text()
    page.say("undo")
    page.hear("state", where=lambda h: h["redo"])
    assert page.text() == before


def test_a_whole_text_that_was_refused_can_be_let_go(page):
    page.open()
    page.say("rewrite", text="[form", seq=1)
    assert page.hear("state")["pending"]
    page.say("rewrite", text="title = ", seq=2)
    (last,) = page.hear("state")["pending"]
    assert last["value"] == "title = "
    page.say("let_go", path=[])
    assert page.hear("state")["pending"] == []
    assert page.set(HEIGHT, "0 in")["kind"] == "refused"
    assert page.hear("state")["pending"]
    page.say("let_go", path=list(HEIGHT))
    assert page.hear("state")["pending"] == []


def test_a_design_that_cannot_be_read_bears_its_title_and_says_why(page):
    text = 'title = "Sea bench"\nscale = "1:12"\nunheard = 3\n[form]\nname = "radial-table"\n'
    page.say("drop", name="mine.toml", text=text)
    state = page.hear("state")
    assert state["title"] == "Sea bench"
    assert "unheard" in state["problems"][0]["message"]
    page.say("rewrite", text='title = "Sea bench"\nscale = "1:12"\n[form]\nname = "radial-table"\n', seq=1)
    assert page.hear("state", where=lambda h: h["revision"] > state["revision"])["problems"] == []


def test_two_pages_on_one_design_see_each_others_changes(server):
    with server.page() as one, server.page() as other:
        opened, _ = one.open()
        other.open("work", work=opened["work"])
        scene = one.set(HEIGHT, "25 in", label="height")
        seen = other.hear("scene", where=lambda h: h["revision"] == scene["revision"])
        assert seen["revision"] == scene["revision"]
        assert seen["seq"] == 0, "it answers nothing that this page has asked"
        assert [p["mesh"] for p in seen["parts"]] == [p["mesh"] for p in scene["parts"]]
        assert {n.split("/")[0] for n in seen["blobs"]} == {n.split("/")[0] for n in scene["blobs"]}
        assert other.hear("state")["undo"] == "height"
        other.say("undo")
        assert one.hear("scene", where=lambda h: h["revision"] > scene["revision"])["seq"] == 0
        assert one.text() == other.text()


def test_of_many_quick_values_the_last_is_drawn_and_stale_ones_are_not(page):
    page.open()
    count = 200
    for seq in range(1, count + 1):
        change = {"path": list(HEIGHT), "value": f"{16 + 8 * seq / count:g} in"}
        page.say("set", seq=seq, changes=[change], label="height", settle=seq == count)
    seen = [page.hear("scene", where=lambda h: h["seq"] > 0)]
    while seen[-1]["seq"] < count:
        seen.append(page.hear("scene", where=lambda h: h["seq"] > 0))
    assert [s["seq"] for s in seen] == sorted(s["seq"] for s in seen)
    assert len(seen) < count
    assert '"24 in"' in page.text()


def test_values_of_different_sizes_sent_at_once_all_count(page):
    page.open("begin", form="radial-table")
    for seq, (name, value) in enumerate([("height", "24 in"), ("sides", 8), ("height", "25 in")], start=1):
        page.say("set", seq=seq, changes=[{"path": ["form", name], "value": value}], settle=False, label="x")
    page.hear("scene", where=lambda h: h["seq"] == 3)
    text = page.text()
    assert 'height = "25 in"' in text
    assert "sides = 8" in text


def test_a_cushion_is_upholstered_as_soon_as_hands_rest(page):
    _, first = page.open(name="window-seat")
    assert not first["soft"]
    soft = page.hear("scene", where=lambda h: h["soft"])
    cloth = [part for part in soft["parts"] if part["role"] == "cloth"]
    assert cloth
    assert f"{cloth[0]['mesh']}/at" in soft["blobs"]
    moving = page.set(("form", "width"), "44 in", settle=False)
    assert not moving["soft"]
    assert [p["mesh"] for p in moving["parts"] if p["role"] == "cloth"] == [cloth[0]["mesh"]]
    rests = page.hear("scene", where=lambda h: h["soft"])
    assert rests["revision"] == moving["revision"]
    assert [p["mesh"] for p in rests["parts"] if p["role"] == "cloth"] != [cloth[0]["mesh"]]


def test_the_fields_tell_what_is_wrong_with_what_was_typed(page):
    page.open()
    page.set(HEIGHT, "900 in")
    groups = page.hear("state")["groups"]
    (height,) = [f for group in groups for f in group["fields"] if f["path"] == list(HEIGHT)]
    assert "too large" in height["problem"]
    assert all(f["problem"] is None for g in groups for f in g["fields"] if f is not height)


def test_a_design_of_400_parts_is_drawn_and_changed(page):
    _, scene = page.open("drop", name="crates.toml", text=crate(400).decode())
    assert len(scene["parts"]) == 400
    changed = page.set(("part", 0, "height"), 500)
    assert changed["kind"] == "scene"
    assert 0 < len({name.split("/")[0] for name in changed["blobs"]}) < 60
    assert 0 < len(changed["new"]) < 300, "parts that are as they were are told by their names alone"


def test_a_page_that_comes_back_to_a_work_gets_all_of_its_parts(page):
    opened, scene = page.open()
    assert page.set(("notes",), "Another word.")["new"] == []
    page.say("work", work=opened["work"])
    page.hear("opened")
    assert page.hear("scene")["new"][: len(scene["parts"])] == [p["name"] for p in scene["parts"]]


def test_a_broken_file_is_told_with_its_line_and_no_work_is_made(page):
    page.say("drop", name="table.toml", text='title = "x"\nscale = = 3\n', id=1)
    trouble = page.hear("trouble")
    assert "Line 2: " in trouble["message"]
    page.say("drop", name="photo.toml", text="\x00\x01\x02", id=2)
    assert page.hear("trouble")["id"] == 2
    page.say("start")
    # Works of other pages may come and go meanwhile.
    assert not {"x", "table", "photo"} & {w["title"] for w in page.hear("start")["works"]}


def test_a_file_with_a_wrong_value_is_opened_to_be_mended(page):
    text = '# mine\ntitle = "Stool"\n\n[form]\nname = "radial-table"\nheight = "900 in"\n'
    page.say("drop", name="stool.toml", text=text)
    page.hear("opened")
    assert page.hear("state")["groups"] == []
    assert page.hear("refused")["problems"][0]["path"] == list(HEIGHT)
    assert page.set(HEIGHT, "20 in")["kind"] == "scene"
    assert page.text() == text.replace("900 in", "20 in")


def test_an_unknown_form_or_example_is_answered_in_words(page):
    page.say("begin", form="spinning-top", id=1)
    assert "spinning-top" in page.hear("trouble")["message"]
    page.say("example", name="../lamp-table", id=2)
    assert "no example" in page.hear("trouble")["message"]
    page.say("set", seq=1, changes=[{"path": ["title"], "value": "x"}], id=3)
    assert "No work is open" in page.hear("trouble")["message"]


def test_a_work_that_was_put_away_may_be_binned_from_the_same_page(start):
    with start().page() as page:
        opened, _ = page.open()
        page.say("start")
        page.hear("start")
        page.say("forget", work=opened["work"], id=5)
        assert page.hear("start", "trouble", where=lambda h: h.get("id") == 5)["works"] == []


def test_a_work_that_was_put_away_comes_back_whole_on_the_same_page(start):
    with start().page() as page:
        opened, scene = page.open()
        page.say("start")
        page.hear("start")
        page.say("work", work=opened["work"])
        again = page.hear("scene")
        # The cushion may have been worked out meanwhile.
        assert set(again["new"]) == {part["name"] for part in again["parts"]}
        assert {part["name"] for part in scene["parts"]} <= set(again["new"])
        assert {name.split("/")[0] for name in again["blobs"]} == {part["mesh"] for part in again["parts"]}


@pytest.mark.parametrize("pattern", [p for p in get_args(Pattern) if p != "points"])
def test_any_pattern_can_be_chosen_after_buttons_were_placed_by_hand(page, pattern):
    page.open()
    begun = page.text()
    at = [
        {"path": ["cushion", "pattern"], "value": "points"},
        {"path": ["cushion", "points"], "value": [[-3, 0], [3, 0]]},
    ]
    page.say("set", seq=1, changes=at, label="a button", settle=True)
    assert page.hear("scene", "refused", where=lambda h: h["seq"] == 1)["kind"] == "scene"
    by_hand = page.text()
    page.seq = 1
    assert page.set(("cushion", "pattern"), pattern)["kind"] == "scene"
    assert "points" not in page.text()
    page.say("undo")
    page.hear("scene")
    assert page.text() == by_hand
    page.say("undo")
    page.hear("scene")
    assert page.text() == begun
