"""What a kit folder promises its maker."""

import os
import pathlib
import sys
import tomllib

import pytest

from laminature.errors import StoreError
from laminature.model.sheet import Placement, Sheet
from laminature.store import locks
from laminature.store.archive import check_zip, write_zip
from laminature.store.kit import write_kit
from laminature.store.manifest import About, sha256

FILES = {"README.txt": b"read me", "sheets/sheet-1.svg": b"<svg/>", "cushion/cloth.pdf": b"%PDF"}
SHEET = Sheet("sheet-1", "board-22", 300.0, 200.0, (Placement("leg-1", 2, 1.5, -0.0, 90.0, mirrored=True),))


def names(folder):
    return sorted(
        p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_symlink() or not p.is_dir()
    )


def manifest_of(folder):
    return tomllib.loads((folder / "kit.toml").read_text("utf-8"))


def test_kit_toml_lists_every_file_with_its_hash_and_where_each_layer_lies(tmp_path):
    about = About("Lamp table", [SHEET], {"leg-1": "A"}, {"laminature": "9.9"})
    report = write_kit(tmp_path / "kits" / "lamp", FILES, about)
    listed = manifest_of(tmp_path / "kits" / "lamp")
    assert {f["name"]: f["sha256"] for f in listed["files"]} == {n: sha256(d) for n, d in FILES.items()}
    assert listed["title"] == "Lamp table"
    assert listed["versions"] == {"laminature": "9.9"}
    assert listed["letters"] == {"leg-1": "A"}
    assert listed["sheets"][0]["placements"] == [
        {"part": "leg-1", "layer": 2, "piece": 0, "x": 1.5, "y": 0.0, "turn": 90.0, "mirrored": True}
    ]
    assert set(report.written) == {*FILES, "kit.toml"}


