"""Better sheets in rounds, and the kit: made beside the server, ended at any time."""

import io
import time
import tomllib
import zipfile

import pypdf

from laminature.store import layouts

HEIGHT = ("form", "height")


def test_a_kit_is_made_and_taken_away(page):
    _, scene = page.open()
    page.say("make", files=[])
    page.hear("making")
    made = page.hear("made", seconds=60)
    assert made["revision"] == scene["revision"]
    assert "files" in made["report"][0]
    page.say("download", what="zip", id=1)
    file = page.hear("file")
    assert (file["id"], file["name"]) == (1, "lookout-stool.zip")
    data = file["blobs"]["data"].tobytes()
    assert len(data) == made["zip"]
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        assert packed.testzip() is None
        names = {name.removeprefix("lookout-stool/") for name in packed.namelist()}
        assert {
            "kit.toml",
            "design.toml",
            "README.txt",
            "sheets/sheet-1.svg",
            "guide.pdf",
            "piece.glb",
        } <= names
        assert packed.read("lookout-stool/design.toml").decode() == page.text()
        listed = tomllib.loads(packed.read("lookout-stool/kit.toml").decode())
        assert {entry["name"] for entry in listed["files"]} == names - {"kit.toml"}
    page.say("download", what="guide")
    guide = pypdf.PdfReader(io.BytesIO(page.hear("file")["blobs"]["data"].tobytes()))
    assert len(guide.pages) == made["pages"]
    page.say("guide_page", page=made["pages"], id=2)
    picture = page.hear("guide_page")
    assert picture["blobs"]["data"].tobytes().startswith(b"\x89PNG")
    page.say("guide_page", page=made["pages"] + 1)
    assert "pages" in page.hear("trouble")["message"]


def test_only_the_kinds_chosen_are_made(page):
    page.open()
    page.say("make", files=["svg", "lists"])
    made = page.hear("made", seconds=60)
    assert made["pages"] == 0
    page.say("download", what="zip")
    with zipfile.ZipFile(io.BytesIO(page.hear("file")["blobs"]["data"].tobytes())) as packed:
        names = {name.split("/", 1)[1] for name in packed.namelist()}
    assert {"sheets/sheet-1.svg", "parts.csv", "supplies.csv", "kit.toml"} <= names
    assert not [n for n in names if n.endswith((".dxf", ".pdf", ".glb")) or n.startswith("bench/")]
    page.say("download", what="guide")
    assert "without its guide" in page.hear("trouble")["message"]


def test_what_cannot_be_made_is_told(page):
    page.open()
    page.say("download", what="zip")
    assert "No kit has been made" in page.hear("trouble")["message"]
    page.say("make", files=["everything"])
    assert "everything" in page.hear("trouble")["message"]
    page.set(("scale",), "1:1")
    page.say("make", files=["svg"])
    assert page.hear("trouble", seconds=60)["message"]
    assert page.heard[-2]["kind"] == "making"
    assert page.heard[-2]["share"] is None


def test_making_can_be_ended(page):
    page.open(name="window-seat")
    page.say("make")
    page.hear("making", where=lambda h: h["share"] is not None)
    page.say("stop_making")
    assert page.hear("making", where=lambda h: h["share"] is None)["words"] == "stopped"
    assert not [h for h in page.quiet(0.5) if h["kind"] == "made"]


def test_the_design_can_be_taken_away_without_a_kit(page):
    page.open()
    page.say("download", what="design")
    file = page.hear("file")
    assert file["name"] == "lookout-stool.toml"
    assert file["blobs"]["data"].tobytes().decode() == page.text()


def test_better_sheets_are_sought_in_rounds_and_the_kit_uses_them(start):
    server = start()
    with server.page() as page:
        opened, _ = page.open(name="tide-chest")
        page.say("want", what=["sheets"])
        page.hear("sheets")
        page.say("improve", seconds=3)
        first = page.hear("improving")
        assert (first["round"], first["score"]) == (0, first["first"])
        ended = page.hear("improving", where=lambda h: not h["running"], seconds=40)
        assert ended["round"] >= 1
        assert ended["score"] <= first["first"]
        kept = None
        until = time.monotonic() + 10
        while ended["score"] < first["first"] and kept is None:
            assert time.monotonic() < until, "better sheets are kept with the work"
            kept = layouts.read_kept(server.root / opened["work"])
        page.say("make", files=["svg"])
        page.hear("made", seconds=60)
        page.say("download", what="zip")
        with zipfile.ZipFile(io.BytesIO(page.hear("file")["blobs"]["data"].tobytes())) as packed:
            (name,) = [n for n in packed.namelist() if n.endswith("kit.toml")]
            table = tomllib.loads(packed.read(name).decode())
        if kept is not None:
            assert table["layout"]["digest"] == kept.digest
            assert len(table["sheets"]) == len(kept.sheets)


def test_seeking_can_be_stopped_and_ends_when_the_design_changes(page):
    page.open()
    page.say("improve", seconds=600)
    page.hear("improving")
    page.say("use_sheets")
    page.hear("improving", where=lambda h: not h["running"])
    page.say("improve", seconds=600)
    page.hear("improving", where=lambda h: h["running"])
    page.set(HEIGHT, "22 in")
    page.hear("improving", where=lambda h: not h["running"])
    page.hear("busy", where=lambda h: h["what"] is None)
