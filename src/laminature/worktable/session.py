"""One page's connection: who it is, what it asks, and what it gets, in order."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping
from contextlib import suppress
from typing import Any

import numpy as np
from starlette.websockets import WebSocket, WebSocketDisconnect

from laminature import front
from laminature.errors import LaminatureError
from laminature.store.manifest import installed_versions
from laminature.store.pictures import lacking
from laminature.worktable import protocol, safety
from laminature.worktable.commands import GoTo, LetGo, SetValues, Show
from laminature.worktable.drawer import Drawn
from laminature.worktable.maker import slug_of
from laminature.worktable.protocol import Blob
from laminature.worktable.table import Table
from laminature.worktable.work import Work, trouble, without_pictures

#: So long a page may take to say who it is, s.
HELLO_SECONDS = 10.0
#: A page that leaves so many bytes unread is not there any more.
MOST_UNREAD = 256 << 20
#: Meshes that so many scenes in a row have not used may be dropped by the page.
UNUSED_SCENES = 40
#: The close code for a page that does not read (RFC 6455, 7.4.1: try again later).
TRY_LATER = 1013


class Session:
    """One websocket."""

    def __init__(self, socket: WebSocket, table: Table, token: str) -> None:
        self.socket = socket
        self.table = table
        self.token = token
        self.work: Work | None = None
        self._have: dict[str, int] = {}
        self._parts: dict[str, Any] = {}
        self._scenes = 0
        self._out: asyncio.Queue[bytes] = asyncio.Queue()
        self._unread = 0
        self._overfull = asyncio.Event()

    async def run(self) -> None:
        """Talk until either side ends it."""
        await self.socket.accept()
        if not await self._greeted():
            await self.socket.close(safety.POLICY)
            return
        self.send(self._welcome())
        self.table.bench.start()
        doing = [asyncio.create_task(w) for w in (self._send_all(), self._talk(), self._overfull.wait())]
        try:
            await asyncio.wait(doing, return_when=asyncio.FIRST_COMPLETED)
        finally:
            self.table.leave(self)
            for task in doing:
                task.cancel()
        if self._overfull.is_set():
            # The page comes back by itself if it is still there.
            with suppress(RuntimeError):
                await self.socket.close(TRY_LATER)

    async def _talk(self) -> None:
        with suppress(WebSocketDisconnect, RuntimeError):
            while True:
                await self._hear(await self._receive())

    # What the page gets

    def send(
        self, header: Mapping[str, Any], blobs: Mapping[str, Blob] | None = None, mark: int | None = None
    ) -> None:
        """Send a message; ``mark`` is the id of the one that it answers."""
        self.forward(protocol.pack(header if mark is None else {**header, "id": mark}, blobs))

    def forward(self, message: bytes) -> None:
        """Send a message that is packed already."""
        self._unread += len(message)
        self._out.put_nowait(message)
        if self._unread > MOST_UNREAD:
            self._overfull.set()

    def show(self, work: Work, drawn: Drawn, seq: int, mark: int | None) -> None:
        """Send a scene, with the meshes that this page lacks."""
        self._scenes += 1
        blobs: dict[str, Blob] = {}
        for digest in drawn.meshes:
            if digest not in self._have:
                blobs.update(work.drawer.meshes.blobs(digest))
            self._have[digest] = self._scenes
        gone = [digest for digest, scene in self._have.items() if scene < self._scenes - UNUSED_SCENES]
        for digest in gone:
            del self._have[digest]
        parts = {part["name"]: part for part in drawn.header["parts"]}
        header = {
            "kind": "scene",
            "seq": seq,
            "revision": work.revision,
            "milliseconds": round(drawn.milliseconds, 2),
            "gone": gone,
            **drawn.header,
            # Of hundreds of parts most are as they were: to say so takes a tenth of the bytes.
            "parts": [name if self._parts.get(name) == part else part for name, part in parts.items()],
        }
        self._parts = parts
        self.send(header, blobs, mark)

    async def _send_all(self) -> None:
        while True:
            message = await self._out.get()
            try:
                await self.socket.send_bytes(message)
            except (WebSocketDisconnect, RuntimeError, OSError):
                return
            self._unread -= len(message)

    # What the page says

    async def _receive(self) -> str | bytes:
        message = await self.socket.receive()
        if message["type"] == "websocket.disconnect":
            raise WebSocketDisconnect(message.get("code", 1006))
        text = message.get("text")
        return text if text is not None else message.get("bytes") or b""

    async def _greeted(self) -> bool:
        """Whether the first message came in time and brought the token."""
        try:
            said = await asyncio.wait_for(self._receive(), HELLO_SECONDS)
            hello = protocol.read_message(said)
        except (TimeoutError, ValueError, WebSocketDisconnect, RuntimeError):
            return False
        return isinstance(hello, protocol.Hello) and safety.same(hello.token, self.token)

    def _welcome(self) -> dict[str, Any]:
        boards = [{"name": b.name, "title": b.title, "caliper": b.caliper} for b in front.boards().values()]
        return {
            "kind": "welcome",
            "version": installed_versions()["laminature"],
            "forms": [{"name": f.name, "title": f.title} for f in front.forms()],
            "boards": boards,
            "fits": list(front.fits()),
            "cutters": ["knife", "laser"],
        }

    async def _hear(self, said: str | bytes) -> None:
        try:
            message = protocol.read_message(said)
        except ValueError:
            self.send(
                trouble("The page has sent something that the program does not understand.", "Load it anew."),
                mark=_mark_of(said),
            )
            return
        try:
            await self._dispatch(message)
        except Exception as error:
            # Whatever it is, the page hears of it in words and the connection stays.
            self.send(trouble(error), mark=message.id)

    async def _dispatch(self, message: protocol.FromPage) -> None:
        doing: Mapping[type, Callable[[Any], Awaitable[None]]] = {
            protocol.Start: self._start,
            protocol.Begin: self._begin,
            protocol.Example: self._example,
            protocol.Drop: self._drop,
            protocol.Open: self._open,
            protocol.Forget: self._forget,
            protocol.Have: self._note_meshes,
            protocol.Set: self._set,
            protocol.Undo: self._undo,
            protocol.Redo: self._redo,
            protocol.LetGo: self._let_go,
            protocol.Want: self._want,
            protocol.AskText: self._text,
            protocol.Rewrite: self._rewrite,
            protocol.Copies: self._copies,
            protocol.Back: self._back,
            protocol.Hello: self._again,
            protocol.Resolve: self._resolve,
            protocol.Improve: self._improve,
            protocol.UseSheets: self._use_sheets,
            protocol.AskOffcuts: self._offcuts,
            protocol.UseOffcuts: self._use_offcuts,
            protocol.Make: self._make,
            protocol.StopMaking: self._stop_making,
            protocol.GuidePage: self._guide_page,
            protocol.Download: self._download,
        }
        await doing[type(message)](message)

    async def _again(self, message: protocol.Hello) -> None:
        self.send(self._welcome(), mark=message.id)

    async def _start(self, message: protocol.Start) -> None:
        if self.work is not None:
            # What lay on this page is put away: the page keeps nothing of it, and others may bin it.
            self.table.leave(self)
            self.work, self._have, self._parts = None, {}, {}
        self.table.looking.add(self)
        self.send(await self.table.start_page(), mark=message.id)

    async def _begin(self, message: protocol.Begin) -> None:
        form = front.form(message.form)
        self.take(await self.table.begin(front.starter(form.name).encode(), form.title), message.id)

    async def _example(self, message: protocol.Example) -> None:
        example = front.example(message.name)
        self.take(await self.table.begin(example.text, example.title), message.id)

    async def _drop(self, message: protocol.Drop) -> None:
        text = message.text.encode("utf-8", "replace")
        front.check_text(text, message.name)
        stem = message.name.rsplit(".", 1)[0]
        work = await self.table.begin(text, stem)
        self.take(work, message.id)
        asyncio.get_running_loop().create_task(self._tell_of_pictures(work))

    async def _tell_of_pictures(self, work: Work) -> None:
        """A browser hands over a file's text alone: tell what the design names besides, once it is drawn."""
        await work.at_rest()
        behind = await asyncio.to_thread(lacking, work.photos, work.drawer.folder)
        if behind:
            self.send(without_pictures(behind))

    async def _open(self, message: protocol.Open) -> None:
        self.take(await self.table.open(message.work), message.id)

    async def _forget(self, message: protocol.Forget) -> None:
        await self.table.forget(message.work)
        self.send(await self.table.start_page(), mark=message.id)

    async def _note_meshes(self, message: protocol.Have) -> None:
        self._have = dict.fromkeys(message.meshes, self._scenes)

    def take(self, work: Work, mark: int | None) -> None:
        """Show a work on this page from now on."""
        if self.work is not None:
            # The page begins anew with what it keeps.
            self._have, self._parts = {}, {}
        if self.work is not work:
            self.table.leave(self)
        self.table.looking.discard(self)
        self.work = work
        if self not in work.pages:
            work.pages.append(self)
        file = work.saver.place.file
        self.send({"kind": "opened", "work": work.name, "file": file.name if file else ""}, mark=mark)
        work.ask(Show(self))

    def _here(self) -> Work:
        if self.work is None:
            raise LaminatureError("No work is open on this page. Open one first.")
        return self.work

    async def _set(self, message: protocol.Set) -> None:
        changes = {tuple(c.path): protocol.value_of(c) for c in message.changes}
        self._here().ask(
            SetValues(self, message.seq, message.id, changes, message.label or "change", message.settle)
        )

    async def _undo(self, message: protocol.Undo) -> None:
        work = self._here()
        work.ask(GoTo(self, 0, message.id, lambda: work.history.undo(work.text)))

    async def _redo(self, message: protocol.Redo) -> None:
        work = self._here()
        work.ask(GoTo(self, 0, message.id, lambda: work.history.redo(work.text)))

    async def _let_go(self, message: protocol.LetGo) -> None:
        self._here().ask(LetGo(self, 0, message.id, tuple(message.path)))

    async def _rewrite(self, message: protocol.Rewrite) -> None:
        text = message.text.encode("utf-8", "replace")
        self._here().ask(
            GoTo(self, message.seq, message.id, lambda: text, "rewriting the design file", must_draw=True)
        )

    async def _text(self, message: protocol.AskText) -> None:
        work = self._here()
        await work.at_rest()
        self.send({"kind": "text", "text": work.text.decode("utf-8", "replace")}, mark=message.id)

    async def _copies(self, message: protocol.Copies) -> None:
        saver = self._here().saver
        found = await saver.in_thread(saver.place.copies)
        self.send(
            {"kind": "copies", "copies": [{"copy": c.copy, "when": c.when} for c in found]}, mark=message.id
        )

    async def _back(self, message: protocol.Back) -> None:
        work = self._here()
        saver = work.saver
        text = await saver.in_thread(lambda: saver.place.copy(message.copy_))
        work.ask(GoTo(self, 0, message.id, lambda: text, "going back to an older copy"))

    async def _want(self, message: protocol.Want) -> None:
        work = self._here()
        self.table.want(self, work, message.what)

    async def _resolve(self, message: protocol.Resolve) -> None:
        await self.table.resolve(self._here(), message.take, self, message.id)

    async def _improve(self, message: protocol.Improve) -> None:
        work = self._here()
        await work.at_rest()
        await self.table.improve(work, message.seconds)

    async def _use_sheets(self, _: protocol.UseSheets) -> None:
        self.table.use_sheets(self._here())

    async def _offcuts(self, message: protocol.AskOffcuts) -> None:
        work = self._here()
        await self.table.look_at_offcuts(work)
        self.send(work.offcuts_told(), mark=message.id)

    async def _use_offcuts(self, message: protocol.UseOffcuts) -> None:
        work = self._here()
        await self.table.look_at_offcuts(work, message.names)
        self.send(work.offcuts_told(), mark=message.id)

    async def _make(self, message: protocol.Make) -> None:
        work = self._here()
        await work.at_rest()
        await self.table.make(work, message.files)

    async def _stop_making(self, _: protocol.StopMaking) -> None:
        self.table.stop_making(self._here())

    async def _guide_page(self, message: protocol.GuidePage) -> None:
        pages = self._here().made_kit().pages
        if message.page > len(pages):
            raise LaminatureError(f"The guide has {len(pages)} pages.")
        data = np.frombuffer(pages[message.page - 1], np.uint8)
        self.send({"kind": "guide_page", "page": message.page}, {"data": data}, message.id)

    async def _download(self, message: protocol.Download) -> None:
        work = self._here()
        slug = slug_of(work.title)
        if message.what == "design":
            await work.at_rest()
            name, data = f"{slug}.toml", work.text
        elif message.what == "zip":
            name, data = f"{slug}.zip", work.made_kit().zip
        else:
            name, data = f"{slug}-guide.pdf", work.made_kit().guide
            if not data:
                raise LaminatureError("The kit was made without its guide. Choose it and make the kit again.")
        self.send({"kind": "file", "name": name}, {"data": np.frombuffer(data, np.uint8)}, message.id)


def _mark_of(said: str | bytes) -> int | None:
    """The id of a message that is not understood otherwise."""
    import json

    try:
        found = json.loads(said)
    except (ValueError, RecursionError):
        return None
    mark = found.get("id") if isinstance(found, dict) else None
    return mark if isinstance(mark, int) and not isinstance(mark, bool) and 0 <= mark < 2**53 else None