def test_versions_name_the_libraries_that_can_change_bytes(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    assert {"laminature", "numpy", "shapely", "ezdxf"} <= set(manifest_of(tmp_path / "kit")["versions"])


def test_odd_titles_are_written_as_toml_reads_them(tmp_path):
    title = 'quote " back \\ tab \t del \x7f new\nline – ü \U0001f4a1'
    write_kit(tmp_path / "kit", FILES, About(title, letters={'a "part"\n': "A"}))
    listed = manifest_of(tmp_path / "kit")
    assert listed["title"] == title
    assert listed["letters"] == {'a "part"\n': "A"}


def test_two_builds_give_the_same_bytes(tmp_path):
    for name in "ab":
        write_kit(tmp_path / name / "kit", FILES, About("t", [SHEET]))
        write_zip(tmp_path / name / "kit.zip", FILES, About("t", [SHEET]))
    for file in (*names(tmp_path / "a"),):
        assert (tmp_path / "a" / file).read_bytes() == (tmp_path / "b" / file).read_bytes()


def test_a_second_kit_replaces_ours_and_removes_what_is_of_no_use(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    report = write_kit(tmp_path / "kit", {"README.txt": b"new"})
    assert names(tmp_path / "kit") == ["README.txt", "kit.toml"]
    assert (tmp_path / "kit" / "README.txt").read_bytes() == b"new"
    assert report.removed == ("cushion/cloth.pdf", "sheets/sheet-1.svg")
    assert [p.name for p in (tmp_path / "kit").iterdir() if p.is_dir()] == []


def test_edited_files_and_the_makers_own_stay_and_the_report_says_so(tmp_path):
    kit = tmp_path / "kit"
    write_kit(kit, FILES)
    (kit / "README.txt").write_bytes(b"mine now")
    (kit / "cushion" / "photo.jpg").write_bytes(b"jpg")
    (kit / "empty").mkdir()
    report = write_kit(kit, {"README.txt": b"v2", "parts.csv": b"1"})
    assert (kit / "README.txt").read_bytes() == b"mine now"
    assert (kit / "cushion" / "photo.jpg").read_bytes() == b"jpg"
    assert (kit / "empty").is_dir()
    assert report.kept_edited == report.blocked == ("README.txt",)
    assert report.kept_foreign == ("cushion/photo.jpg", "empty")
    assert report.removed == ("cushion/cloth.pdf", "sheets/sheet-1.svg")
    # Put back as it was listed, the file is ours again.
    (kit / "README.txt").write_bytes(b"v2")
    assert write_kit(kit, {"README.txt": b"v3"}).kept_edited == ()
    assert (kit / "README.txt").read_bytes() == b"v3"


def test_a_file_the_maker_deleted_comes_back(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    (tmp_path / "kit" / "README.txt").unlink()
    write_kit(tmp_path / "kit", FILES)
    assert (tmp_path / "kit" / "README.txt").exists()


def test_the_makers_file_in_the_place_of_a_folder_of_ours_stays(tmp_path):
    write_kit(tmp_path / "kit", {"README.txt": b"1"})
    (tmp_path / "kit" / "Sheets").write_bytes(b"a file of mine")
    report = write_kit(tmp_path / "kit", FILES)
    assert report.blocked == ("sheets/sheet-1.svg",)
    assert (tmp_path / "kit" / "Sheets").read_bytes() == b"a file of mine"


def test_a_kit_toml_edited_by_hand_is_kept_beside_the_new_one(tmp_path):
    kit = tmp_path / "kit"
    write_kit(kit, FILES)
    edited = (kit / "kit.toml").read_bytes() + b"# cut on Tuesday\n"
    (kit / "kit.toml").write_bytes(edited)
    report = write_kit(kit, FILES)
    assert (kit / "kit-edited.toml").read_bytes() == edited
    assert "kit.toml" in report.kept_edited
    assert write_kit(kit, FILES).kept_edited == ()


def test_a_hard_link_is_made_so_that_the_makers_file_is_the_same_file(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    own = tmp_path / "kit" / "own.txt"
    own.write_bytes(b"mine")
    before = own.stat()
    write_kit(tmp_path / "kit", {"README.txt": b"2"})
    assert (own.stat().st_ino, own.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_where_a_disk_has_no_hard_links_own_files_are_copied(tmp_path, monkeypatch):
    def no_links(*_args, **_kwargs):
        raise PermissionError(1, "no hard links on this disk")

    monkeypatch.setattr(os, "link", no_links)
    write_kit(tmp_path / "kit", FILES)
    (tmp_path / "kit" / "own.txt").write_bytes(b"mine")
    write_kit(tmp_path / "kit", {"README.txt": b"2"})
    assert names(tmp_path / "kit") == ["README.txt", "kit.toml", "own.txt"]
    assert names(tmp_path) == ["kit/README.txt", "kit/kit.toml", "kit/own.txt"]


@pytest.mark.parametrize("litter", [".DS_Store", "Thumbs.db"])
def test_an_empty_folder_may_hold_what_systems_leave_there(tmp_path, litter):
    (tmp_path / "kit").mkdir()
    (tmp_path / "kit" / litter).write_bytes(b"")
    write_kit(tmp_path / "kit", FILES)
    assert names(tmp_path / "kit") == sorted([*FILES, "kit.toml", litter])


def refused(folder, files=FILES):
    with pytest.raises(StoreError) as caught:
        write_kit(folder, files)
    return str(caught.value)


def test_a_folder_that_is_not_ours_is_refused_and_untouched(tmp_path):
    (tmp_path / "diary.txt").write_bytes(b"private")
    assert "not made by Laminature" in refused(tmp_path)
    assert names(tmp_path) == ["diary.txt"]
    assert names(tmp_path.parent / tmp_path.name) == ["diary.txt"]


@pytest.mark.parametrize(
    "broken", [b"not toml [", b"format = 9\nfiles = []", b"format = 1\nfiles = 3", b"\xff"]
)
def test_a_kit_toml_that_cannot_be_understood_is_refused(tmp_path, broken):
    (tmp_path / "kit.toml").write_bytes(broken)
    assert "cannot be understood" in refused(tmp_path)
    assert names(tmp_path) == ["kit.toml"]


def test_a_kit_toml_that_names_files_elsewhere_is_refused(tmp_path):
    kit = tmp_path / "kit"
    kit.mkdir()
    (tmp_path / "diary.txt").write_bytes(b"private")
    listing = f'format = 1\nfiles = [{{ name = "../diary.txt", sha256 = "{sha256(b"private")}" }}]\n'
    (kit / "kit.toml").write_text(listing)
    refused(kit)
    assert (tmp_path / "diary.txt").read_bytes() == b"private"


def test_a_file_a_link_and_the_root_are_refused(tmp_path):
    (tmp_path / "file").write_bytes(b"x")
    assert "is a file" in refused(tmp_path / "file")
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    assert "is a link" in refused(tmp_path / "link")
    assert "root" in refused(pathlib.Path(tmp_path.anchor))
    assert "a file stands" in refused(tmp_path / "file" / "kit")
    assert names(tmp_path) == ["file", "link"]


def test_the_folder_one_stands_in_is_refused(tmp_path, monkeypatch):
    (tmp_path / "kit").mkdir()
    monkeypatch.chdir(tmp_path / "kit")
    assert "where you stand" in refused(tmp_path / "kit")
    assert "where you stand" in refused(pathlib.Path())


def test_links_inside_a_kit_are_never_followed(tmp_path):
    kit, outside = tmp_path / "kit", tmp_path / "outside"
    write_kit(kit, FILES)
    outside.mkdir()
    (outside / "sheet-1.svg").write_bytes(FILES["sheets/sheet-1.svg"])
    (kit / "sheets" / "sheet-1.svg").unlink()
    (kit / "sheets").rmdir()
    (kit / "sheets").symlink_to(outside)
    (kit / "README.txt").unlink()
    (kit / "README.txt").symlink_to(outside / "sheet-1.svg")
    report = write_kit(kit, {**FILES, "sheets/sheet-1.svg": b"changed", "README.txt": b"changed"})
    assert report.blocked == ("README.txt", "sheets/sheet-1.svg")
    assert (outside / "sheet-1.svg").read_bytes() == FILES["sheets/sheet-1.svg"]
    assert (kit / "sheets").is_symlink()
    assert (kit / "README.txt").is_symlink()


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="everything may be written by this user")
def test_a_place_that_may_not_be_written_is_told_in_plain_words(tmp_path):
    tmp_path.chmod(0o500)
    assert "not allowed" in refused(tmp_path / "kit")
    tmp_path.chmod(0o700)


def test_a_full_disk_leaves_everything_as_it_was(tmp_path, monkeypatch):
    write_kit(tmp_path / "kit", FILES)
    (tmp_path / "kit" / "own.txt").write_bytes(b"mine")
    before = {n: (tmp_path / n).read_bytes() for n in names(tmp_path)}
    real, calls = os.fsync, []

    def full(handle):
        calls.append(handle)
        if len(calls) == 3:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    assert "the disk is full" in refused(tmp_path / "kit", {**FILES, "README.txt": b"new"})
    assert {n: (tmp_path / n).read_bytes() for n in names(tmp_path)} == before


def test_folders_made_on_the_way_go_again_when_writing_fails(tmp_path, monkeypatch):
    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    refused(tmp_path / "a" / "b" / "kit")
    assert list(tmp_path.iterdir()) == []


def test_two_runs_never_write_one_kit_at_once(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    bench = tmp_path / f".laminature-{sha256(b'kit')[:12]}"
    bench.mkdir()
    with locks.held(bench / "claim", "busy"):
        assert "Another run" in refused(tmp_path / "kit")
    write_kit(tmp_path / "kit", FILES)
    assert [p.name for p in tmp_path.iterdir()] == ["kit"]


def test_something_else_beside_the_kit_under_the_benchs_name_is_left_alone(tmp_path):
    bench = tmp_path / f".laminature-{sha256(b'kit')[:12]}"
    bench.mkdir()
    (bench / "new").mkdir()
    (bench / "thesis.txt").write_bytes(b"irreplaceable")
    assert "in the way" in refused(tmp_path / "kit")
    assert (bench / "thesis.txt").exists()


def test_a_new_folder_made_after_a_kill_between_the_renames_is_not_overwritten(tmp_path):
    kit = tmp_path / "kit"
    bench = tmp_path / f".laminature-{sha256(b'kit')[:12]}"
    write_kit(kit, FILES)
    bench.mkdir()
    kit.rename(bench / "old")
    (bench / "new").mkdir()
    kit.mkdir()
    message = refused(kit)
    assert str(bench / "old") in message
    assert (bench / "old" / "README.txt").exists()


@pytest.mark.parametrize(
    "name",
    [
        "../x",
        "/x",
        "a//b",
        "a/../b",
        "",
        ".",
        "C:x",
        "a\\b",
        "con",
        "Aux.txt",
        "COM1",
        "x.",
        "x ",
        "a\0b",
        "n" * 201,
        "\ud800",
    ],
)
def test_unsafe_names_are_refused(tmp_path, name):
    assert "cannot be used" in refused(tmp_path / "kit", {name: b""})
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    "pair", [("a.svg", "A.SVG"), ("a", "a/b"), ("e\u0301.svg", "\u00e9.svg"), ("KIT.toml", "b")]
)
def test_names_that_meet_on_some_systems_are_refused(tmp_path, pair):
    refused(tmp_path / "kit", dict.fromkeys(pair, b""))


def test_unicode_spaces_and_long_folder_names_are_fine(tmp_path):
    folder = tmp_path / ("Lampentisch – ½ größer " + "n" * 200)
    write_kit(folder, {"sheets/ä b.svg": b"x"})
    write_kit(folder, {"sheets/ä b.svg": b"y"})
    assert (folder / "sheets" / "ä b.svg").read_bytes() == b"y"


def test_a_name_too_long_for_the_system_is_told(tmp_path):
    assert "too long" in refused(tmp_path / ("n" * 300))


def test_only_an_unchanged_zip_of_ours_is_replaced(tmp_path):
    path = tmp_path / "kit.zip"
    write_zip(path, FILES)
    check_zip(path)
    write_zip(path, {"README.txt": b"2"})
    for other in (b"something else", path.read_bytes().replace(b"README", b"readme")):
        path.write_bytes(other)
        with pytest.raises(StoreError, match="stays"):
            check_zip(path)
        with pytest.raises(StoreError, match="stays as it is"):
            write_zip(path, FILES)
        assert path.read_bytes() == other


@pytest.mark.skipif(sys.platform != "linux", reason="file names that are no text exist on Linux")
def test_own_files_with_undecodable_names_stay(tmp_path):
    write_kit(tmp_path / "kit", FILES)
    odd = os.fsencode(tmp_path / "kit") + b"/\xff.txt"
    pathlib.Path(os.fsdecode(odd)).write_bytes(b"mine")
    write_kit(tmp_path / "kit", {"README.txt": b"2"})
    assert pathlib.Path(os.fsdecode(odd)).read_bytes() == b"mine"


def test_a_folder_of_ours_that_the_maker_emptied_goes_but_their_own_empty_one_stays(tmp_path):
    kit = tmp_path / "kit"
    write_kit(kit, FILES)
    (kit / "cushion" / "cloth.pdf").unlink()
    (kit / "for photos").mkdir()
    report = write_kit(kit, {"README.txt": b"2"})
    assert sorted(p.name for p in kit.iterdir()) == ["README.txt", "for photos", "kit.toml"]
    assert report.kept_foreign == ("for photos",)
