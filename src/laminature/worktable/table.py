"""All that is on the work table: the works that are open, the bench beside it, and the start page."""

from __future__ import annotations

import asyncio
import gc
import pathlib
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import partial
from typing import Any

from laminature.errors import BuildError, ChoiceError, StoreError
from laminature.model.sheet import Kept
from laminature.pipeline import KINDS
from laminature.store.works import SavedWork, Works
from laminature.worktable.bench import Bench, Job
from laminature.worktable.commands import GoTo, Page, Pending
from laminature.worktable.drawer import Drawer
from laminature.worktable.history import History
from laminature.worktable.maker import Errand, Maker
from laminature.worktable.process import Said
from laminature.worktable.saver import Saver
from laminature.worktable.shelf import Shelf, looked_at
from laminature.worktable.start_pictures import StartPictures
from laminature.worktable.work import Work, trouble, without_pictures

#: So many works that no page shows stay open, so that going back to one is quick.
MOST_IDLE = 4
#: In this order the bench finds things out.
ORDER = ("findings", "steps", "sheets", "cushion", "evenings", "supplies", "mends")
#: When nothing has changed for so long, memory is tidied, s.
REST = 2.0
#: The start page is sent anew after so many pictures more.
PICTURES_AT_ONCE = 3
IDLE = {"kind": "busy", "what": None, "share": None, "words": ""}


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
        self.maker = Maker(self._maker_said)
        self._opening = asyncio.Lock()
        self.pictures = StartPictures(works.root)
        self.looking: set[Page] = set()
        self._drawing = False
        self._tidying: asyncio.TimerHandle | None = None
        self._pictured: dict[str, bytes] = {}

    async def start_page(self) -> dict[str, Any]:
        """What the start page shows."""
        listed = await asyncio.to_thread(self.works.listed)
        cards = await asyncio.to_thread(self.pictures.cards)
        self._have_drawn()
        works = [{"work": w.work, "title": w.title, "when": w.when, "picture": w.picture} for w in listed]
        return {"kind": "start", **cards, "works": works}

    def _have_drawn(self) -> None:
        """Ask the bench for pictures that are not there yet, once."""
        lacking = self.pictures.lacking()
        if lacking and not self._drawing:
            self._drawing = True
            self.bench.ask_pictures(lacking)

    async def _drawn(self, name: str, picture: bytes, left: int) -> None:
        await asyncio.to_thread(self.pictures.take_in, name, picture)
        if left % PICTURES_AT_ONCE == 0:
            page = await self.start_page()
            for look in list(self.looking):
                look.send(page)

    async def begin(self, text: bytes, title: str) -> Work:
        """A new work with this text."""
        work = self._take_up(self.works.begin(title), text, title)
        await self.look_at_offcuts(work)
        return work

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
        self.looking.discard(page)
        for work in self.open_works.values():
            left = page in work.pages
            work.leave(page)
            if left and not work.pages:
                self.bench.drop(work.name)
        idle = [w for w in self.open_works.values() if not w.pages]
        for work in idle[:-MOST_IDLE]:
            asyncio.get_running_loop().create_task(self._put_away(work))

    def want(self, page: Page, work: Work, kinds: Sequence[str]) -> None:
        """Note which results a page wants to see, and have those made that are not there yet."""
        self.wants[page] = frozenset(kinds)
        self.to_bench(work)

    def to_bench(self, work: Work) -> None:
        """Have the bench find out what the work's pages want to know and do not know yet."""
        self._tidy_later()
        errand = self.maker.under_way(work.name)
        if errand is not None and errand.seconds and errand.text != work.text:
            self.use_sheets(work)
        if work.drawn is None or not work.pages:
            return
        wanted = {"findings", "mends"}.union(*(self.wants.get(page, frozenset()) for page in work.pages))
        kinds = tuple(kind for kind in ORDER if kind in wanted and kind not in work.results)
        picture = self._pictured.get(work.name) != work.text
        if kinds or picture:
            name, folder, ledger = work.drawer.name, str(work.drawer.folder), work.shelf.ledger
            job = Job(work.name, work.revision, work.text, name, folder, kinds, work.kept, picture, ledger)
            self.bench.ask(job)

    async def look_at_offcuts(self, work: Work, names: Sequence[str] | None = None) -> Sequence[str]:
        """Read the maker's ledger anew; with ``names``, lay the sheets out with those from now on.

        The answer are names that were chosen and have gone. Raises ChoiceError, StoreError.
        """
        async with work.looking:

            def look() -> tuple[Shelf, Kept | None]:
                shelf = looked_at(work.shelf, names)
                return shelf, work.saver.place.kept(shelf.digest)

            before = work.shelf
            shelf, kept = await work.saver.in_thread(look)
            if shelf.ledger != before.ledger:
                self.use_sheets(work)
            if shelf != before:
                work.take_shelf(shelf, kept)
            return [name for name in shelf.dropped if name not in before.dropped]

    async def resolve(self, work: Work, take: str, page: Page, mark: int | None) -> None:
        """Something else has changed a work's file: take what it holds now, or go on as a work of its own.

        Raises StoreError.
        """
        saver = work.saver
        if saver.conflict is None:
            return
        if take == "file":
            text = await saver.in_thread(saver.place.read)
            saver.resolved(saver.place)
            work.ask(GoTo(page, 0, mark, lambda: text, "taking the file as it was changed"))
            return
        await work.at_rest()
        own = self.works.begin(work.title)
        behind = await saver.in_thread(partial(own.take_pictures, work.photos, work.drawer.folder))
        work.drawer.folder = own.folder
        saver.resolved(own)
        self.open_works.pop(work.name, None)
        work.name = own.work
        self.open_works[work.name] = work
        work.save()
        for shown in list(work.pages):
            shown.take(work, mark if shown is page else None)
        if behind:
            work.tell(without_pictures(behind))

    async def improve(self, work: Work, seconds: float) -> None:
        """Seek better sheets for about so long. Raises LaminatureError where nothing is drawn."""
        await self._sure_of_offcuts(work)
        self.maker.start(self._errand(work, seconds=seconds))

    async def make(self, work: Work, files: Sequence[str]) -> None:
        """Make the kit: files of these kinds, or of all. Raises LaminatureError where nothing is drawn."""
        unknown = [kind for kind in files if kind not in KINDS]
        if unknown:
            known = ", ".join(KINDS)
            raise ChoiceError(f"A kit has no files of the kind {unknown[0]!r}.", f"Known are: {known}.")
        await self._sure_of_offcuts(work)
        self.use_sheets(work)
        self.maker.start(self._errand(work, files=tuple(files) or None))
        work.tell({"kind": "making", "share": 0.0, "words": "beginning"})

    async def _sure_of_offcuts(self, work: Work) -> None:
        """Raise ChoiceError where what was chosen is not there any more: that changes the sheets."""
        if await self.look_at_offcuts(work):
            raise ChoiceError(
                "Nothing was begun: your ledger of offcuts has changed, and the sheets with it.",
                "Look at them, and ask for it again.",
            )
        if work.shelf.problem and work.shelf.chosen:
            raise ChoiceError(work.shelf.problem)

    def use_sheets(self, work: Work) -> None:
        """Stop seeking; the best so far is kept already."""
        errand = self.maker.under_way(work.name)
        if errand is not None and errand.seconds:
            self.maker.stop(work.name)
            self._sought(work)

    def stop_making(self, work: Work) -> None:
        """End the making of a kit."""
        errand = self.maker.under_way(work.name)
        if errand is not None and not errand.seconds:
            self.maker.stop(work.name)
            work.tell({"kind": "making", "share": None, "words": "stopped"})

    def _errand(self, work: Work, **more: Any) -> Errand:
        if work.drawn is None:
            raise BuildError("Nothing can be made of this design before its values are mended.")
        folder = str(work.drawer.folder)
        given = (work.name, work.revision, work.text, work.drawer.name, folder, work.kept)
        return Errand(*given, ledger=work.shelf.ledger, **more)

    def _sought(self, work: Work) -> None:
        """Say that no better sheets are sought any more."""
        work.improving = {**work.improving, "running": False}
        work.tell(work.improving)
        work.tell(IDLE)

    def _maker_said(self, errand: Errand, said: Said) -> None:
        work = self.open_works.get(errand.work)
        if work is None:
            return
        what, *rest = said
        if what == "progress" and errand.seconds:
            work.tell({"kind": "busy", "what": "improve", "share": rest[0], "words": rest[1]})
        elif what == "progress":
            work.tell({"kind": "making", "share": rest[0], "words": rest[1]})
        elif what == "round":
            self._better(work, errand, *rest)
        elif what == "made":
            work.made = rest[0]
            work.tell(work.made_told())
        elif what == "end" and errand.seconds:
            self._sought(work)
        elif what in ("failed", "crashed"):
            words = rest or ("What was being made ended unexpectedly.", "Your work is untouched. Try again.")
            if errand.seconds:
                self._sought(work)
            else:
                work.tell({"kind": "making", "share": None, "words": "failed"})
            work.tell(trouble(words[0], words[1]))

    def _better(
        self,
        work: Work,
        errand: Errand,
        number: int,
        score: float,
        first: float,
        sheets: int,
        kept: Kept | None,
    ) -> None:
        """A round of seeking is over; ``kept`` are its sheets where they are better."""
        work.improving = {
            "kind": "improving",
            "round": number,
            "score": round(score, 3),
            "first": round(first, 3),
            "sheets": sheets,
            "running": True,
        }
        work.tell(work.improving)
        if kept is None or (errand.text, errand.ledger) != (work.text, work.shelf.ledger):
            return
        work.kept = kept
        choice = work.shelf.digest
        for kind in ("sheets", "evenings", "supplies"):
            work.results.pop(kind, None)
        self.to_bench(work)
        self._later(work, lambda: work.saver.place.write_kept(kept, choice))

    def _later(self, work: Work, what: Callable[[], None]) -> None:
        """Do something on the disk that is no loss where it cannot be done."""

        async def do() -> None:
            with suppress(StoreError, RuntimeError):
                await work.saver.in_thread(what)

        asyncio.get_running_loop().create_task(do())

    def _tidy_later(self) -> None:
        """Look for memory that nothing uses any more when hands rest: it takes longer than a frame."""
        if self._tidying is not None:
            self._tidying.cancel()
        self._tidying = asyncio.get_running_loop().call_later(REST, self._tidy)

    def _tidy(self) -> None:
        if any(work.busy for work in self.open_works.values()):
            self._tidy_later()
        else:
            gc.collect()

    async def close(self) -> None:
        """Bring everything to the disk and end all that runs."""
        for work in list(self.open_works.values()):
            await self._put_away(work, though_shown=True)
        await asyncio.to_thread(self.maker.close)
        await asyncio.to_thread(self.bench.close)

    async def _read(self, place: SavedWork) -> Work:
        text = await asyncio.to_thread(place.read)
        pending = await asyncio.to_thread(place.pending)
        name = place.file.name if place.file else place.work
        steps = await asyncio.to_thread(place.steps)
        work = self._take_up(place, text, name, _pending(pending), History.of(steps, text))
        work.shelf = Shelf(chosen=await asyncio.to_thread(place.offcuts))
        work.kept = await asyncio.to_thread(place.kept)
        await self.look_at_offcuts(work)
        return work

    def _take_up(
        self,
        place: SavedWork,
        text: bytes,
        name: str,
        pending: Mapping[Any, Pending] | None = None,
        history: History | None = None,
    ) -> Work:
        drawer = Drawer(name, place.design.parent)

        def told(words: str, remedy: str, outside: bytes | None) -> None:
            kind = "trouble" if outside is None else "changed_outside"
            work.tell({"kind": kind, "work": work.name, "message": words, "remedy": remedy})

        def done(when: str) -> None:
            work.tell({"kind": "saved", "work": work.name, "saved": when})

        saver = Saver(place, told, done)
        work = Work(place.work, text, drawer, saver, pending or {}, history or History(), self.to_bench)
        self.open_works[work.name] = work
        return work

    async def _put_away(self, work: Work, *, though_shown: bool = False) -> None:
        await work.at_rest()
        if work.pages and not though_shown:
            return
        self.maker.stop(work.name)
        self.open_works.pop(work.name, None)
        await work.saver.flush()
        work.drawer.close()
        work.saver.close()

    def _bench_said(self, said: Said) -> None:
        if said[0] == "drawn":
            asyncio.get_running_loop().create_task(self._drawn(*said[1:]))
            return
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
            work.tell(IDLE)
        elif kind == "picture":
            _, _, text, picture = said
            self._pictured[name] = text
            self._later(work, lambda: work.saver.place.write_picture(picture))

    def _bench_crashed(self, job: Job) -> None:
        work = self.open_works.get(job.work)
        if work is not None:
            work.tell(IDLE)
            work.tell(
                trouble(
                    "The bench, which works out findings and sheets, ended unexpectedly.",
                    "It was started again, and your work is untouched. Change something, and it begins anew.",
                )
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
