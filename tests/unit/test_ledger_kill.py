"""The ledger survives SIGKILL before every single change that writing makes to the disk."""

import os
import pathlib
import subprocess
import sys

import pytest

from laminature.geometry.flat import rectangle
from laminature.model.offcut import Offcut
from laminature.store.offcuts import Ledger, change_ledger, dump, read_ledger

pytestmark = pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")

WRITER = pathlib.Path(__file__).with_name("killed_ledger.py")
FIRST = Offcut("", "card-10", rectangle(0.0, 0.0, 120.0, 80.0))


def run(file, n):
    return subprocess.run(
        [sys.executable, str(WRITER), str(file), str(n)], capture_output=True, text=True, check=False
    )


def started(folder, by_hand):
    """A ledger with one offcut, as Laminature writes it or with a word of the maker's own."""
    folder.mkdir()
    file = folder / "offcuts.toml"
    file.write_bytes(dump(Ledger().added([FIRST])) + (b"# mine\n" if by_hand else b""))
    return file


def names(file):
    return [o.name for o in read_ledger(file).offcuts]


@pytest.mark.parametrize("by_hand", [False, True])
def test_a_killed_change_leaves_the_old_ledger_or_the_new_one(tmp_path, by_hand):
    dry = run(started(tmp_path / "dry", by_hand), 0)
    steps = int(dry.stdout)
    assert steps > 3
    seen = set()
    for n in range(1, steps + 1):
        file = started(tmp_path / str(n), by_hand)
        before = file.read_bytes()
        assert run(file, n).returncode == -9
        seen.add(tuple(names(file)))
        assert names(file) in (["K1"], ["K2", "K3"]), f"killed before change {n}"
        if names(file) == ["K1"]:
            assert file.read_bytes() == before
        change_ledger(lambda ledger: ledger.added([FIRST]), file)
        assert names(file) in (["K1", "K2"], ["K2", "K3", "K4"]), f"killed before change {n}"
        edited = [p.read_bytes() for p in file.parent.glob("offcuts-edited*.toml")]
        assert edited == [before] * len(edited)
        assert by_hand == bool(edited)
        left = {p.name for p in file.parent.iterdir() if not p.name.startswith("offcuts-edited")}
        assert left == {"offcuts.toml"}, f"something was left after change {n}"
    assert seen == {("K1",), ("K2", "K3")}


def test_a_first_ledger_is_there_whole_or_not_at_all(tmp_path):
    steps = int(run(tmp_path / "dry.toml", 0).stdout)
    for n in range(1, steps + 1):
        file = tmp_path / str(n) / "offcuts.toml"
        assert run(file, n).returncode == -9
        assert not file.exists() or names(file) == ["K1", "K2"], f"killed before change {n}"
        change_ledger(lambda ledger: ledger.added([FIRST]), file)
        assert names(file) in (["K1"], ["K1", "K2", "K3"])
