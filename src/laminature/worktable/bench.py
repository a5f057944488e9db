"""The bench: a process that finds out all that takes longer than a frame, and sends results one by one.

A newer text of the same work ends what is under way between two stages. Nothing that happens here,
not even the process's end, touches the work itself.
"""

from __future__ import annotations

import pathlib
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from multiprocessing.connection import Connection
from typing import Any

from laminature.errors import Cancelled, LaminatureError
from laminature.model.design import Design
from laminature.model.sheet import Kept
from laminature.store.offcuts import Ledger
from laminature.worktable.process import Inbox, Said, Side

#: Progress is told no more often than this, s.
TELL = 0.1
#: So many works keep what was found for them.
MOST_WORKS = 4
#: Findings are told at once, and anew when their mends have been tried.
_TOLD_AS = {"mends": "findings"}


@dataclass(frozen=True)
class Job:
    """What is to be found out: ``kinds`` in this order, for one text of a work.

    ``ledger`` holds the offcuts that its sheets are laid out with.
    """

    work: str
    revision: int
    text: bytes
    name: str
    folder: str
    kinds: tuple[str, ...]
    kept: Kept | None = None
    picture: bool = False
    ledger: Ledger = field(default_factory=Ledger)

    def same_as(self, other: Job) -> bool:
        """Whether both are about the same text and the same offcuts."""
        return self.text == other.text and self.ledger == other.ledger


class Bench:
    """The server's side of the bench. It is started when first asked for something."""

    def __init__(self, heard: Callable[[Said], None], crashed: Callable[[Job], None]) -> None:
        self._heard = heard
        self._crashed = crashed
        self._side: Side | None = None
        self._under_way: Job | None = None
        self._asked: Job | None = None
        self._spoke = False

    def start(self) -> None:
        """Start the process, so that the first job need not wait for it."""
        if self._side is None:
            self._spoke = False
            self._side = Side(bench, self._hear, self._died)

    def ask(self, job: Job) -> None:
        """Have something found out; what waits for the same work is dropped."""
        self.start()
        self._asked = job
        if self._side is not None:
            self._side.say("job", job)

    def drop(self, work: str) -> None:
        """Leave off what is under way or waits for a work: nobody looks at it any more."""
        if self._side is not None:
            self._side.say("drop", work)

    def ask_pictures(self, texts: Mapping[str, bytes]) -> None:
        """Have designs drawn for the start page, by any name, whenever there is nothing else to do."""
        self.start()
        if self._side is not None:
            self._side.say("pictures", dict(texts))

    def close(self) -> None:
        """End the process."""
        if self._side is not None:
            self._side.end()
            self._side.join()
            self._side = None

    @property
    def process_id(self) -> int | None:
        """The number of the process, None where none runs."""
        return None if self._side is None else self._side.process.pid

    def _hear(self, said: Said) -> None:
        self._spoke = True
        if said[0] == "begun":
            self._under_way = said[1]
            return
        if said[0] == "idle":
            self._under_way = None
        self._heard(said)

    def _died(self) -> None:
        self._side = None
        # A process that dies before it has said a word would only die again: it waits to be asked for.
        job = self._under_way if self._spoke else self._asked
        self._under_way = self._asked = None
        if self._spoke:
            self.start()
        if job is not None:
            self._crashed(job)


@dataclass
class _Known:
    """What the bench keeps of one work."""

    memory: Any
    text: bytes = b""
    kept: Kept | None = None
    ledger: Ledger | None = None
    build: Any = None
    hear: Callable[[float, str], None] = lambda _share, _words: None

    def progress(self, share: float, words: str) -> None:
        """Hand progress on to whoever has asked last: a build outlives the job that it was made for."""
        self.hear(share, words)


def bench(pipe: Connection) -> None:
    """The process: works off jobs until its server is gone."""
    inbox = Inbox(pipe)
    known: dict[str, _Known] = {}
    while True:
        said = inbox.next()
        if said[0] == "pictures":
            _draw_one(said[1], inbox)
            continue
        if said[0] == "drop":
            continue
        job: Job = said[1]
        if _newer(job, inbox):
            continue
        inbox.say("begun", job)
        _work_off(job, inbox, known)
        inbox.say("idle", job.work, job.revision)
        if job.picture and job.kinds and _dropped(job, inbox) and not _newer(job, inbox):
            # The start page will show it all the same.
            inbox.put_off(("job", replace(job, kinds=())))


