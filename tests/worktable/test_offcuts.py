"""Offcuts of the maker's, chosen at the table: the sheets, what is sought and the kit use exactly those."""

import io
import time
import tomllib
import zipfile

import pytest

from laminature import front
from laminature.model.sheet import Kept, Sheet
from laminature.store import layouts
from laminature.store.offcuts import change_ledger
from laminature.store.works import MOST_CHOICES, Works


@pytest.fixture
def ledger(tmp_path, monkeypatch):
    """A ledger with two pieces of the demo's board and one of another."""
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path / "config"))
    file = tmp_path / "config" / "offcuts.toml"
    board = front.read_text(front.example("lookout-stool").text, "stool", tmp_path).board.name
    other = next(name for name in front.boards() if name != board)
    front.add_offcut(board, size="150 x 120 mm", note="from the tide chest", ledger=file)
    front.add_offcut(board, size="120 x 100 mm", ledger=file)
    front.add_offcut(other, size="90 x 60 mm", ledger=file)
    return file


def offcuts_of(sheets):
    return sorted(sheet["offcut"] for sheet in sheets["sheets"] if sheet["offcut"])


def chosen(told):
    return [o["name"] for o in told["offcuts"] if o["chosen"]]


def shown(page, revision):
    return page.hear("sheets", where=lambda h: h["revision"] >= revision)


def choose(page, names):
    page.say("use_offcuts", names=names)
    state = page.hear("state")
    return shown(page, state["revision"])


def drop(file, *names):
    change_ledger(lambda before: before.removed(names), file)


def test_the_makers_offcuts_are_shown_with_what_suits(start, ledger):
    with start().page() as page:
        page.open()
        page.say("offcuts", id=7)
        told = page.hear("offcuts", where=lambda h: h.get("id") == 7)
    first, second, third = told["offcuts"]
    assert [o["name"] for o in told["offcuts"]] == ["K1", "K2", "K3"]
    assert (first["width"], first["height"], first["area"]) == (150.0, 120.0, 180.0)
    assert first["origin"] == "from the tide chest"
    assert first["d"].startswith("M")
    assert first["d"].upper().endswith("Z")
    assert [first["suits"], second["suits"], third["suits"]] == [True, True, False]
    assert chosen(told) == []
    assert told["words"] == ""


def test_an_empty_ledger_and_one_that_cannot_be_read_are_told(start, tmp_path, monkeypatch):
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path / "config"))
    with start().page() as page:
        page.open()
        page.say("offcuts", id=1)
        assert page.hear("offcuts", where=lambda h: h.get("id") == 1)["offcuts"] == []
        (tmp_path / "config").mkdir()
        (tmp_path / "config" / "offcuts.toml").write_text("format = nothing")
        page.say("offcuts", id=2)
        told = page.hear("offcuts", where=lambda h: h.get("id") == 2)
        assert "is not TOML" in told["words"]
        page.say("use_offcuts", names=["K1"], id=3)
        assert "is not TOML" in page.hear("trouble")["message"]


def test_sheets_are_laid_out_with_exactly_the_chosen_offcuts_and_so_is_the_kit(start, ledger):
    with start().page() as page:
        page.open()
        page.say("want", what=["sheets"])
        assert offcuts_of(page.hear("sheets")) == []
        assert offcuts_of(choose(page, ["K2"])) == ["K2"]
        assert offcuts_of(choose(page, ["k1", "K2"])) == ["K1", "K2"]
        sheets = choose(page, ["K1"])
        assert offcuts_of(sheets) == ["K1"]
        # What is left is called by names that the ledger has not given yet.
        assert all(int(left["title"][1:]) >= 4 for left in sheets["remainders"])
        page.say("make", files=["svg"])
        page.hear("made", seconds=60)
        page.say("download", what="zip")
        with zipfile.ZipFile(io.BytesIO(page.hear("file")["blobs"]["data"].tobytes())) as packed:
            (name,) = [n for n in packed.namelist() if n.endswith("kit.toml")]
            table = tomllib.loads(packed.read(name).decode())
        assert [entry["name"] for entry in table["offcuts_used"]] == ["K1"]
        assert sorted(s["offcut"] for s in table["sheets"] if s.get("offcut")) == ["K1"]
        assert len(table["sheets"]) == len(sheets["sheets"])
        assert offcuts_of(choose(page, [])) == []


def test_a_choice_is_told_to_all_pages_and_is_no_change_of_the_design(start, ledger):
    server = start()
    with server.page() as page, server.page() as other:
        opened, _ = page.open()
        before = page.text()
        other.open("work", work=opened["work"])
        page.say("use_offcuts", names=["K1"])
        assert chosen(other.hear("offcuts", where=chosen)) == ["K1"]
        state = other.hear("state")
        assert state["undo"] is None
        assert page.text() == before


