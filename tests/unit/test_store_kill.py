"""A kit folder survives SIGKILL before every single change that writing makes to the disk."""

import importlib.util
import os
import pathlib
import subprocess
import sys

import pytest

from laminature.store.kit import write_kit

pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")

WRITER = pathlib.Path(__file__).with_name("killed_writer.py")
_spec = importlib.util.spec_from_file_location("killed_writer", WRITER)
_module = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(_module)
kit_files = _module.kit_files

OWN = {
    "my notes.txt": b"glue the seat last",
    "photos/first.jpg": b"\xff\xd8not really",
    "README.txt": b"edited by me",
}


def run(folder, version, n):
    return subprocess.run(
        [sys.executable, str(WRITER), str(folder), version, str(n)],
        capture_output=True,
        text=True,
        check=False,
    )


def content(folder):
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and p.name != "kit.toml"
    }


def put_own(folder):
    for name, data in OWN.items():
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)


def test_a_first_kit_is_there_whole_or_not_at_all(tmp_path):
    steps = int(run(tmp_path / "dry" / "kit", "new", 0).stdout)
    assert steps > 8
    for n in range(1, steps + 1):
        folder = tmp_path / str(n) / "kit"
        assert run(folder, "new", n).returncode == -9
        assert not folder.exists() or content(folder) == kit_files("new"), f"killed before change {n}"
        write_kit(folder, kit_files("new"))
        assert content(folder) == kit_files("new")
        assert [p.name for p in folder.parent.iterdir()] == ["kit"], f"something was left after change {n}"


def test_replacing_a_kit_loses_nothing_of_the_makers_at_any_kill(tmp_path):
    def old_kit(folder):
        write_kit(folder, kit_files("old"))
        put_own(folder)
        return folder

    old = content(old_kit(tmp_path / "as-before" / "kit"))
    new = {**kit_files("new"), **OWN}
    steps = int(run(old_kit(tmp_path / "dry" / "kit"), "new", 0).stdout)
    assert steps > 20
    absent = 0
    for n in range(1, steps + 1):
        folder = old_kit(tmp_path / str(n) / "kit")
        assert run(folder, "new", n).returncode == -9
        if folder.exists():
            assert content(folder) in (old, new), f"a mixture after a kill before change {n}"
        else:
            absent += 1
        report = write_kit(folder, kit_files("new"))
        assert content(folder) == new, f"killed before change {n}"
        assert report.kept_edited == ("README.txt",)
        assert report.kept_foreign == ("my notes.txt", "photos/first.jpg")
        assert [p.name for p in folder.parent.iterdir()] == ["kit"], f"something was left after change {n}"
    assert absent == 1, "only between the two renames may the folder be absent"
