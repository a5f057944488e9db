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
