"""Squeezing a full sheet's shapes together, in a process of its own that can be ended at any moment."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

from laminature.geometry.flat import Flat, holds_point, wrapped
from laminature.geometry.pose import cos_sin
from laminature.sheets.settling import slid_left
from laminature.sheets.shapes import Place, Shape, same_turn, turned

#: The squeezer calculates in single precision: so much more spacing is asked for, mm.
MORE = 0.004
#: The strip is wider than the room by this, mm: items as wide as the room need it, or the squeezer gives up,
#: and rows that fit exactly are found much sooner. Sliding takes it out again.
EASE = 0.03
#: Outlines are given to the squeezer with fewer corners, this much around them, mm.
ROUGH = 0.004
#: So many of the latest answers are kept.
LATEST = 24
QUARTERS = (0.0, 90.0, 180.0, 270.0)


@dataclass(frozen=True)
class Bundle:
    """A shape with what lies in its openings: it is moved as one. ``turns`` are those it may take."""

    members: tuple[Place, ...]
    outline: Flat
    turns: tuple[float, ...]

    @property
    def area(self) -> float:
        """Area within the outline, mm²."""
        return float(self.outline.area)


def bundles_of(
    shapes: Sequence[Shape], places: Sequence[Place], ways: Mapping[int, Sequence[float]]
) -> list[Bundle]:
    """The shapes of one sheet, those in an opening together with their host; biggest first.

    ``ways`` holds for each shape the turns that it may take there.
    """
    lying = [(at, shapes[at.shape].lying(at)) for at in places]
    lying.sort(key=lambda pair: (-shapes[pair[0].shape].outer_area, pair[0].shape))
    hosts: list[tuple[list[Place], Flat]] = []
    for at, flat in lying:
        x, y = flat.exterior.coords[0]
        for members, host in hosts:
            if _in_opening(host, x, y):
                members.append(at)
                break
        else:
            hosts.append(([at], flat))
    return [
        Bundle(
            tuple(members),
            type(host)(host.exterior),
            tuple(d for d in QUARTERS if _may_turn(members, d, ways)),
        )
        for members, host in hosts
    ]


def _in_opening(host: Flat, x: float, y: float) -> bool:
    for ring in host.interiors:
        x0, y0, x1, y1 = ring.bounds
        if x0 < x < x1 and y0 < y < y1 and holds_point(type(host)(ring), x, y):
            return True
    return False


def _may_turn(members: Sequence[Place], by: float, ways: Mapping[int, Sequence[float]]) -> bool:
    return all(any(same_turn(at.turn + by, turn) for turn in ways[at.shape]) for at in members)


class Squeeze:
    """Bundles being squeezed into a room ``width`` mm wide, until they are ``height`` mm high or less.

    The search runs beside this process from the moment that this is made. :meth:`end` ends it.
    """

    def __init__(
        self,
        bundles: Sequence[Bundle],
        width: float,
        height: float,
        spacing: float,
        seconds: float,
        seed: int,
        workers: int = 1,
    ) -> None:
        self.bundles = tuple(bundles)
        self.width = width
        self._spacing = spacing
        # Spacing is kept from the strip's edges as well. Where there is none, outlines are grown instead:
        # the library is then faster.
        more = MORE if spacing > 0.0 else 0.0
        swell = 0.0 if spacing > 0.0 else MORE / 2.0
        self._edge = spacing + more + swell
        # Of the library's strip the height is given and the length is sought: turned by a quarter, the
        # pile grows upwards here too.
        job = {
            "height": width + 2.0 * self._edge + EASE,
            "length": height + 2.0 * self._edge,
            "spacing": spacing + more or None,
            # One item for each bundle: equal ones handed over as one with a count came out no better.
            "items": [
                (
                    list(wrapped(b.outline, ROUGH, swell).exterior.coords)[:-1],
                    [(t - 90.0) % 360.0 for t in b.turns],
                )
                for b in self.bundles
            ],
            "seconds": seconds,
            "seed": seed,
            "workers": workers,
        }
        self._answers: deque[bytes] = deque(maxlen=LATEST)
        self._ended = threading.Event()
        code = f"import sys; sys.path[:] = {sys.path!r}; from laminature.sheets.squeezer import main; main()"
        self._thread = threading.Thread(
            target=self._talk, args=(json.dumps(job).encode() + b"\n",), daemon=True
        )
        self._process: subprocess.Popen[bytes] | None = None
        # A squeezer that cannot begin has no answer.
        with suppress(OSError):
            self._process = subprocess.Popen(
                [sys.executable, "-c", code],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
            )
        self._thread.start()

    def _talk(self, job: bytes) -> None:
        process = self._process
        # Ended from outside, or a squeezer that could not begin: what was told so far stands.
        with suppress(OSError, ValueError):
            if process is not None and process.stdin is not None and process.stdout is not None:
                process.stdin.write(job)
                process.stdin.flush()
                for line in process.stdout:
                    self._answers.append(line)
        self._ended.set()

    @property
    def done(self) -> bool:
        """Whether no better answer will come."""
        return self._ended.is_set()

    def end(self) -> None:
        """End the search at once; nothing of it is left."""
        process = self._process
        if process is None:
            return
        process.kill()
        process.wait()
        self._thread.join(1.0)
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with suppress(OSError):
                    pipe.close()

    def proposals(self, sheet: int) -> Iterator[list[Place]]:
        """Where everything lies on sheet number ``sheet`` by the best answers so far, the best first.

        Proposals only: single precision and rough outlines ask for an exact check, which the one before
        may pass where the last one does not. There are none where the squeezer gave up.
        """
        for line in reversed(tuple(self._answers)):
            with suppress(ValueError):
                answer = json.loads(line)
                if sorted(p[0] for p in answer) == list(range(len(self.bundles))):
                    yield self._places(answer, sheet)

    def _places(self, answer: Sequence[tuple[int, float, float, float]], sheet: int) -> list[Place]:
        moves: list[tuple[Bundle, float, float, float]] = []
        for number, rotation, tx, ty in answer:
            by = min(QUARTERS, key=lambda q: abs((rotation + 90.0 - q + 180.0) % 360.0 - 180.0))
            moves.append((self.bundles[number], by, self.width + self._edge - ty, tx - self._edge))
        lying = [turned(bundle.outline, by, False, x, y) for bundle, by, x, y in moves]
        slides = slid_left(lying, self.width, self._spacing)
        made: list[Place] = []
        for (bundle, by, x, y), flat, dx in zip(moves, lying, slides, strict=True):
            made += _moved(bundle, by, (x + dx, y + max(0.0, -flat.bounds[1])), sheet)
        return made


def _moved(bundle: Bundle, by: float, shift: tuple[float, float], sheet: int) -> list[Place]:
    """The bundle's places after a turn about the origin and a shift."""
    cosine, sine = cos_sin(by)
    return [
        Place(
            at.shape,
            sheet,
            cosine * at.x - sine * at.y + shift[0],
            sine * at.x + cosine * at.y + shift[1],
            (at.turn + by) % 360.0,
        )
        for at in bundle.members
    ]
