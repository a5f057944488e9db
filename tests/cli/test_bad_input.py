"""Bad input: a clear error, the documented exit code, nothing written."""

import json
import os
import pathlib
import sys

import pytest

from laminature.cli.main import run

HEAD = 'scale = "1:12"\nboard = "chipboard-22"\nstands = false\n'
PLATE = """
[[part]]
name = "plate"
shape = "rectangle"
width = "24 in"
height = "12 in"
layers = 3
"""


@pytest.fixture
def laminature(monkeypatch, capsys):
    """The command in this process: its exit code and all that it printed."""

    def call(*arguments):
        monkeypatch.setattr(sys, "argv", ["laminature", *map(str, arguments)])
        with pytest.raises(SystemExit) as end:
            run()
        said = capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return end.value.code, " ".join((said.out + said.err).split())

    return call


def kit(laminature, tmp_path, text, code, *words):
    """Make a kit of ``text``: it must end with ``code``, say ``words``, and leave nothing behind."""
    design = tmp_path / "design.toml"
    design.write_bytes(text if isinstance(text, bytes) else text.encode())
    before = sorted(tmp_path.iterdir())
    ended, said = laminature("kit", design, "-o", tmp_path / "kit")
    assert ended == code, said
    for word in words:
        assert word in said
    assert sorted(tmp_path.iterdir()) == before


SIZES = {
    "zero": ("0 in", "width"),
    "negative": ("-3 in", "width"),
    "huge": ("1e99 in", "width"),
    "larger than any bench": ("400 m", "width"),
    "no unit that is known": ("3 furlongs", "furlongs"),
    "no number": ("wide", "width"),
}


@pytest.mark.parametrize("size", SIZES)
def test_sizes_that_cannot_be(size, laminature, tmp_path):
    written, word = SIZES[size]
    kit(laminature, tmp_path, HEAD + PLATE.replace("24 in", written), 2, "design.toml:8", word)


@pytest.mark.parametrize("number", ["nan", "inf", "-inf"])
def test_numbers_that_are_none(number, laminature, tmp_path):
    kit(laminature, tmp_path, HEAD + PLATE.replace('"24 in"', number), 2, "design.toml:8", "width")


def test_an_outline_that_crosses_itself(laminature, tmp_path):
    bow = '\n[[part]]\nname = "bow"\nshape = "polygon"\nlayers = 3\n'
    bow += "points = [[0, 0], [300, 300], [300, 0], [0, 300]]\n"
    kit(laminature, tmp_path, HEAD + bow, 2, "design.toml:9", "crosses")


def test_an_opening_outside_its_outline(laminature, tmp_path):
    hole = '[[part.opening]]\nshape = "circle"\ndiameter = "4 in"\nat = ["40 in", 0]\n'
    kit(laminature, tmp_path, HEAD + PLATE + hole, 2, "opening")


def test_parts_that_do_not_touch(laminature, tmp_path):
    far = PLATE.replace('"plate"', '"far"') + 'at = [0, 0, "30 in"]\n'
    kit(laminature, tmp_path, HEAD + PLATE + far, 1, "far", "touch")


def test_board_thicker_than_the_part(laminature, tmp_path):
    thin = (
        (HEAD + PLATE)
        .replace("layers = 3", 'thickness = "1/16 in"')
        .replace("chipboard-22", "greyboard-2-a4")
    )
    design = tmp_path / "design.toml"
    design.write_text(thin, encoding="utf-8")
    ended, said = laminature("check", design, "--json")
    codes = {f["code"]: f["grade"] for f in json.loads(said)}
    assert ended == 0
    assert codes["thickness-off"] == "care"


BROKEN = {
    "broken TOML": (b'title = "open\n', "design.toml:1"),
    "binary": (bytes(range(256)) * 40, "design.toml"),
    "not UTF-8": (b'title = "caf\xe9"\n', "design.toml:1"),
    "a key written twice": (b'title = "a"\ntitle = "b"\n', "design.toml:2"),
    "empty": (b"", "neither a form nor parts"),
    "10,000 parts": (
        (HEAD + "".join(PLATE.replace("plate", f"p{i}") for i in range(10_000))).encode(),
        "parts",
    ),
    "50 MB": (b"# " + b"x" * (50 << 20), "large"),
    "deeply nested": (b"a = " + b"[" * 5000 + b"]" * 5000, "design.toml"),
}


@pytest.mark.parametrize("what", BROKEN)
def test_files_that_are_no_design(what, laminature, tmp_path):
    data, word = BROKEN[what]
    kit(laminature, tmp_path, data, 2, word)


PHOTOS = [
    "~/secret.png",
    "/etc/passwd",
    "../outside.png",
    "pictures/../../outside.png",
    "C:\\\\Users\\\\x.png",
]


@pytest.mark.parametrize("photo", PHOTOS)
def test_a_path_that_leaves_the_designs_folder(photo, laminature, tmp_path):
    kit(laminature, tmp_path, f'photo = "{photo}"\n' + HEAD + PLATE, 2, "photo")


NAMES = ["../../evil", "a/b", "tab\\tname", "x" * 5000, "", "NUL\\u0000"]


@pytest.mark.parametrize("name", NAMES)
def test_names_that_could_do_harm(name, laminature, tmp_path):
    kit(laminature, tmp_path, HEAD + PLATE.replace('"plate"', f'"{name}"'), 2, "name")


@pytest.mark.parametrize("title", ["Möwe, 潮位表 & <Söhne>", "=1+1", "../../../up", "two  spaces ", "'\\\"'"])
def test_strange_titles_are_only_text(title, laminature, tmp_path):
    design = tmp_path / "möwe und 潮.toml"
    design.write_text(f'title = "{title}"\n' + HEAD + PLATE, encoding="utf-8")
    ended, said = laminature("kit", design, "-o", tmp_path / "kit mit Möwe")
    assert ended == 0, said
    assert {p.name for p in tmp_path.iterdir()} == {design.name, "kit mit Möwe"}


def test_a_folder_that_is_not_ours_stays_as_it_is(laminature, tmp_path):
    design = tmp_path / "design.toml"
    design.write_text(HEAD + PLATE, encoding="utf-8")
    theirs = tmp_path / "theirs"
    theirs.mkdir()
    (theirs / "letter.txt").write_text("dear", encoding="utf-8")
    ended, said = laminature("kit", design, "-o", theirs)
    assert ended == 2
    assert "theirs" in said
    assert [p.name for p in theirs.iterdir()] == ["letter.txt"]


def test_a_file_where_the_folder_should_be(laminature, tmp_path):
    design = tmp_path / "design.toml"
    design.write_text(HEAD + PLATE, encoding="utf-8")
    ended, _ = laminature("kit", design, "-o", design)
    assert ended == 2
    assert design.read_text(encoding="utf-8") == HEAD + PLATE


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written(laminature, tmp_path):
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    design = tmp_path / "design.toml"
    design.write_text(HEAD + PLATE, encoding="utf-8")
    ended, _ = laminature("kit", design, "-o", closed / "kit")
    assert ended == 2


def test_a_design_that_is_not_there(laminature, tmp_path):
    ended, said = laminature("check", tmp_path / "none.toml")
    assert ended == 2
    assert "none.toml" in said
    assert pathlib.Path(tmp_path / "none.toml").exists() is False
