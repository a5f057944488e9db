"""Offcuts from the first sheet to the next kit, as a maker meets them; repairs; and a stray piece."""

import pathlib
import re
import sys
import tomllib

import pytest

from laminature.cli.main import run

ROOT = pathlib.Path(__file__).parents[2]
LAMP = ROOT / "examples" / "lamp-table.toml"


@pytest.fixture
def config(tmp_path, monkeypatch):
    """A configuration folder of its own."""
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path / "config"))
    return tmp_path / "config"


@pytest.fixture
def laminature(config, monkeypatch, capsys):
    """The command in this process: its exit code and all that it printed."""

    def call(*arguments):
        monkeypatch.setattr(sys, "argv", ["laminature", *map(str, arguments)])
        with pytest.raises(SystemExit) as end:
            run()
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return end.value.code, said.out + said.err

    return call


def fine(done):
    code, said = done
    assert code == 0, said
    return said


def refused(done, code=2):
    ended, said = done
    assert ended == code, said
    return " ".join(said.split())


def files_in(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def kit_toml(folder):
    return tomllib.loads((folder / "kit.toml").read_text("utf-8"))


def test_adding_listing_and_removing(laminature, config):
    said = fine(laminature("offcuts"))
    assert "You keep no offcuts yet" in said
    assert str(config / "offcuts.toml") in said
    assert not config.exists(), "looking makes no file"
    assert "Write on it: K1" in fine(
        laminature("offcuts", "add", "--board", "card-10", "--size", "120 x 80 mm")
    )
    fine(laminature("offcuts", "add", "--board", "chipboard-22", "--size", "3 x 5 in", "--grain", "y"))
    said = fine(laminature("offcuts"))
    assert re.search(r"K1\s+card-10\s+120 × 80 mm\s+96 cm²\s+grain along the 120 mm\s+added by hand", said)
    assert re.search(r"K2\s+chipboard-22\s+76.2 × 127 mm\s+97 cm²\s+grain along the 127 mm", said)
    assert "1 offcut is left" in fine(laminature("offcuts", "remove", "K1"))
    assert "K1" not in fine(laminature("offcuts"))
    fine(laminature("offcuts", "add", "--board", "card-10", "--size", "50 x 50"))
    assert "K3" in fine(laminature("offcuts")), "K1 is not given again"


def test_an_outline_from_an_svg_file_in_a_ledger_of_its_own(laminature, tmp_path, config):
    drawing = tmp_path / "kite.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="90mm" viewBox="0 0 90 60">'
        '<path d="M0 30 L30 0 L90 30 L30 60 Z"/></svg>'
    )
    ledger = tmp_path / "mine.toml"
    said = fine(laminature("offcuts", "--offcuts", ledger, "add", "--board", "card-10", "--outline", drawing))
    assert "90 × 60 mm, not a rectangle" in said
    fine(laminature("offcuts", "add", "--offcuts", ledger, "--board", "card-10", "--size", "50 x 40"))
    assert len(tomllib.loads(ledger.read_text())["offcuts"]) == 2
    assert not config.exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--size", "120 x 80", "--board", "crad-10"), "Did you mean 'card-10'"),
        (("--size", "120", "--board", "card-10"), "is not a size"),
        (("--size", "120 x 8 furlongs", "--board", "card-10"), "furlongs"),
        (("--size", "120 x 0.1", "--board", "card-10"), "no size for an offcut"),
        (("--board", "card-10"), "Give either --size"),
        (("--size", "9 x 9", "--board", "card-10", "--grain", "up"), "The grain is"),
        (("--outline", "nowhere.svg", "--board", "card-10"), "does not exist"),
    ],
)
def test_what_cannot_be_added_is_said(laminature, config, arguments, words):
    assert words in refused(laminature("offcuts", "add", *arguments))
    assert not config.exists()


