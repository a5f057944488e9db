"""A real server on loopback in a thread of its own, and a page without a browser to talk to it."""

import asyncio
import json
import socket
import threading
import time
from contextlib import contextmanager

import pytest
import uvicorn
from websockets.sync.client import connect

from laminature.store.works import Works
from laminature.worktable import protocol
from laminature.worktable.app import create_app
from laminature.worktable.bundle import File
from laminature.worktable.serve import uvicorn_config
from laminature.worktable.table import Table

TOKEN = "the-token-of-this-start"
BUNDLE = {
    "/": File(b"<!doctype html><title>page</title>", "text/html; charset=utf-8"),
    "/page.js": File(b"export {}", "text/javascript; charset=utf-8"),
}


class Server:
    """One start of the work table on a free port."""

    def __init__(self, root, file=None):
        self.root = root
        self.table = None
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port = self._socket.getsockname()[1]
        self.token = TOKEN

        def make_table():
            self.table = Table(Works(root), file)
            return self.table

        app = create_app(make_table, BUNDLE, TOKEN, self.port)
        self._server = uvicorn.Server(uvicorn_config(app))
        self._thread = threading.Thread(
            target=lambda: asyncio.run(self._server.serve(sockets=[self._socket])), daemon=True
        )
        self._thread.start()
        while not self._server.started:
            assert self._thread.is_alive()
            time.sleep(0.01)

    @property
    def origin(self):
        return f"http://127.0.0.1:{self.port}"

    def end(self):
        self._server.should_exit = True
        self._thread.join(15)
        assert not self._thread.is_alive()

    @contextmanager
    def page(self):
        with self.socket() as raw:
            page = Page(raw)
            page.say("hello", token=self.token)
            page.hear("welcome")
            yield page

    def socket(self, **changed):
        given = {"origin": self.origin, "max_size": None, "compression": None} | changed
        return connect(f"ws://127.0.0.1:{self.port}/socket", **given)


class Page:
    """What a page does, without a browser."""

    def __init__(self, raw):
        self.raw = raw
        self.seq = 0
        self.heard = []
        self.parts = {}

    def say(self, kind, **fields):
        self.raw.send(json.dumps({"kind": kind, **fields}))

    def any(self, seconds=10.0):
        header, blobs = protocol.unpack(self.raw.recv(timeout=seconds))
        self.heard.append(header)
        if header["kind"] == "opened":
            self.parts = {}
        if header["kind"] == "scene":
            header["new"] = [part["name"] for part in header["parts"] if isinstance(part, dict)]
            found = [self.parts[part] if isinstance(part, str) else part for part in header["parts"]]
            header["parts"], self.parts = found, {part["name"]: part for part in found}
        return header, blobs

    def hear(self, *kinds, seconds=20.0, where=lambda header: True):
        """The next message of one of these kinds; all others are passed over, but noted."""
        until = time.monotonic() + seconds
        while True:
            header, blobs = self.any(max(0.01, until - time.monotonic()))
            if header["kind"] in kinds and where(header):
                header["blobs"] = blobs
                return header

    def open(self, kind="example", **fields):
        self.say(kind, **({"name": "lookout-stool"} if kind == "example" and not fields else fields))
        opened = self.hear("opened")
        self.hear("state")
        return opened, self.hear("scene", "refused")

    def set(self, path, value, *, settle=True, label="a size"):
        self.seq += 1
        self.say(
            "set", seq=self.seq, changes=[{"path": list(path), "value": value}], label=label, settle=settle
        )
        return self.hear("scene", "refused", where=lambda h, seq=self.seq: h["seq"] == seq)

    def text(self):
        self.say("text")
        return self.hear("text")["text"]

    def quiet(self, seconds=0.4):
        """All that comes until nothing has come for so long."""
        found = []
        while True:
            try:
                found.append(self.any(seconds)[0])
            except TimeoutError:
                return found


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    started = Server(tmp_path_factory.mktemp("works"))
    yield started
    started.end()


@pytest.fixture
def page(server):
    with server.page() as page:
        yield page


@pytest.fixture
def start(tmp_path):
    """Start servers on one folder of works; all are ended at the end."""
    started = []

    def begin(file=None, root=None):
        started.append(Server(root or tmp_path / "works", file))
        return started[-1]

    yield begin
    for one in started:
        one.end()
