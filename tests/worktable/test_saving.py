"""Works on the disk: saved by themselves, found again, never over what something else has written."""

import json
import os
import time

import pytest

from laminature.store import files, works

HEIGHT = ("form", "height")
STOOL = '# the gallery\'s\ntitle = "Stool"\n\n[form]\nname = "radial-table"\nheight = "20 in" # tall\n'


def saved(page):
    return page.hear("saved")


def test_works_pending_values_and_notes_come_back_after_a_restart(start):
    first = start()
    with first.page() as page:
        opened, _ = page.open()
        page.set(HEIGHT, "22 in")
        page.set(("form", "top_diameter"), "as wide as the door")
        text = page.text()
    first.end()
    with start().page() as page:
        page.say("start")
        listed = page.hear("start")["works"]
        assert [(w["work"], w["title"]) for w in listed] == [(opened["work"], "Lookout stool")]
        page.say("work", work=opened["work"])
        state = page.hear("state")
        assert [p["value"] for p in state["pending"]] == ["as wide as the door"]
        assert page.hear("scene")["parts"]
        assert page.text() == text


def test_a_gesture_that_never_ended_is_saved_too(start):
    first = start()
    with first.page() as page:
        opened, _ = page.open()
        page.set(HEIGHT, "23 in", settle=False)
        saved(page)
    folder = first.root / opened["work"]
    assert '"23 in"' in (folder / "design.toml").read_text()


def test_a_forgotten_work_lies_in_the_bin(start):
    server = start()
    with server.page() as page:
        opened, _ = page.open()
        saved(page)
        page.open(name="lamp-table")
        page.say("forget", work=opened["work"], id=1)
        listed = page.hear("start", where=lambda h: h.get("id") == 1)["works"]
        assert opened["work"] not in [w["work"] for w in listed]
    assert (server.root / "bin" / opened["work"] / "design.toml").is_file()


def test_a_work_that_another_page_shows_is_not_forgotten(start):
    server = start()
    with server.page() as one, server.page() as other:
        opened, _ = one.open()
        saved(one)
        other.say("forget", work=opened["work"])
        assert "another window" in other.hear("trouble")["message"]


def test_the_makers_own_file_is_changed_in_its_place(start, tmp_path):
    file = tmp_path / "stool.toml"
    file.write_text(STOOL)
    server = start(file)
    name = works.Works(server.root).of_file(file).work
    with server.page() as page:
        opened, _ = page.open("work", work=name)
        assert opened["file"] == "stool.toml"
        page.set(HEIGHT, "22 in")
        saved(page)
        assert file.read_text() == STOOL.replace("20 in", "22 in")
        page.say("copies")
        copies = page.hear("copies")["copies"]
        page.say("back", copy=copies[-1]["copy"])
        page.hear("state", where=lambda h: h["undo"] == "going back to an older copy")
        assert page.text() == STOOL
        page.say("undo")
        page.hear("state", where=lambda h: h["redo"])
        assert '"22 in"' in page.text()


@pytest.mark.parametrize("take", ["file", "own"])
def test_a_file_that_something_else_has_changed_is_not_overwritten(start, tmp_path, take):
    file = tmp_path / "stool.toml"
    file.write_text(STOOL)
    server = start(file)
    name = works.Works(server.root).of_file(file).work
    with server.page() as page:
        page.open("work", work=name)
        theirs = STOOL.replace("20 in", "18 in")
        file.write_text(theirs)
        page.set(HEIGHT, "22 in")
        told = page.hear("changed_outside")
        assert "Nothing was overwritten" in told["message"]
        page.set(HEIGHT, "23 in")
        time.sleep(0.4)
        assert file.read_text() == theirs
        page.say("resolve", take=take, id=9)
        if take == "file":
            page.hear("scene", where=lambda h: h.get("id") == 9)
            assert page.text() == theirs
            page.say("undo")
            page.hear("state", where=lambda h: h["redo"])
            assert '"23 in"' in page.text()
        else:
            opened = page.hear("opened")
            assert opened["work"] != name
            assert opened["file"] == ""
            assert page.hear("scene")["blobs"], "a page that opens a work has no meshes yet"
            saved(page)
            assert '"23 in"' in (server.root / opened["work"] / "design.toml").read_text()
            assert file.read_text() == theirs


def test_an_own_copy_takes_its_pictures_along_and_says_which_stay_behind(start, tmp_path):
    (tmp_path / "views").mkdir()
    (tmp_path / "views" / "loft.png").write_bytes(b"picture")
    file = tmp_path / "stool.toml"
    file.write_text('photo = ["views/loft.png", "gone.png"]\n' + STOOL)
    server = start(file)
    with server.page() as page:
        page.open("work", work=works.Works(server.root).of_file(file).work)
        file.write_text(STOOL)
        page.set(HEIGHT, "22 in")
        page.hear("changed_outside")
        page.say("resolve", take="own")
        opened = page.hear("opened")
        trouble = page.hear("trouble")
        assert "gone.png" in trouble["message"] and "loft.png" not in trouble["message"]
        folder = server.root / opened["work"]
        assert (folder / "views" / "loft.png").read_bytes() == b"picture"


def test_a_dropped_design_that_names_pictures_is_drawn_and_says_that_they_did_not_come(start):
    with start().page() as page:
        page.say("drop", name="stool.toml", text='photo = "loft.png"\n' + STOOL)
        page.hear("opened")
        assert page.hear("scene")["parts"]
        trouble = page.hear("trouble")
        assert "loft.png did not come along" in trouble["message"]
        assert page.set(HEIGHT, "22 in")["kind"] == "scene"


