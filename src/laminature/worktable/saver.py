"""Brings a work to the disk by itself, soon after each change, without anybody waiting for it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from functools import partial
from typing import Any

from laminature.errors import LaminatureError, StoreError
from laminature.store.steps import Steps
from laminature.store.works import ChangedOutside, SavedWork

#: So long changes are gathered before they are written, s.
DELAY = 0.25


class Saver:
    """Saves one work. Where the disk refuses, the state stays in memory and is tried again later.

    ``told`` hears each thing that goes wrong, once: the words, a remedy, and the text that something else
    has written, if that is what is wrong. ``done`` hears each time that all is on the disk.
    """

    def __init__(
        self,
        place: SavedWork,
        told: Callable[[str, str, bytes | None], None],
        done: Callable[[str], None],
    ) -> None:
        self.place = place
        self.saved: str | None = None
        self.conflict: bytes | None = None
        self._told = told
        self._done = done
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="saver")
        self._state: tuple[bytes, str, Sequence[Any], Sequence[str], Steps] | None = None
        self._task: asyncio.Task[None] | None = None
        self._said = ""

    def soon(
        self, text: bytes, title: str, pending: Sequence[Any], offcuts: Sequence[str], steps: Steps
    ) -> None:
        """Bring this state to the disk in a moment; a newer one takes its place until then."""
        self._state = (text, title, pending, offcuts, steps)
        if self._task is None or self._task.done():
            self._task = asyncio.get_running_loop().create_task(self._run())

    async def flush(self) -> None:
        """Bring what waits to the disk now."""
        if self._task is not None and not self._task.done():
            self._task.cancel()
            await asyncio.gather(self._task, return_exceptions=True)
        await self._write()

    async def in_thread(self, work: Callable[[], Any]) -> Any:
        """Do something on the disk, after what is under way there."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, work)

    def resolved(self, place: SavedWork) -> None:
        """Something else's change was dealt with; go on at ``place``."""
        self.place = place
        self.conflict = None
        self._said = ""

    def close(self) -> None:
        """End the thread once what is under way is done."""
        self._pool.shutdown(wait=False)

    async def _run(self) -> None:
        await asyncio.sleep(DELAY)
        # What is being written is not stopped half way: only the waiting before it can be.
        await asyncio.shield(asyncio.ensure_future(self._write()))

    async def _write(self) -> None:
        while self._state is not None and self.conflict is None:
            state, self._state = self._state, None
            try:
                text, title, pending, offcuts, steps = state
                save = partial(self.place.save, text, title, pending, offcuts=offcuts, steps=steps)
                await self.in_thread(save)
            except Exception as error:
                # A newer state may wait by now; otherwise this one is tried again with the next change.
                self._state = self._state or state
                self._complain(error)
                return
            self.saved = datetime.now(UTC).isoformat(timespec="seconds")
            self._said = ""
            self._done(self.saved)

    def _complain(self, error: Exception) -> None:
        found: bytes | None = None
        if isinstance(error, ChangedOutside):
            self.conflict = found = error.text
            remedy = "Take what stands there now, or go on with yours as an own copy."
        else:
            remedy = "Your work is safe as long as this window and the program stay open. It is tried again."
        words = (
            str(error) if isinstance(error, LaminatureError) else StoreError(f"Not saved: {error}").args[0]
        )
        if words != self._said:
            self._said = words
            self._told(words, remedy, found)
