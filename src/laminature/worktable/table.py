"""All that is on the work table: the works that are open, the bench beside it, and the start page."""

from __future__ import annotations

import asyncio
import pathlib
from collections.abc import Mapping, Sequence
from typing import Any

from laminature import front
from laminature.errors import StoreError
from laminature.store.works import SavedWork, Works
from laminature.worktable.bench import Bench, Job
from laminature.worktable.drawer import Drawer
from laminature.worktable.process import Said
from laminature.worktable.saver import Saver
from laminature.worktable.work import Page, Pending, Work

#: So many works that no page shows stay open, so that going back to one is quick.
MOST_IDLE = 4
#: In this order the bench finds things out.
ORDER = ("findings", "steps", "sheets", "cushion", "evenings", "supplies")


class Table:
    """Everything that one start of the server holds. Its methods are called from the server's one loop.

    ``file`` is a design of the maker's that was named at the start.
    """

    def __init__(self, works: Works, file: pathlib.Path | None = None) -> None:
        self.works = works
        self._file = None if file is None else works.of_file(file)
        self.open_works: dict[str, Work] = {}
        self.wants: dict[Page, frozenset[str]] = {}
        self.bench = Bench(self._bench_said, self._bench_crashed)
        self._opening = asyncio.Lock()
        self._pictured: dict[str, bytes] = {}

    async def start_page(self) -> dict[str, Any]:
        """What the start page shows."""
        listed = await asyncio.to_thread(self.works.listed)
        forms = [
            {"name": f.name, "title": f.title, "summary": f.summary, "picture": ""} for f in front.forms()
        ]
        examples = [
            {"name": e.name, "title": e.title, "about": e.about, "picture": ""} for e in front.examples()
        ]
        works = [{"work": w.work, "title": w.title, "when": w.when, "picture": w.picture} for w in listed]
        return {"kind": "start", "forms": forms, "examples": examples, "works": works}

    async def begin(self, text: bytes, title: str) -> Work:
        """A new work with this text."""
        return self._take_up(self.works.begin(title), text, title)

    async def open(self, work: str) -> Work:
        """A work by its name. Raises StoreError where there is none, or it cannot be read."""
        async with self._opening:
            if work in self.open_works:
                return self.open_works[work]
            if self._file is not None and self._file.work == work:
                place = self._file
            else:
                place = await asyncio.to_thread(self.works.find, work)
            return await self._read(place)

    async def forget(self, work: str) -> None:
        """Move a work to the bin folder. Raises StoreError."""
        held = self.open_works.get(work)
        if held is not None:
            if held.pages:
                raise StoreError("This work is open in another window. Close it there first.")
            await self._put_away(held)
        await asyncio.to_thread(self.works.forget, work)

    def leave(self, page: Page) -> None:
        """A page is gone, or shows something else now."""
        self.wants.pop(page, None)
        for work in self.open_works.values():
            work.leave(page)
        idle = [w for w in self.open_works.values() if not w.pages]
        for work in idle[:-MOST_IDLE]:
            asyncio.get_running_loop().create_task(self._put_away(work))

    def want(self, page: Page, work: Work, kinds: Sequence[str]) -> None:
        """Note which results a page wants to see, and have those made that are not there yet."""
        self.wants[page] = frozenset(kinds)
        self.to_bench(work)

    def to_bench(self, work: Work) -> None:
        """Have the bench find out what the work's pages want to know and do not know yet."""
        if work.drawn is None or not work.pages:
            return
        wanted = {"findings"}.union(*(self.wants.get(page, frozenset()) for page in work.pages))
        kinds = tuple(kind for kind in ORDER if kind in wanted and kind not in work.results)
        picture = self._pictured.get(work.name) != work.text
        if kinds or picture:
            place = work.saver.place
            folder = place.design.parent
            job = Job(
                work.name, work.revision, work.text, work.drawer.name, str(folder), kinds, work.kept, picture
            )
            self.bench.ask(job)

    async def close(self) -> None:
        """Bring everything to the disk and end all that runs."""
        for work in list(self.open_works.values()):
            await self._put_away(work)
        await asyncio.to_thread(self.bench.close)

    async def _read(self, place: SavedWork) -> Work:
        text = await asyncio.to_thread(place.read)
        pending = await asyncio.to_thread(place.pending)
        name = place.file.name if place.file else place.work
        return self._take_up(place, text, name, _pending(pending))

    def _take_up(
        self, place: SavedWork, text: bytes, name: str, pending: Mapping[Any, Pending] | None = None
    ) -> Work:
        drawer = Drawer(name, place.design.parent)

        def told(words: str, remedy: str, outside: bytes | None) -> None:
            kind = "trouble" if outside is None else "changed_outside"
            work.tell({"kind": kind, "work": work.name, "message": words, "remedy": remedy})

        def done(when: str) -> None:
            work.tell({"kind": "saved", "work": work.name, "saved": when})

        saver = Saver(place, told, done)
        work = Work(place.work, text, drawer, saver, pending or {}, self.to_bench)
        self.open_works[work.name] = work
        return work

    async def _put_away(self, work: Work) -> None:
        await work.at_rest()
        if work.pages:
            return
        self.open_works.pop(work.name, None)
        await work.saver.flush()
        work.drawer.close()
        work.saver.close()

    def _bench_said(self, said: Said) -> None:
        kind, name = said[0], said[1]
        work = self.open_works.get(name)
        if work is None:
            return
        if kind == "result":
            _, _, revision, what, message = said
            if revision == work.revision:
                work.results[what] = message
                for page in list(work.pages):
                    page.forward(message)
        elif kind == "busy":
            _, _, what, share, words = said
            work.tell({"kind": "busy", "what": what, "share": share, "words": words})
        elif kind == "idle":
            work.tell({"kind": "busy", "what": None, "share": None, "words": ""})
        elif kind == "picture":
            self._pictured[name] = work.text
            asyncio.get_running_loop().create_task(self._keep_picture(work, said[2]))

    async def _keep_picture(self, work: Work, picture: bytes) -> None:
        try:
            await work.saver.in_thread(lambda: work.saver.place.write_picture(picture))
        except (StoreError, RuntimeError):
            # A picture is no loss: the next change brings another.
            self._pictured.pop(work.name, None)

    def _bench_crashed(self, job: Job) -> None:
        work = self.open_works.get(job.work)
        if work is not None:
            work.tell({"kind": "busy", "what": None, "share": None, "words": ""})
            work.tell(
                {
                    "kind": "trouble",
                    "message": "The bench, which works out findings and sheets, ended unexpectedly.",
                    "remedy": "It was started again, and your work is untouched. "
                    "Change something, and it begins anew.",
                }
            )


def _pending(saved: Sequence[Any]) -> dict[Any, Pending]:
    """What was typed and refused, as it was saved; what cannot be understood is left out."""
    found = {}
    for entry in saved:
        if not isinstance(entry, dict) or not isinstance(entry.get("path"), list):
            continue
        path = tuple(step for step in entry["path"] if isinstance(step, str | int))
        found[path] = Pending(entry.get("value"), str(entry.get("message", "")), str(entry.get("remedy", "")))
    return found