def test_what_was_done_can_be_taken_back_after_the_server_was_started_again(start):
    first = start()
    with first.page() as page:
        opened, _ = page.open()
        begun = page.text()
        page.set(HEIGHT, "22 in", label="height")
        page.set(HEIGHT, "23 in", label="height once more")
        page.set(HEIGHT, "24 in", label="height again", settle=False)
        last = page.text()
    first.end()
    second = start()
    with second.page() as page:
        page.say("work", work=opened["work"])
        assert page.hear("state")["undo"] == "height again"
        for expected in ("height once more", "height", None):
            page.say("undo")
            assert page.hear("state", where=lambda h: h["redo"])["undo"] == expected
        assert page.text() == begun
    second.end()
    with start().page() as page:
        page.say("work", work=opened["work"])
        assert page.hear("state")["redo"] == "height"
        for _ in range(3):
            page.say("redo")
            state = page.hear("state", where=lambda h: h["undo"])
        assert state["redo"] is None
        assert page.text() == last


def test_a_file_that_was_changed_between_two_starts_can_be_taken_back_to_what_it_was(start, tmp_path):
    file = tmp_path / "stool.toml"
    file.write_text(STOOL)
    first = start(file)
    name = works.Works(first.root).of_file(file).work
    with first.page() as page:
        page.open("work", work=name)
        page.set(HEIGHT, "22 in")
        mine = page.text()
    first.end()
    file.write_text(STOOL.replace("20 in", "18 in"))
    with start(file).page() as page:
        page.say("work", work=name)
        assert page.hear("state")["undo"] == "what was changed elsewhere"
        page.say("undo")
        page.hear("state", where=lambda h: h["redo"])
        assert page.text() == mine
        page.say("undo")
        page.hear("state", where=lambda h: h["undo"] is None)
        assert page.text() == STOOL


def test_a_full_disk_loses_nothing_and_is_told_once(start, monkeypatch):
    server = start()
    real = files.write_new
    with server.page() as page:
        opened, _ = page.open()
        saved(page)
        full = [True]

        def write_new(path, data):
            if full[0]:
                path.touch()
                raise OSError(28, "No space left on device")
            real(path, data)

        monkeypatch.setattr(files, "write_new", write_new)
        page.set(HEIGHT, "22 in")
        trouble = page.hear("trouble")
        assert "the disk is full" in trouble["message"]
        assert "tried again" in trouble["remedy"]
        page.set(HEIGHT, "23 in")
        assert not [h for h in page.quiet() if h["kind"] in ("trouble", "saved")]
        assert '"23 in"' in page.text()
        full[0] = False
        page.set(HEIGHT, "24 in")
        saved(page)
    folder = server.root / opened["work"]
    assert '"24 in"' in (folder / "design.toml").read_text()
    assert not list(folder.glob(".laminature*"))


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="needs a user whom permissions bind")
def test_a_folder_that_cannot_be_written_is_told(start, tmp_path):
    root = tmp_path / "locked"
    root.mkdir(mode=0o500)
    with start(root=root).page() as page:
        page.open()
        assert "not allowed" in page.hear("trouble")["message"]
        assert page.set(HEIGHT, "22 in")["kind"] == "scene"


def test_what_is_known_about_a_work_may_be_broken(start):
    first = start()
    with first.page() as page:
        opened, _ = page.open()
        page.set(HEIGHT, "900 in")
        saved(page)
    first.end()
    folder = first.root / opened["work"]
    (folder / "about.json").write_text("{")
    (folder / "history.json").write_text('{"now": 3, "past": [[1, 2]], "future": []}')
    (folder / "pending.json").write_text('[1, {"path": 3}, {"path": [{}], "value": 1}]')
    (folder / "picture.svg").write_bytes(b"\xff\xfe")
    (folder / "kit.toml").write_text("layout = 3")
    (folder / "copies" / "notes.txt").write_text("mine")
    with start().page() as page:
        page.say("start")
        assert [w["work"] for w in page.hear("start")["works"]] == [opened["work"]]
        page.open("work", work=opened["work"])
        page.say("copies")
        assert all(c["copy"].endswith("Z.toml") for c in page.hear("copies")["copies"])


def test_a_saved_work_that_is_no_design_any_more_opens_to_be_mended(start):
    first = start()
    with first.page() as page:
        opened, _ = page.open()
        text = page.text()
        saved(page)
    first.end()
    path = first.root / opened["work"] / "design.toml"
    path.write_text("title = = 3\n")
    with start().page() as page:
        page.say("work", work=opened["work"])
        assert page.hear("refused")["problems"][0]["line"] == 1
        page.say("rewrite", text=text, seq=1)
        assert page.hear("scene")["parts"]
        assert page.text() == text


def test_what_is_pending_lies_beside_the_design(start):
    server = start()
    with server.page() as page:
        opened, _ = page.open()
        page.set(HEIGHT, "900 in")
        saved(page)
        kept = json.loads((server.root / opened["work"] / "pending.json").read_text())
        assert [(p["path"], p["value"]) for p in kept] == [(list(HEIGHT), "900 in")]
        page.set(HEIGHT, "20 in")
        saved(page)
        assert not (server.root / opened["work"] / "pending.json").exists()