def test_an_svg_outline_that_crosses_itself(laminature, tmp_path):
    drawing = tmp_path / "bow.svg"
    drawing.write_text('<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0 L300 300 V0 L0 300 Z"/></svg>')
    said = refused(laminature("offcuts", "add", "--board", "card-10", "--outline", drawing))
    assert "bow.svg" in said
    assert "crosses" in said


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("format = 2\n", "newer version"),
        ("format = \n", "not TOML"),
        ('format = 1\n[[offcuts]]\nname = "K1"\nboard = "card-10"\nwidth = 80\n', "height is missing"),
    ],
)
def test_a_ledger_that_cannot_be_read_stops_everything_but_a_kit_without_it(
    laminature, tmp_path, config, text, words
):
    config.mkdir()
    (config / "offcuts.toml").write_text(text)
    for command in (
        ("offcuts",),
        ("offcuts", "add", "--board", "card-10", "--size", "50 x 50"),
        ("offcuts", "remove", "K1"),
        ("kit", LAMP, "-o", tmp_path / "kit"),
    ):
        assert words in refused(laminature(*command))
    assert not (tmp_path / "kit").exists()
    fine(laminature("kit", LAMP, "-o", tmp_path / "kit", "--no-offcuts"))
    assert words in refused(laminature("cut", tmp_path / "kit"))
    assert (config / "offcuts.toml").read_text() == text


def test_a_board_that_nobody_knows_is_told_and_stays(laminature, config):
    config.mkdir()
    (config / "offcuts.toml").write_text(
        'format = 1\n[[offcuts]]\nname = "K1"\nboard = "card-100"\nwidth = 80\nheight = 50\n'
    )
    said = fine(laminature("offcuts"))
    assert "No board 'card-100' is known (K1). Did you mean 'card-10'?" in said


def test_how_much_is_kept_is_the_makers_to_say(laminature, tmp_path, config):
    assert "40 × 25 mm" in fine(laminature("offcuts", "keep"))
    fine(laminature("offcuts", "keep", "290 x 250 mm", "--drop-outs", "10 x 8 mm"))
    said = fine(laminature("offcuts", "keep"))
    assert "290 × 250 mm" in said
    assert "10 × 8 mm" in said
    fine(laminature("kit", LAMP, "-o", tmp_path / "kit"))
    new = kit_toml(tmp_path / "kit").get("offcuts_new", [])
    assert [n["fell_from"] for n in new if not n["fell_from"]] == []
    assert "is not a size" in refused(laminature("offcuts", "keep", "large"))


def test_from_one_kit_to_the_next(laminature, tmp_path, config):
    first = tmp_path / "first"
    said = fine(laminature("kit", LAMP, "-o", first))
    assert "Leaves 1 offcut worth keeping: K1" in said
    assert f"laminature cut {first}" in " ".join(said.split())
    assert not config.exists(), "making a kit enters nothing"
    assert "K1" in (first / "README.txt").read_text("utf-8")

    said = fine(laminature("cut", first))
    assert re.search(r"K1\s+304.8 × [0-9.]+ mm.*sheet-1: 0 mm from the left", said)
    ledger = (config / "offcuts.toml").read_bytes()
    assert "already entered" in fine(laminature("cut", first))
    assert (config / "offcuts.toml").read_bytes() == ledger

    second = tmp_path / "second"
    assert "Fills your offcuts first: K1 (sheet-1)" in fine(laminature("kit", LAMP, "-o", second))
    assert (config / "offcuts.toml").read_bytes() == ledger, "making a kit enters nothing"
    assert [(u["sheet"], u["name"]) for u in kit_toml(second)["offcuts_used"]] == [("sheet-1", "K1")]
    said = fine(laminature("cut", second))
    assert "Used up, out of the ledger: K1" in said
    assert "K1 " not in fine(laminature("offcuts"))


def test_the_same_design_and_ledger_give_the_same_bytes(laminature, tmp_path, config):
    fine(laminature("offcuts", "add", "--board", "chipboard-22", "--size", "130 x 110 mm"))
    fine(laminature("offcuts", "add", "--board", "card-10", "--size", "130 x 110 mm"))
    for name in "ab":
        fine(laminature("kit", LAMP, "-o", tmp_path / name))
    assert files_in(tmp_path / "a") == files_in(tmp_path / "b")
    assert kit_toml(tmp_path / "a")["offcuts_used"][0]["name"] == "K1"


