"""``kit --seconds``: better sheets are sought once, kept in the folder, and come back unchanged."""

import os
import pathlib
import subprocess
import sys
import tomllib

RACK = pathlib.Path(__file__).parents[2] / "examples" / "chart-rack.toml"


def kit(folder, *options):
    done = subprocess.run(
        [sys.executable, "-m", "laminature", "kit", str(RACK), "-o", str(folder), *options],
        capture_output=True,
        stdin=subprocess.DEVNULL,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_better_sheets_are_kept_and_used_again(tmp_path):
    folder = tmp_path / "kit"
    assert "layout" not in tomllib.loads(kit(folder)["kit.toml"].decode())
    searched = kit(folder, "--seconds", "4")
    layout = tomllib.loads(searched["kit.toml"].decode())["layout"]
    assert layout["seconds"] == 4.0
    assert kit(folder) == searched


def test_seconds_below_zero_are_refused(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "laminature", "kit", str(RACK), "-o", str(tmp_path / "k"), "--seconds", "-1"],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 2
    assert not (tmp_path / "k").exists()
