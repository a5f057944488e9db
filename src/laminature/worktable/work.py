"""One design that is being worked on, by one page or several at once.

All that changes it waits in one line and is drawn in turn; values of one gesture that nobody has looked at
yet give way to the latest. Every change reaches all pages that show the work, and the disk soon after.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Any

from laminature.errors import BuildError
from laminature.model.sheet import Kept
from laminature.worktable.commands import Command, GoTo, LetGo, Page, Pending, SetValues, Show, Soften
from laminature.worktable.drawer import Drawer, Drawn, Path, Problem, Refusal, problems_of, title_in
from laminature.worktable.history import History, Step
from laminature.worktable.maker import Made
from laminature.worktable.saver import Saver
from laminature.worktable.shelf import Shelf

#: What was typed and refused: no more entries than this are kept.
MOST_PENDING = 500
#: When nothing has changed for so long, the bench begins, s; later while a slider is held, whose next value
#: is not to wait for it.
QUIET, HELD = 0.12, 0.6
#: The path of the whole text, where it was written anew and cannot be used.
WHOLE: Path = ()


class Work:
    """A design with its history. All methods are called from the server's one loop."""

    def __init__(
        self,
        name: str,
        text: bytes,
        drawer: Drawer,
        saver: Saver,
        pending: Mapping[Path, Pending],
        history: History,
        settled: Callable[[Work], None],
    ) -> None:
        self.name = name
        self.text = text
        self.drawer = drawer
        self.saver = saver
        self.history = history
        self.pending = dict(pending)
        self.revision = 0
        self.drawn: Drawn | None = None
        self.problems: tuple[Problem, ...] = ()
        self.groups: Sequence[Any] = ()
        self.pages: list[Page] = []
        self.results: dict[str, bytes] = {}
        self.kept: Kept | None = None
        self.shelf = Shelf()
        self.looking = asyncio.Lock()
        self.made: Made | None = None
        self.improving: dict[str, Any] = {"kind": "improving"}
        self._settled = settled
        self._quiet: asyncio.TimerHandle | None = None
        self._before: tuple[str, bytes] | None = None
        self._line: deque[Command] = deque()
        self._task: asyncio.Task[None] | None = None
        self._first = True

    @property
    def title(self) -> str:
        """What the work is called."""
        found = self.drawn.design.title if self.drawn else title_in(self.text)
        return found or self.drawer.name

    @property
    def photos(self) -> tuple[str, ...]:
        """The pictures that the design names."""
        return () if self.drawn is None else self.drawn.photos

    def ask(self, command: Command) -> None:
        """Have something done after all that waits already."""
        last = self._line[-1] if self._line else None
        if isinstance(command, SetValues) and isinstance(last, SetValues) and last.takes_in(command):
            last.changes.update(command.changes)
            last.settle = last.settle or command.settle
            last.seq, last.mark = command.seq, command.mark
        else:
            self._line.append(command)
        if not self.busy:
            self._task = asyncio.get_running_loop().create_task(self._work_off())

    @property
    def busy(self) -> bool:
        """Whether something is being done."""
        return self._task is not None and not self._task.done()

    async def at_rest(self) -> None:
        """Wait until nothing is left to be done."""
        while self.busy and self._task is not None:
            await asyncio.wait([self._task])

    def tell(self, header: Mapping[str, Any]) -> None:
        """Send a message to all pages."""
        for page in list(self.pages):
            page.send(header)

    def leave(self, page: Page) -> None:
        """A page goes; a gesture that it left half done stays as it is."""
        if page in self.pages:
            self.pages.remove(page)
        if not self.pages:
            self._close_gesture()

    async def _work_off(self) -> None:
        if self._first:
            # Pages that have come in the meantime are shown it in their turn.
            self._first = False
            await self._draw_whole(self.text, shown=())
        while self._line:
            command = self._line.popleft()
            try:
                await self._do(command)
            except Exception as error:
                # A mistake of ours must not stop the line for all that comes after, nor leave a page waiting.
                if command.page is not None:
                    self._say_refused(command.page, command.seq, command.mark, problems_of(error))

    async def _do(self, command: Command) -> None:
        if isinstance(command, SetValues):
            await self._set(command)
        elif isinstance(command, GoTo):
            await self._go(command)
        elif isinstance(command, LetGo):
            await self._let_go(command)
        elif isinstance(command, Soften):
            await self._soften()
        elif isinstance(command, Show) and command.page is not None:
            await self._find_groups()
            self._show_all(command.page, command.mark)

    async def _set(self, command: SetValues) -> None:
        if self._before is not None and self._before[0] != command.label:
            self._close_gesture()
        waiting = {path: entry.value for path, entry in self.pending.items()}
        try:
            drawn, cleared = await self._in_thread(
                lambda: self.drawer.attempt(self.text, command.changes, waiting)
            )
        except Refusal as refusal:
            await self._refuse(command, refusal, command.changes)
            return
        if self._before is None:
            self._before = (command.label, self.text)
        was_pending = bool(self.pending)
        if cleared:
            # A whole text that cannot be used is not tried by the way: it stays until it is dealt with.
            self.pending = {path: p for path, p in self.pending.items() if path == WHOLE}
        for path in command.changes:
            self.pending.pop(path, None)
        self._accept(drawn, command, tuple(self.pages))
        if command.settle:
            self._close_gesture()
        if command.settle or was_pending:
            await self._settle()

    async def _go(self, command: GoTo) -> None:
        self._close_gesture()
        before = self.text
        text = command.text()
        if text is None:
            if command.page is not None and self.drawn is not None:
                command.page.show(self, self.drawn, 0, command.mark)
            return
        if command.must_draw:
            try:
                drawn = await self._in_thread(lambda: self.drawer.draw(text))
            except Refusal as refusal:
                written = text.decode("utf-8", "replace")
                await self._refuse(command, refusal, {WHOLE: written})
                return
            self.pending.pop(WHOLE, None)
            self._accept(drawn, command, tuple(self.pages))
        else:
            await self._draw_whole(text, command)
        if command.label is not None and text != before:
            self.history.changed(command.label, before)
            self.save()
        await self._settle()

    async def _let_go(self, command: LetGo) -> None:
        if self.pending.pop(command.path, None) is not None:
            self.save()
        await self._settle()

    async def _draw_whole(
        self, text: bytes, command: Command | None = None, shown: Sequence[Page] | None = None
    ) -> None:
        """Take a text as it is, even where nothing can be drawn from it, and show it to ``shown`` or all."""
        command = command or Command()
        pages = tuple(self.pages) if shown is None else shown
        try:
            drawn = await self._in_thread(lambda: self.drawer.draw(text))
        except Refusal as refusal:
            self.text = text
            self.revision += 1
            self.drawn = None
            self.problems = refusal.problems
            self.results.clear()
            for page in pages:
                mine = page is command.page
                self._say_refused(page, command.seq if mine else 0, command.mark if mine else None)
            self.save()
        else:
            self._accept(drawn, command, pages)

    def _accept(self, drawn: Drawn, command: Command, pages: Sequence[Page]) -> None:
        if drawn.text != self.text or self.drawn is None:
            self.revision += 1
            self.results.clear()
        self.text = drawn.text
        self.drawn = drawn
        self.problems = ()
        for page in pages:
            mine = page is command.page
            page.show(self, drawn, command.seq if mine else 0, command.mark if mine else None)
        self.save()
        self._wait_for_quiet(HELD if isinstance(command, SetValues) and not command.settle else QUIET)

    def _wait_for_quiet(self, seconds: float) -> None:
        """Once no newer value has come for a moment, what takes longer begins."""
        if self._quiet is not None:
            self._quiet.cancel()
        self._quiet = asyncio.get_running_loop().call_later(seconds, self._at_quiet)

    def _at_quiet(self) -> None:
        if self.drawn is not None and not self.drawn.soft:
            self.ask(Soften())
        self._settled(self)

    async def _soften(self) -> None:
        """Show the cushions of the text as it is, unless it is about to change."""
        drawn = self.drawn
        if drawn is None or self._line:
            return
        with suppress(Refusal):
            # What keeps a cushion from being made is told by the findings; the last one stays in sight.
            self.drawn = await self._in_thread(lambda: self.drawer.draw(drawn.text, soft=True))
            for page in self.pages:
                page.show(self, self.drawn, 0, None)

    async def _refuse(self, command: Command, refusal: Refusal, tried: Mapping[Path, Any]) -> None:
        """Keep what was typed beside the design, and say what is wrong with it."""
        for path, value in tried.items():
            told = next((p for p in refusal.problems if p.path[: len(path)] == path), refusal.problems[0])
            self.pending.pop(path, None)
            self.pending[path] = Pending(value, told.message, told.remedy)
        while len(self.pending) > MOST_PENDING:
            self.pending.pop(next(iter(self.pending)))
        if command.page is not None:
            self._say_refused(command.page, command.seq, command.mark, refusal.problems)
        self.save()
        if not (isinstance(command, SetValues) and not command.settle):
            self._close_gesture()
        await self._settle()

    def _say_refused(
        self, page: Page, seq: int, mark: int | None, problems: Sequence[Problem] | None = None
    ) -> None:
        found = self.problems if problems is None else problems
        page.send({"kind": "refused", "seq": seq, "problems": [p.told() for p in found]}, mark=mark)

    def _close_gesture(self) -> None:
        """Make one step of undo of all that a gesture changed."""
        if self._before is not None:
            label, before = self._before
            self._before = None
            if before != self.text:
                self.history.changed(label, before)
                self.save()

    async def _settle(self) -> None:
        """Tell all pages how things stand, unless more is about to change."""
        if self._line and isinstance(self._line[0], SetValues | GoTo):
            return
        await self._find_groups()
        state = self.state()
        for page in list(self.pages):
            page.send(state)

    async def _find_groups(self) -> None:
        drawn = self.drawn
        if drawn is None:
            self.groups = ()
            return
        with suppress(Refusal):
            self.groups = await self._in_thread(lambda: self.drawer.groups(drawn))

    def _show_all(self, page: Page, mark: int | None) -> None:
        page.send(self.state())
        if self.drawn is not None:
            page.show(self, self.drawn, 0, mark)
        else:
            self._say_refused(page, 0, mark)
        page.send(self.offcuts_told())
        for message in self.results.values():
            page.forward(message)
        if self.made is not None and self.made.revision == self.revision:
            page.send(self.made_told())

    def state(self) -> dict[str, Any]:
        """How things stand, as the page gets it."""
        return {
            "kind": "state",
            "work": self.name,
            "revision": self.revision,
            "title": self.title,
            "scale": None if self.drawn is None else float(self.drawn.design.scale),
            "groups": [self._with_problems(group) for group in self.groups],
            "undo": self.history.undo_label,
            "redo": self.history.redo_label,
            "saved": self.saver.saved,
            "pending": self.pending_told(),
            "problems": [] if self.drawn is not None else [p.told() for p in self.problems],
        }

    def made_kit(self) -> Made:
        """The kit that was made last. Raises BuildError where none was."""
        if self.made is None:
            raise BuildError("No kit has been made yet.")
        return self.made

    def made_told(self) -> dict[str, Any]:
        """The kit that was made, as the page hears of it."""
        made = self.made_kit()
        return {
            "kind": "made",
            "revision": made.revision,
            "report": list(made.report),
            "pages": len(made.pages),
            "zip": len(made.zip),
        }

    def offcuts_told(self) -> dict[str, Any]:
        """The maker's offcuts, as the page gets them."""
        parts = () if self.drawn is None else self.drawn.header["parts"]
        boards = {layer["board"] for part in parts for layer in part["layers"]}
        if self.drawn is not None:
            boards.add(self.drawn.design.board.name)
        return self.shelf.told(self.name, boards)

    def take_shelf(self, shelf: Shelf, kept: Kept | None) -> None:
        """Go on with other offcuts, and with the sheets that were found with them before."""
        same = shelf.ledger == self.shelf.ledger
        self.shelf = shelf
        if not self._first:
            self.save()
        self.tell(self.offcuts_told())
        if same:
            return
        self.kept = kept
        # What the bench found with the former offcuts is out of date wherever it is.
        self.revision += 1
        self.results.clear()
        self.tell(self.state())
        if self.drawn is not None:
            self._wait_for_quiet(QUIET)

    def pending_told(self) -> list[dict[str, Any]]:
        """What was typed and cannot be, as the page and the disk get it."""
        return [
            {"path": list(path), "value": p.value, "message": p.message, "remedy": p.remedy}
            for path, p in self.pending.items()
        ]

    def _with_problems(self, group: Mapping[str, Any]) -> dict[str, Any]:
        """The group, with what is wrong written beside the fields that it is about."""
        fields = []
        for entry in group["fields"]:
            mine = self.pending.get(tuple(entry["path"]))
            words = None if mine is None else f"{mine.message} {mine.remedy}".strip()
            fields.append({**entry, "problem": words} if words else entry)
        return {**group, "fields": fields}

    def save(self) -> None:
        """Have the state brought to the disk soon."""
        under_way = None
        if self._before is not None and self._before[1] != self.text:
            under_way = Step(*self._before)
        steps = self.history.kept(self.text, under_way)
        self.saver.soon(self.text, self.title, self.pending_told(), self.shelf.chosen, steps)

    async def _in_thread(self, work: Callable[[], Any]) -> Any:
        return await asyncio.get_running_loop().run_in_executor(self.drawer.pool, work)


def without_pictures(names: Sequence[str]) -> dict[str, Any]:
    """A message that a design has come without pictures that it names."""
    several = len(names) > 1
    return trouble(
        f"The {'pictures' if several else 'picture'} {', '.join(names)} did not come along with the design.",
        f"The guide needs {'them' if several else 'it'}: open the design's own file from its folder, where "
        f"the {'pictures lie' if several else 'picture lies'}, or take the line `photo` out of it.",
    )


def trouble(error: Exception | str, remedy: str = "") -> dict[str, Any]:
    """A message about what went wrong, in words."""
    if isinstance(error, str):
        return {"kind": "trouble", "message": error, "remedy": remedy}
    first = problems_of(error)[0]
    where = f"Line {first.line}: " if first.line else ""
    return {"kind": "trouble", "message": where + first.message, "remedy": remedy or first.remedy}
