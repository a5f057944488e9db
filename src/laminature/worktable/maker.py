"""The maker: processes for what takes long and may be ended at any time, better sheets and the kit.

Sheets are sought in rounds, and each better layout is handed over at once, so that ending the search
keeps the best so far.
"""

from __future__ import annotations

import pathlib
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from typing import Any

from laminature.model.sheet import Kept
from laminature.store.offcuts import Ledger
from laminature.worktable.process import Inbox, Said, Side

#: How long a round of seeking takes, s.
ROUND = 8.0
#: Progress is told no more often than this, s.
TELL = 0.1


@dataclass(frozen=True)
class Errand:
    """What is to be made of one text of a work, with the offcuts of a ledger."""

    work: str
    revision: int
    text: bytes
    name: str
    folder: str
    kept: Kept | None = None
    seconds: float = 0.0
    files: tuple[str, ...] | None = None
    ledger: Ledger = field(default_factory=Ledger)


@dataclass(frozen=True)
class Made:
    """A kit that was made: lines about it, the zip file, the guide and its pages as PNG."""

    revision: int
    report: tuple[str, ...]
    zip: bytes
    guide: bytes
    pages: tuple[bytes, ...]


class Maker:
    """The server's side: one process for each work that something is being made for."""

    def __init__(self, heard: Callable[[Errand, Said], None]) -> None:
        self._heard = heard
        self._sides: dict[str, tuple[Errand, Side]] = {}

    def under_way(self, work: str) -> Errand | None:
        """What is being made for a work."""
        held = self._sides.get(work)
        return None if held is None else held[0]

    def start(self, errand: Errand) -> None:
        """Begin an errand; what was under way for the same work ends."""
        self.stop(errand.work)

        def heard(said: Said) -> None:
            if said[0] == "end":
                self.stop(errand.work)
            self._heard(errand, said)

        def died() -> None:
            self._sides.pop(errand.work, None)
            self._heard(errand, ("crashed",))

        side = Side(maker, heard, died)
        self._sides[errand.work] = (errand, side)
        side.say("errand", errand)

    def stop(self, work: str) -> Errand | None:
        """End what is being made for a work, and give it back."""
        held = self._sides.pop(work, None)
        if held is None:
            return None
        held[1].end()
        return held[0]

    def close(self) -> None:
        """End everything."""
        held = list(self._sides.values())
        self._sides.clear()
        for _, side in held:
            side.end()
        for _, side in held:
            side.join()


def maker(pipe: Connection) -> None:
    """The process: does one errand, and waits to be ended."""
    inbox = Inbox(pipe)
    errand: Errand = inbox.next()[1]
    try:
        if errand.seconds > 0.0:
            _seek(errand, inbox)
        else:
            _make(errand, inbox)
    except Exception as error:
        from laminature.worktable.drawer import problems_of

        first = problems_of(error)[0]
        inbox.say("failed", first.message, first.remedy)
    inbox.say("end")
    inbox.next()


def _teller(inbox: Inbox, start: float = 0.0, part: float = 1.0) -> Callable[[float, str], None]:
    """Tells the server how far the work is; what is told is a ``part`` of the whole from ``start`` on."""
    told = [0.0]

    def progress(share: float, words: str) -> None:
        now = time.monotonic()
        if now - told[0] >= TELL:
            told[0] = now
            inbox.say("progress", start + part * share, words)

    return progress


def _seek(errand: Errand, inbox: Inbox) -> None:
    """Rounds of seeking, each from the best so far on and with other random choices."""
    from laminature import front
    from laminature.model.memory import Memory

    memory = Memory()
    design = front.read_text(errand.text, errand.name, pathlib.Path(errand.folder))
    plain = front.build(design, memory=memory, kept=errand.kept, ledger=errand.ledger)
    first = best = plain.board_used
    kept = plain.layout
    inbox.say("round", 0, best, first, len(plain.sheets), None)
    begin = time.monotonic()
    number = 0
    while (left := errand.seconds - (time.monotonic() - begin)) > 1.0:
        number += 1
        length = min(ROUND, left)
        told = _teller(inbox, 1.0 - left / errand.seconds, length / errand.seconds)
        build = front.build(
            design,
            told,
            memory=memory,
            kept=kept,
            ledger=errand.ledger,
            seconds=length,
            another=1000 * number,
        )
        better = build.board_used < best - 1e-6
        if better:
            best, kept = build.board_used, build.layout
        inbox.say("round", number, best, first, len(build.sheets), kept if better else None)


def _make(errand: Errand, inbox: Inbox) -> None:
    """The kit as a zip file, and its guide."""
    from laminature import front, pipeline
    from laminature.store.archive import zip_bytes
    from laminature.store.manifest import NAME, write

    design = front.read_text(errand.text, errand.name, pathlib.Path(errand.folder))
    build = front.build(design, _teller(inbox), ledger=errand.ledger, kept=errand.kept)
    files = build.files(errand.files)
    guide = files.get("guide.pdf", b"")
    inbox.say("progress", 0.96, "drawing the guide's pages")
    pages = pipeline.guide_pictures(build) if guide else ()
    inbox.say("progress", 0.99, "packing")
    whole = {**files, NAME: write(files, build.about)}
    packed = zip_bytes(slug_of(design.title or errand.name), whole)
    inbox.say("made", Made(errand.revision, tuple(_report(build, whole)), packed, guide, pages))


def _report(build: Any, files: dict[str, bytes]) -> Sequence[str]:
    """Lines about a kit that was made."""
    pieces = sum(len(sheet.placements) for sheet in build.sheets)
    lines = [f"{len(files)} files, {sum(map(len, files.values())) / 1e6:.1f} MB unpacked."]
    for sheet in build.sheets:
        of = f"your offcut {sheet.offcut}" if sheet.offcut else build.boards[sheet.board].title
        lines.append(f"{sheet.name}: {of}, {len(sheet.placements)} pieces to cut.")
    others = pieces - sum(len(layer.cut) for layer in build.cut_layers if layer.role == "layer")
    lines.append(
        f"{pieces - others} pieces of board make the layers of {len(build.piece.parts)} parts"
        + (f", and {others} are for the cushion, for spares or to help." if others else ".")
    )
    if build.remainders:
        count = len(build.remainders)
        lines.append(
            f"{'One offcut is' if count == 1 else f'{count} offcuts are'} worth keeping; "
            "the command “laminature cut” enters what a kit that was cut has left."
        )
    return lines


def slug_of(title: str) -> str:
    """A title as the name of a file."""
    kept = "".join(c if c.isascii() and c.isalnum() else "-" for c in title.lower())
    return "-".join(filter(None, kept.split("-")))[:60] or "design"
