"""Dated copies, and a work that survives SIGKILL before every single change to the disk."""

import os
import pathlib
import subprocess
import sys
from datetime import UTC, datetime, timedelta

import pytest

from laminature.errors import StoreError
from laminature.store.copies import MOST, stamp, thinned, time_of
from laminature.store.steps import Steps
from laminature.store.works import ChangedOutside, SavedWork, Works
from laminature.worktable.history import History

NOW = datetime(2031, 5, 4, 12, 30, tzinfo=UTC)
WRITER = pathlib.Path(__file__).with_name("killed_work.py")


def test_names_of_copies_tell_their_time():
    assert time_of(stamp(NOW)) == NOW
    with pytest.raises(ValueError, match="match"):
        time_of("notes.toml")


def test_old_copies_are_thinned_the_new_ones_are_all_kept():
    minutes = [NOW - timedelta(minutes=n) for n in range(3 * 24 * 60)]
    kept = sorted((time_of(name) for name in thinned(map(stamp, minutes), NOW)), reverse=True)
    ages = [NOW - moment for moment in kept]
    assert sum(age < timedelta(hours=1) for age in ages) == 60
    assert 22 <= sum(timedelta(hours=1) <= age < timedelta(days=1) for age in ages) <= 24
    assert 2 <= sum(age >= timedelta(days=1) for age in ages) <= 3
    assert max(ages) > timedelta(days=2)


def test_copies_are_bounded_and_the_newest_stay():
    names = [stamp(NOW - timedelta(days=n)) for n in range(1000)]
    kept = thinned(names, NOW)
    assert len(kept) == MOST
    assert kept == set(names[:MOST])


def test_copies_of_the_future_are_kept():
    """A clock that was wrong for a while costs nobody a copy."""
    name = stamp(NOW + timedelta(days=300))
    assert thinned([name], NOW) == {name}


def test_a_copy_is_made_before_a_change_and_once_a_minute(tmp_path):
    work = Works(tmp_path).begin("Stool")
    for second in range(0, 180, 20):
        work.save(f"n = {second}\n".encode(), "Stool", now=NOW + timedelta(seconds=second))
    held = [work.copy(c.copy) for c in work.copies()]
    assert held == [b"n = 100\n", b"n = 40\n", b"n = 0\n"]


def test_what_something_else_has_written_is_never_overwritten(tmp_path):
    work = Works(tmp_path).begin("Stool")
    work.save(b"a = 1\n", "Stool")
    work.design.write_bytes(b"a = 2\n")
    with pytest.raises(ChangedOutside) as told:
        work.save(b"a = 3\n", "Stool")
    assert told.value.text == b"a = 2\n"
    assert work.design.read_bytes() == b"a = 2\n"
    work.take_outside()
    work.save(b"a = 3\n", "Stool")
    assert work.design.read_bytes() == b"a = 3\n"


def test_a_file_that_was_taken_away_is_written_anew(tmp_path):
    work = Works(tmp_path).begin("Stool")
    work.save(b"a = 1\n", "Stool")
    work.design.unlink()
    work.save(b"a = 3\n", "Stool")
    assert work.design.read_bytes() == b"a = 3\n"


@pytest.mark.skipif(os.name == "nt", reason="links need a privilege there")
def test_a_link_to_a_file_stays_a_link(tmp_path):
    (tmp_path / "real.toml").write_bytes(b"a = 1\n")
    (tmp_path / "link.toml").symlink_to(tmp_path / "real.toml")
    all_works = Works(tmp_path / "works")
    work = all_works.of_file(tmp_path / "link.toml")
    assert work.work == all_works.of_file(tmp_path / "real.toml").work
    work.read()
    work.save(b"a = 2\n", "Stool")
    assert (tmp_path / "link.toml").is_symlink()
    assert (tmp_path / "real.toml").read_bytes() == b"a = 2\n"


@pytest.mark.parametrize("name", ["..", "bin", "", "a/b", "A", "-a"])
def test_there_are_no_works_but_those_listed(tmp_path, name):
    (tmp_path / "bin").mkdir()
    (tmp_path / "bin" / "design.toml").write_bytes(b"")
    (tmp_path / "design.toml").write_bytes(b"")
    with pytest.raises(StoreError, match="no such work"):
        Works(tmp_path).find(name)


def run(folder, n):
    return subprocess.run(
        [sys.executable, str(WRITER), str(folder), str(n)], capture_output=True, text=True, check=False
    )


@pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")
def test_a_kill_at_any_moment_leaves_the_former_state_or_the_new_one(tmp_path):
    def begun(folder):
        pending = [{"path": ["a"], "value": "x"}]
        steps = Steps(b"a = 1\n", (("first", b"a = 0\n"),))
        SavedWork(folder).save(b"a = 1\n", "Old", pending, NOW, offcuts=["K1"], steps=steps)
        return folder

    steps = int(run(begun(tmp_path / "dry" / "stool"), 0).stdout)
    assert steps > 6
    for n in range(1, steps + 1):
        folder = begun(tmp_path / str(n) / "stool")
        assert run(folder, n).returncode == -9
        found = Works(folder.parent).find("stool")
        assert found.read() in (b"a = 1\n", b"a = 2\n"), f"killed before change {n}"
        history = History.of(found.steps(), found.read())
        taken_back = [found.read()]
        while (text := history.undo(taken_back[-1])) is not None:
            taken_back.append(text)
        assert taken_back in ([b"a = 1\n", b"a = 0\n"], [b"a = 2\n", b"a = 1\n", b"a = 0\n"])
        assert found.pending() in ([{"path": ["a"], "value": "x"}], [{"path": ["a"], "value": "y"}])
        assert found.offcuts() in (("K1",), ("K2",))
        assert next(w.title for w in Works(folder.parent).listed()) in ("Old", "New")
        assert b"a = 1\n" in [found.copy(c.copy) for c in found.copies()]
        found.save(b"a = 3\n", "Newer", [], NOW + timedelta(minutes=9))
        assert found.read() == b"a = 3\n"
        assert not [p for p in folder.rglob(".laminature*") if "design" in p.name]