def test_the_choice_survives_a_restart(start, ledger):
    server = start()
    with server.page() as page:
        opened, _ = page.open()
        page.say("use_offcuts", names=["K2", "K1"])
        page.hear("offcuts", where=chosen)
    server.end()
    with start(root=server.root).page() as page:
        page.say("work", work=opened["work"])
        assert chosen(page.hear("offcuts")) == ["K1", "K2"]
        page.say("want", what=["sheets"])
        assert offcuts_of(page.hear("sheets"))


@pytest.mark.parametrize("names", [["K9"], ["K1", "../K1"]])
def test_what_is_not_in_the_ledger_is_refused_in_words(start, ledger, names):
    with start().page() as page:
        page.open()
        page.say("use_offcuts", names=names, id=4)
        trouble = page.hear("trouble")
        assert trouble["id"] == 4
        assert names[-1] in trouble["message"]
        page.say("offcuts", id=5)
        assert chosen(page.hear("offcuts", where=lambda h: h.get("id") == 5)) == []


@pytest.mark.parametrize("names", [["K1"] * 201, [""], ["K" * 41], "K1", [1]])
def test_lists_of_names_are_bounded(start, ledger, names):
    with start().page() as page:
        page.open()
        page.say("use_offcuts", names=names)
        assert "does not understand" in page.hear("trouble")["message"]


def test_an_offcut_that_has_gone_is_dropped_in_words(start, ledger):
    server = start()
    with server.page() as page:
        opened, _ = page.open()
        page.say("want", what=["sheets"])
        choose(page, ["K1", "K2"])
        drop(ledger, "K2")
        page.say("make", files=["svg"], id=6)
        trouble = page.hear("trouble")
        assert trouble["id"] == 6
        assert "ledger of offcuts has changed" in trouble["message"]
        assert offcuts_of(page.hear("sheets")) == ["K1"]
        page.say("offcuts", id=7)
        told = page.hear("offcuts", where=lambda h: h.get("id") == 7)
        assert chosen(told) == ["K1"]
        assert "K2 has gone" in told["words"]
        page.say("make", files=["svg"])
        page.hear("made", seconds=60)
    server.end()
    drop(ledger, "K1")
    with start(root=server.root).page() as page:
        page.say("work", work=opened["work"])
        told = page.hear("offcuts")
        assert chosen(told) == []
        assert "K1 has gone" in told["words"]


def test_sheets_that_were_sought_belong_to_one_choice(start, ledger):
    server = start()
    with server.page() as page:
        opened, _ = page.open(name="tide-chest")
        folder = server.root / opened["work"]
        page.say("use_offcuts", names=["K1"])
        page.hear("offcuts", where=chosen)
        work = server.table.open_works[opened["work"]]
        digest = work.shelf.digest
        page.say("improve", seconds=3)
        first = page.hear("improving")
        ended = page.hear("improving", where=lambda h: not h["running"], seconds=40)
        found = None
        until = time.monotonic() + 10
        while ended["score"] < first["first"] and found is None:
            assert time.monotonic() < until, "better sheets are kept with this choice"
            found = layouts.read_kept(folder / "with" / digest)
        assert work.kept == found
        assert layouts.read_kept(folder) is None
        page.say("use_offcuts", names=["K2"])
        page.hear("offcuts", where=lambda h: chosen(h) == ["K2"])
        assert work.kept is None
        page.say("use_offcuts", names=["K1"])
        page.hear("offcuts", where=lambda h: chosen(h) == ["K1"])
        assert work.kept == found


def test_seeking_ends_when_other_offcuts_are_chosen(start, ledger):
    with start().page() as page:
        page.open()
        page.say("improve", seconds=600)
        page.hear("improving", where=lambda h: h["running"])
        page.say("use_offcuts", names=["K1"])
        page.hear("improving", where=lambda h: not h["running"])


def test_sheets_of_the_last_choices_alone_are_kept(tmp_path):
    place = Works(tmp_path).begin("stool")
    for n in range(MOST_CHOICES + 3):
        place.write_kept(Kept("same", (Sheet("sheet-1", "board", 9.0, 9.0),), float(n + 1)), f"choice{n}")
    last = MOST_CHOICES + 2
    assert place.kept(f"choice{last}").seconds == last + 1
    assert place.kept("choice0") is None
    assert len(list((place.folder / "with").iterdir())) == MOST_CHOICES