def test_without_offcuts_they_are_left_alone(laminature, tmp_path, config):
    fine(laminature("offcuts", "add", "--board", "chipboard-22", "--size", "130 x 110 mm"))
    said = fine(laminature("kit", LAMP, "-o", tmp_path / "kit", "--no-offcuts"))
    assert "Fills" not in said
    assert "offcuts_used" not in kit_toml(tmp_path / "kit")
    assert kit_toml(tmp_path / "kit")["offcuts_new"][0]["name"] == "K2", "names count on all the same"


def test_a_repair_holds_only_what_was_asked_for(laminature, tmp_path, config):
    whole, repair = tmp_path / "whole", tmp_path / "repair"
    fine(laminature("kit", LAMP, "-o", whole))
    fine(laminature("offcuts", "add", "--board", "chipboard-22", "--size", "120 x 110 mm"))
    said = fine(laminature("kit", LAMP, "-o", repair, "--only", "B3 A1"))
    assert "Fills your offcuts first: K1" in said
    placed = [(p["part"], p["layer"]) for s in kit_toml(repair)["sheets"] for p in s["placements"]]
    letters = kit_toml(repair)["letters"]
    assert sorted((letters[part], layer) for part, layer in placed) == [("A", 1), ("B", 3)]
    readme = (repair / "README.txt").read_text("utf-8")
    assert readme.startswith("Repair of Lamp table")
    assert "once more" in readme
    assert "piece.glb" not in readme
    assert not (repair / "piece.glb").exists()
    sheet = (repair / "sheets" / "sheet-1.svg").read_text("utf-8")
    assert 'id="B3"' in sheet
    assert 'id="A1"' in sheet
    assert 'id="A2"' not in sheet


def test_a_repair_of_what_is_not_there(laminature, tmp_path):
    said = refused(laminature("kit", LAMP, "-o", tmp_path / "kit", "--only", "B9"))
    assert "has no layer 9" in said
    assert not (tmp_path / "kit").exists()
    assert "Nothing was chosen" in refused(laminature("kit", LAMP, "-o", tmp_path / "kit", "--only", " "))


def test_a_stray_piece_is_found(laminature, tmp_path):
    picture = tmp_path / "stray.svg"
    said = fine(laminature("find", LAMP, "51.7 x 22.7 mm", "--picture", picture, "--most", "3"))
    assert re.match(r"\s*51.71 ×\s+22.66 mm\s+off by\s+0.0\d\s+C1 C2 C3 C4: ", said)
    assert "█" in said
    assert said.count(" off by ") == 3
    assert picture.read_bytes().startswith(b"<?xml")
    fine(laminature("find", LAMP, "51.7 x 22.7 mm", "--picture", tmp_path / "stray.pdf"))
    assert (tmp_path / "stray.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("size", "picture", "code", "words"),
    [
        ("51.7", "a.svg", 2, "is not a size"),
        ("0 x 3", "a.svg", 2, "above zero"),
        ("5 x 3", "a.bmp", 1, ".svg or .pdf"),
        ("5 x 3", "a", 1, ".svg or .pdf"),
        ("5 x 3", "there.svg", 2, "exists already"),
    ],
)
def test_what_cannot_be_looked_up(laminature, tmp_path, size, picture, code, words):
    (tmp_path / "there.svg").write_text("mine")
    assert words in refused(laminature("find", LAMP, size, "--picture", tmp_path / picture), code)
    assert {p.name: p.read_text() for p in tmp_path.iterdir()} == {"there.svg": "mine"}


def test_a_folder_that_is_no_kit_cannot_be_cut(laminature, tmp_path):
    assert "is no kit" in refused(laminature("cut", tmp_path))
    assert "is no kit" in refused(laminature("cut", LAMP))
