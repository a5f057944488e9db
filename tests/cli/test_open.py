"""`laminature open`: it serves until it is ended, and ends by itself where nobody could see the page."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from contextlib import contextmanager

import pytest
from websockets.sync.client import connect

from laminature.worktable.protocol import unpack

STOOL = 'title = "Stool"\n\n[form]\nname = "radial-table"\nheight = "20 in" # tall\n'


def run(*arguments, **more):
    return subprocess.run(
        [sys.executable, "-m", "laminature", "open", *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=30,
        stdin=subprocess.DEVNULL,
        **more,
    )


@pytest.fixture(autouse=True)
def _own_works(tmp_path, monkeypatch):
    monkeypatch.setenv("LAMINATURE_WORK", str(tmp_path / "works"))


@contextmanager
def serving(*arguments):
    """A served work table, and its address in pieces."""
    command = [sys.executable, "-m", "laminature", "open", "--no-browser", *arguments]
    process = subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        line = process.stdout.readline()
        found = re.search(r"http://127\.0\.0\.1:(\d+)/#token=([\w-]{40,})(?:&work=([\w-]+))?$", line.strip())
        assert found, (line, process.stderr.read() if process.poll() is not None else "")
        yield process, *found.groups()
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate(timeout=10)


@contextmanager
def page(port, token):
    origin = f"http://127.0.0.1:{port}"
    with connect(f"ws://127.0.0.1:{port}/socket", origin=origin, max_size=None) as raw:
        raw.send(json.dumps({"kind": "hello", "token": token}))
        yield raw


def hear(raw, kind):
    while True:
        header, _ = unpack(raw.recv(timeout=15))
        if header["kind"] == kind:
            return header


def test_without_a_terminal_it_says_so_and_ends():
    done = run()
    assert done.returncode == 0
    assert "no terminal here" in done.stdout
    assert "--no-browser" in done.stdout


def test_a_file_that_is_not_there_is_told(tmp_path):
    done = run("--no-browser", str(tmp_path / "none.toml"))
    assert done.returncode == 2
    assert "does not exist" in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="needs SIGINT")
def test_it_serves_until_ctrl_c_and_all_is_saved(tmp_path):
    file = tmp_path / "stool.toml"
    file.write_text(STOOL)
    with serving(str(file)) as (process, port, token, work):
        with page(port, token) as raw:
            raw.send(json.dumps({"kind": "work", "work": work}))
            hear(raw, "scene")
            change = {"path": ["form", "height"], "value": "22 in"}
            raw.send(json.dumps({"kind": "set", "seq": 1, "changes": [change], "label": "height"}))
            hear(raw, "scene")
            process.send_signal(signal.SIGINT)
            rest, errors = process.communicate(timeout=10)
        assert process.returncode == 0
        assert "closed" in rest
        assert errors == ""
    assert file.read_text() == STOOL.replace("20 in", "22 in")


@pytest.mark.skipif(os.name == "nt", reason="needs SIGKILL")
def test_a_kill_loses_at_most_the_last_half_second(tmp_path):
    file = tmp_path / "stool.toml"
    file.write_text(STOOL)
    with serving(str(file)) as (process, port, token, work), page(port, token) as raw:
        raw.send(json.dumps({"kind": "work", "work": work}))
        hear(raw, "scene")
        for seq in range(1, 30):
            change = {"path": ["form", "height"], "value": f"{20 + seq / 10:g} in"}
            raw.send(json.dumps({"kind": "set", "seq": seq, "changes": [change], "settle": False}))
            hear(raw, "scene")
            time.sleep(0.04)
        process.send_signal(signal.SIGKILL)
        process.wait(timeout=10)
    kept = float(re.search(r'height = "([\d.]+) in" # tall', file.read_text())[1])
    # A change every 0.04 s and a little for the drawing: half a second is no more than 12 of them.
    assert kept >= 22.9 - 1.2


def test_a_port_that_is_taken_is_told():
    with serving() as (_, port, _, _):
        done = run("--no-browser", "--port", port)
    assert done.returncode == 2
    assert f"The port {port} cannot be used" in done.stderr
