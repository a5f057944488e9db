"""The command itself, as a maker types it: what it prints, what it ends with, what it leaves behind."""

import csv
import json
import os
import pathlib
import shlex
import subprocess
import sys
import tomllib
import zipfile

import pytest

from laminature import front

ROOT = pathlib.Path(__file__).parents[2]
LAMP = ROOT / "examples" / "lamp-table.toml"


def laminature(*arguments, **environment):
    done = subprocess.run(
        [sys.executable, "-m", "laminature", *map(str, arguments)],
        capture_output=True,
        stdin=subprocess.DEVNULL,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8", "COLUMNS": "100", **environment},
        check=False,
    )
    assert "Traceback" not in done.stderr + done.stdout
    return done


def files_in(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture(scope="module")
def kits(tmp_path_factory):
    """The lamp table's kit, made twice in two places, once with its zip file.

    The two processes hash differently: no order may come from a set.
    """
    place = tmp_path_factory.mktemp("kits")
    first = laminature("kit", LAMP, "-o", place / "a" / "lamp", "--zip", PYTHONHASHSEED="1")
    second = laminature("kit", LAMP, "-o", place / "b" / "lamp", PYTHONHASHSEED="2")
    assert first.returncode == second.returncode == 0, first.stdout + first.stderr
    return place, first


def test_one_command_makes_a_folder_for_the_cutter(kits):
    place, done = kits
    made = files_in(place / "a" / "lamp")
    assert {
        "kit.toml",
        "design.toml",
        "README.txt",
        "sheets/sheet-1.svg",
        "sheets/sheet-1.dxf",
        "sheets/sheets.pdf",
        "parts.csv",
        "piece.glb",
    } <= made.keys()
    assert made["design.toml"] == LAMP.read_bytes()
    assert f"Wrote {len(made)} files to" in done.stdout
    assert "Open first:" in done.stdout


def test_two_kits_are_the_same_byte_for_byte(kits):
    place, _ = kits
    assert files_in(place / "a" / "lamp") == files_in(place / "b" / "lamp")


def test_the_zip_file_holds_the_same_kit(kits):
    place, _ = kits
    with zipfile.ZipFile(place / "a" / "lamp.zip") as archive:
        packed = {i.filename.removeprefix("lamp/"): archive.read(i) for i in archive.infolist()}
    assert packed == files_in(place / "a" / "lamp")


def test_every_cut_layer_is_placed_in_kit_toml(kits):
    place, _ = kits
    folder = place / "a" / "lamp"
    listed = tomllib.loads((folder / "kit.toml").read_text("utf-8"))
    placed = {p["part"] for sheet in listed["sheets"] for p in sheet["placements"]}
    assert placed == set(listed["letters"])
    assert list(csv.reader((folder / "parts.csv").read_text("utf-8-sig").splitlines()))[1:]


def test_findings_are_there_for_programs(tmp_path):
    done = laminature("check", LAMP, "--json")
    assert done.returncode == 0
    for finding in json.loads(done.stdout):
        assert set(finding) == {"code", "grade", "message", "remedy", "part", "layer", "point"}
        assert finding["grade"] in ("care", "note")


def test_a_design_that_cannot_be_built_ends_with_1_and_leaves_nothing(tmp_path):
    text = LAMP.read_text("utf-8")
    design = tmp_path / "huge.toml"
    design.write_text(text.replace("1:12", "1:1"), "utf-8")
    done = laminature("kit", design, "-o", tmp_path / "kit")
    assert done.returncode == 1, done.stdout + done.stderr
    assert "STOP" in done.stdout
    assert "Nothing was written" in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["huge.toml"]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"title = ", "design.toml:1"),
        (b"\xff\xfe\x00binary", "design.toml"),
        (b"# long\n" * (8 << 20), "larger than"),
        (b'titel = "x"\n', "title"),
    ],
)
def test_a_file_that_cannot_be_read_ends_with_2(tmp_path, content, words):
    (tmp_path / "design.toml").write_bytes(content)
    done = laminature("check", tmp_path / "design.toml")
    assert done.returncode == 2
    assert words in done.stderr
    assert done.stdout == ""


def test_what_is_not_there_or_not_a_file_ends_with_2(tmp_path):
    for path, words in [(tmp_path / "no.toml", "does not exist"), (tmp_path, "is a folder")]:
        done = laminature("check", path)
        assert done.returncode == 2
        assert words in done.stderr


def test_a_folder_of_someone_elses_is_refused_before_any_work(tmp_path):
    (tmp_path / "diary.txt").write_text("private")
    done = laminature("kit", LAMP, "-o", tmp_path)
    assert done.returncode == 2
    assert "not made by Laminature" in done.stderr
    assert files_in(tmp_path) == {"diary.txt": b"private"}


@pytest.mark.parametrize("form", ["radial-table", "boxed-seat", "shelf-unit", "lidded-box", "plank-chair"])
def test_what_new_writes_can_be_built_as_it_is(tmp_path, form):
    design = tmp_path / "new.toml"
    design.write_text(front.starter(form), "utf-8")
    assert [f for f in front.build(front.read(design)).findings if f.grade == "stop"] == []


def test_new_never_overwrites(tmp_path):
    design = tmp_path / "größe ½.toml"
    assert laminature("new", "radial-table", design).returncode == 0
    before = design.read_bytes()
    assert b"radial-table" in before
    done = laminature("new", "radial-table", design)
    assert done.returncode == 2
    assert "exists already" in done.stderr
    assert design.read_bytes() == before


def test_lists_name_forms_boards_and_near_misses():
    assert "radial-table" in laminature("forms").stdout
    assert "height" in laminature("forms", "radial-table").stdout
    done = laminature("forms", "radial-tabel")
    assert done.returncode == 2
    assert "Did you mean 'radial-table'?" in done.stderr
    boards = laminature("boards").stdout
    assert "caliper" in boards
    assert "1: 0.56, 2: 1.15, 3: 1.73, 4: 2.32" in " ".join(boards.split())


def test_a_coupon_is_a_kit_of_its_own(tmp_path):
    board = tomllib.loads(LAMP.read_text("utf-8"))["board"]
    done = laminature("coupon", board, "-o", tmp_path / "coupon")
    assert done.returncode == 0, done.stderr
    assert {"kit.toml", "README.txt", "sheets/sheet-1.svg"} <= files_in(tmp_path / "coupon").keys()


def test_the_schema_accepts_every_example():
    import jsonschema

    schema = json.loads(laminature("schema").stdout)
    jsonschema.Draft202012Validator.check_schema(schema)
    for example in sorted((ROOT / "examples").glob("*.toml")):
        jsonschema.validate(tomllib.loads(example.read_text("utf-8")), schema)


def test_a_console_without_many_signs_gets_plain_ones():
    done = laminature("forms", "radial-table", PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert done.stdout.isascii()


def test_a_command_that_is_told_can_be_typed_as_it_stands(tmp_path):
    file = tmp_path / "a table, of sorts.toml"
    told = " ".join(laminature("new", "radial-table", file).stdout.split())
    command = shlex.split(told.partition("then: ")[2], posix=os.name != "nt")
    assert [word.strip('"') for word in command[:2]] == ["laminature", "check"]
    assert command[2].strip('"') == str(file)
