"""Single files: bounded reading, whole writing, the user's own boards."""

import os

import pytest

from laminature.errors import StoreError
from laminature.store import boards
from laminature.store.files import read_bounded, write_whole


def test_reading_stops_at_the_cap(tmp_path):
    path = tmp_path / "design.toml"
    path.write_bytes(b"x" * 100)
    assert read_bounded(path, 100) == b"x" * 100
    with pytest.raises(StoreError, match="larger than 99 bytes"):
        read_bounded(path, 99)


def test_what_is_no_file_is_told(tmp_path):
    for path, words in [
        (tmp_path, "is a folder"),
        (tmp_path / "no", "does not exist"),
        (tmp_path / "a\0b", "not a file name"),
    ]:
        with pytest.raises(StoreError, match=words):
            read_bounded(path, 10)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_a_pipe_is_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(StoreError, match="not an ordinary file"):
        read_bounded(tmp_path / "pipe", 10)


def test_writing_never_goes_over_something_else(tmp_path):
    path = tmp_path / "new.toml"
    write_whole(path, b"1")
    with pytest.raises(StoreError, match="exists already"):
        write_whole(path, b"2")
    write_whole(path, b"3", replaces=lambda data: data == b"1")
    assert path.read_bytes() == b"3"
    assert [p.name for p in tmp_path.iterdir()] == ["new.toml"]


def test_a_link_is_never_written_through(tmp_path):
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(StoreError, match="is a link"):
        write_whole(tmp_path / "link", b"1", replaces=lambda _: True)
    assert not (tmp_path / "elsewhere").exists()


def test_a_failed_write_leaves_nothing(tmp_path, monkeypatch):
    def full(_handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreError, match="the disk is full"):
        write_whole(tmp_path / "x", b"1")
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_told(tmp_path):
    with pytest.raises(StoreError, match="does not exist"):
        write_whole(tmp_path / "no" / "x", b"1")


def test_own_boards_lie_in_the_configuration_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("LAMINATURE_CONFIG", str(tmp_path))
    assert boards.own(boards.boards_file()) is None
    (tmp_path / "boards.toml").write_bytes(b"[mine]")
    assert boards.own(boards.boards_file()) == b"[mine]"
    monkeypatch.delenv("LAMINATURE_CONFIG")
    assert "laminature" in str(boards.boards_file())
