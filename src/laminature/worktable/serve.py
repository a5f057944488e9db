"""One start of the work table: a free port on this computer, a page in the browser, and an end."""

from __future__ import annotations

import asyncio
import gc
import os
import pathlib
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable
from contextlib import suppress

import uvicorn
from starlette.types import ASGIApp

from laminature.errors import StoreError
from laminature.store.works import Works
from laminature.worktable import protocol, safety
from laminature.worktable.app import create_app
from laminature.worktable.bundle import read_bundle
from laminature.worktable.table import Table

#: The server can be reached from this computer alone.
HOST = "127.0.0.1"


def serve(
    file: pathlib.Path | None, say: Callable[[str], None], *, port: int = 0, browser: bool = True
) -> None:
    """Serve the work table until it is ended (Ctrl-C), with ``file`` on it if one is given.

    With ``browser`` the page is opened; where there is no terminal or no browser, that is said and nothing
    is served. Raises StoreError for a port that is taken, or a file that cannot be read.
    """
    if browser and (lacking := what_lacks()):
        say(
            f"The work table was not opened: there is no {lacking} here. "
            "`laminature open --no-browser` serves it all the same."
        )
        return
    works = Works()
    work = "" if file is None else _checked(works, file)
    with _listening(port) as listening:
        chosen = listening.getsockname()[1]
        token = safety.new_token()
        address = f"http://{HOST}:{chosen}/#token={token}" + (f"&work={work}" if work else "")

        def make_table() -> Table:
            return Table(works, file)

        app = create_app(make_table, read_bundle(), token, chosen)
        _tidy_seldom()
        say(f"The work table is open at {address}")
        say("Ctrl-C ends it; your work is saved by itself.")
        if browser:
            threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
        with suppress(KeyboardInterrupt):
            asyncio.run(uvicorn.Server(uvicorn_config(app)).serve(sockets=[listening]))
    say("The work table is closed.")


def uvicorn_config(app: ASGIApp) -> uvicorn.Config:
    """How the server runs: bounded messages, no compression (there is no network), nothing logged."""
    return uvicorn.Config(
        app,
        log_level="error",
        access_log=False,
        server_header=False,
        ws="websockets-sansio",
        ws_max_size=protocol.MOST_BYTES,
        ws_per_message_deflate=False,
        timeout_graceful_shutdown=2,
    )


def _tidy_seldom() -> None:
    """Look for circles in memory seldom: the table does so whenever hands rest, see ``Table``.

    Nearly all that a change makes is freed without it, and a search through all the results of a large design
    takes as long as drawing a change to it.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 50, 5_000)


def what_lacks() -> str:
    """What there is not, of what is needed to show a page to somebody: "" where all is there."""
    if not (sys.stdin and sys.stdin.isatty()):
        return "terminal"
    if sys.platform not in ("win32", "darwin"):
        shown = any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER"))
        if not shown:
            return "browser"
    try:
        webbrowser.get()
    except webbrowser.Error:
        return "browser"
    return ""


def _checked(works: Works, file: pathlib.Path) -> str:
    """The work that a file is, known to be readable. Raises StoreError."""
    place = works.of_file(file)
    place.read()
    return place.work


def _listening(port: int) -> socket.socket:
    try:
        return socket.create_server((HOST, port), backlog=64)
    except (OSError, OverflowError) as error:
        raise StoreError(
            f"The port {port} cannot be used: {error}. Leave --port out for a free one."
        ) from error
