"""A process beside the server, for work that must never be in the way: spawned, listened to, ended.

Both ends speak in tuples whose first item says what they are. A child that lost its parent ends by itself.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import queue
import signal
import threading
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

Said = tuple[Any, ...]
#: So long a process that was asked to end may take for it, s.
GRACE = 2.0


class Side:
    """The server's end of one process. ``heard`` gets what it says, ``died`` hears that it ended unasked."""

    def __init__(
        self, target: Callable[[Connection], None], heard: Callable[[Said], None], died: Callable[[], None]
    ) -> None:
        self._loop = asyncio.get_running_loop()
        self._heard = heard
        self._died = died
        self._closed = False
        context = multiprocessing.get_context("spawn")
        self._pipe, theirs = context.Pipe()
        # Not a daemon: the search for better sheets has helpers of its own.
        self.process = context.Process(target=_begin, args=(target, theirs), name=target.__name__)
        with _deaf_to_ctrl_c():
            self.process.start()
        theirs.close()
        self._letters: queue.SimpleQueue[Said | None] = queue.SimpleQueue()
        threading.Thread(target=self._listen, name="listener", daemon=True).start()
        threading.Thread(target=self._post, name="sender", daemon=True).start()

    def say(self, *said: Any) -> None:
        """Send something, without waiting for the other end; where that has just ended nothing happens."""
        self._letters.put(said)

    def end(self) -> None:
        """End the process now, whatever it is doing."""
        self._closed = True
        self._letters.put(None)
        with suppress(OSError, ValueError):
            self.process.kill()
        threading.Thread(target=self._bury, name="burial", daemon=True).start()

    def join(self) -> None:
        """Wait for an ended process to be gone."""
        with suppress(OSError, ValueError, AssertionError):
            self.process.join(GRACE)

    def _bury(self) -> None:
        self.join()
        with suppress(OSError):
            self._pipe.close()

    def _post(self) -> None:
        while (said := self._letters.get()) is not None:
            with suppress(OSError, ValueError):
                self._pipe.send(said)

    def _listen(self) -> None:
        while True:
            try:
                said = self._pipe.recv()
            except (EOFError, OSError, TypeError, ValueError):
                break
            self._call(self._heard, said)
        self._call(self._gone)

    def _call(self, what: Callable[..., None], *given: Any) -> None:
        # The loop may have been closed in the meantime: then nobody is left to hear it.
        with suppress(RuntimeError):
            self._loop.call_soon_threadsafe(self._unless_closed, what, *given)

    def _unless_closed(self, what: Callable[..., None], *given: Any) -> None:
        if not self._closed:
            what(*given)

    def _gone(self) -> None:
        self.end()
        self._died()


class Inbox:
    """The child's end: what was said to it, gathered while it works."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._waiting: deque[Said] = deque()
        self._change = threading.Condition()
        self._sending = threading.Lock()
        threading.Thread(target=self._gather, name="inbox", daemon=True).start()

    def next(self) -> Said:
        """What was said first of all that waits; waits for something to be said."""
        with self._change:
            while not self._waiting:
                self._change.wait()
            return self._waiting.popleft()

    def put_off(self, said: Said) -> None:
        """Hear this once more, after all that waits."""
        with self._change:
            self._waiting.append(said)

    def any(self, is_so: Callable[[Said], bool]) -> bool:
        """Whether something like this waits."""
        with self._change:
            return any(is_so(said) for said in self._waiting)

    def say(self, *said: Any) -> None:
        """Tell the server something."""
        with self._sending:
            self._pipe.send(said)

    def _gather(self) -> None:
        while True:
            try:
                said = self._pipe.recv()
            except (EOFError, OSError):
                # The server is gone, however that came about.
                os._exit(0)
            with self._change:
                self._waiting.append(said)
                self._change.notify()


def _begin(target: Callable[[Connection], None], pipe: Connection) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        target(pipe)
    except BaseException:
        # The server sees that the process is gone and says so; the maker's terminal is no place for it.
        if os.environ.get("LAMINATURE_DEBUG"):
            raise
        os._exit(1)


class _deaf_to_ctrl_c:
    """While a process is started it inherits that Ctrl-C, which goes to all of a terminal, is not for it."""

    def __enter__(self) -> None:
        self._before: Any = None
        with suppress(ValueError):  # Only the main thread may say so; elsewhere the child says it itself.
            self._before = signal.signal(signal.SIGINT, signal.SIG_IGN)

    def __exit__(self, *_: object) -> None:
        if self._before is not None:
            signal.signal(signal.SIGINT, self._before)