def _draw_one(texts: dict[str, bytes], inbox: Inbox) -> None:
    """Draw one of the designs, and put the others off until all else is done that waits by now."""
    from laminature import front
    from laminature.worktable import answering

    name, text = next(iter(texts.items()))
    rest = {other: texts[other] for other in texts if other != name}
    picture = b""
    with suppress(LaminatureError):
        picture = answering.picture(front.build(front.read_text(text, name, pathlib.Path(), photos=False)))
    inbox.say("drawn", name, picture, len(rest))
    if rest:
        inbox.put_off(("pictures", rest))


def _newer(job: Job, inbox: Inbox) -> bool:
    """Whether a job for the same work waits."""
    return inbox.any(lambda said: said[0] == "job" and said[1].work == job.work)


def _dropped(job: Job, inbox: Inbox) -> bool:
    """Whether nobody looks at this work any more."""
    return inbox.any(lambda said: said[0] == "drop" and said[1] == job.work)


def _gives_way(job: Job, rest: tuple[str, ...], inbox: Inbox) -> bool:
    """Put the rest of a job off where another work waits: a large design keeps no other waiting for all."""
    if not rest or not inbox.any(lambda said: said[0] == "job" and said[1].work != job.work):
        return False
    if not (_newer(job, inbox) or _dropped(job, inbox)):
        inbox.put_off(("job", replace(job, kinds=rest)))
    return True


def _work_off(job: Job, inbox: Inbox, known: dict[str, _Known]) -> None:
    from laminature.worktable import answering
    from laminature.worktable.protocol import pack

    doing = [""]
    told = [0.0]

    def progress(share: float, words: str) -> None:
        if inbox.any(lambda said: said[0] == "job" and said[1].work == job.work and not said[1].same_as(job)):
            raise Cancelled("a newer text has come")
        if _dropped(job, inbox):
            raise Cancelled("nobody looks at it any more")
        now = time.monotonic()
        if now - told[0] >= TELL:
            told[0] = now
            inbox.say("busy", job.work, doing[0], share, words)

    try:
        mine = _build_of(job, known, progress)
    except Cancelled:
        return
    except Exception as error:
        for kind in job.kinds:
            _fail(inbox, job, kind, error)
        return
    for n, kind in enumerate(job.kinds):
        if n and _gives_way(job, job.kinds[n:], inbox):
            return
        doing[0] = kind
        try:
            progress(0.0, "")
            if kind == "mends":
                header, blobs = answering.mended(mine.build, lambda text: _read(job, text), progress)
            else:
                header, blobs = answering.result(kind, mine.build)
        except Cancelled:
            return
        except Exception as error:
            _fail(inbox, job, kind, error)
            continue
        whole = {"kind": _TOLD_AS.get(kind, kind), "work": job.work, "revision": job.revision, **header}
        inbox.say("result", job.work, job.revision, kind, pack(whole, blobs))
    if job.picture:
        try:
            inbox.say("picture", job.work, job.text, answering.picture(mine.build))
        except (Cancelled, LaminatureError):
            return


def _build_of(job: Job, known: dict[str, _Known], progress: Callable[[float, str], None]) -> _Known:
    from laminature import front
    from laminature.model.memory import Memory

    mine = known.pop(job.work, None) or _Known(Memory())
    known[job.work] = mine
    while len(known) > MOST_WORKS:
        known.pop(next(iter(known)))
    mine.hear = progress
    if mine.build is None or (mine.text, mine.kept, mine.ledger) != (job.text, job.kept, job.ledger):
        mine.build = front.build(
            _read(job, job.text), mine.progress, memory=mine.memory, kept=job.kept, ledger=job.ledger
        )
        mine.text, mine.kept, mine.ledger = job.text, job.kept, job.ledger
    return mine


def _read(job: Job, text: bytes) -> Design:
    from laminature import front

    return front.read_text(text, job.name, pathlib.Path(job.folder), photos=False)


def _fail(inbox: Inbox, job: Job, kind: str, error: Exception) -> None:
    """Say in place of a result why there is none."""
    from laminature.worktable.drawer import problems_of
    from laminature.worktable.protocol import pack

    first = problems_of(error)[0]
    header = {"kind": kind, "work": job.work, "revision": job.revision}
    if kind == "mends":
        return  # What was found stands without them.
    empty: dict[str, Any] = {"findings": []} if kind == "findings" else {}
    said = pack({**header, **empty, "problem": {"message": first.message, "remedy": first.remedy}})
    inbox.say("result", job.work, job.revision, kind, said)
