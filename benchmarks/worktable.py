"""From a value sent to the new scene received, over a real websocket, for 20, 60 and 400 parts.

    python benchmarks/worktable.py [--rounds N]

A page without a browser changes the height of one panel again and again, one request under way at a time, as
a slider does, and waits for each scene. Printed are the median and the 95th percentile, what of it the server
spent on reading, joining and meshing (its own figure), and how the median grows with the number of parts;
then the time from starting the server to its first answer, and to the first scene of each example with the
bytes sent. The designs are those of ``read_to_layers.py``. Last, without a server: every number among the
fields of every example goes one and two steps up and down, and the table tells how long each change took to
be drawn, and which fields took longer than ``SLOW``. The benchmark fails where 60 parts take longer than
``LIMIT`` in the median.
"""

from __future__ import annotations

import argparse
import json
import os
import pathlib
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import pairwise
from typing import Any

from read_to_layers import crate
from websockets.sync.client import ClientConnection, connect

from laminature import front
from laminature.worktable.drawer import Drawer, Refusal
from laminature.worktable.protocol import unpack

SIZES = (20, 60, 400)
#: The most that 60 parts may take in the median, ms: what leaves the page time to draw within 100 ms.
LIMIT = 60.0
#: Fields that take longer to be drawn are listed one by one, ms.
SLOW = 80.0


@contextmanager
def served(works: str) -> Iterator[tuple[str, str, float]]:
    """A server of its own: its port, its token, and the seconds until it said its address."""
    environment = {**os.environ, "LAMINATURE_WORK": works}
    begin = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "laminature", "open", "--no-browser"],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        env=environment,
        text=True,
    )
    try:
        assert process.stdout is not None
        found = re.search(r":(\d+)/#token=([\w-]+)", process.stdout.readline())
        assert found is not None
        yield found[1], found[2], time.perf_counter() - begin
    finally:
        process.terminate()
        process.wait(10)


class Page:
    """A page that only measures."""

    def __init__(self, raw: ClientConnection) -> None:
        self.raw = raw

    def say(self, kind: str, **fields: object) -> None:
        self.raw.send(json.dumps({"kind": kind, **fields}))

    def hear(self, kind: str) -> tuple[dict[str, object], int]:
        while True:
            message = self.raw.recv(timeout=60)
            assert isinstance(message, bytes)
            header, _ = unpack(message)
            if header["kind"] in (kind, "trouble", "refused"):
                assert header["kind"] == kind, header
                return header, len(message)


@contextmanager
def page_on(port: str, token: str) -> Iterator[Page]:
    origin = f"http://127.0.0.1:{port}"
    with connect(
        f"ws://127.0.0.1:{port}/socket",
        origin=origin,
        max_size=None,
        compression=None,  # type: ignore[arg-type]
    ) as raw:
        page = Page(raw)
        page.say("hello", token=token)
        page.hear("welcome")
        yield page


def changes(page: Page, parts: int, rounds: int) -> float:
    """Measure one size, print it, and return the median in ms."""
    begin = time.perf_counter()
    page.say("drop", name="crates.toml", text=crate(parts).decode())
    _, length = page.hear("scene")
    print(
        f"{parts:4} parts: opened in {(time.perf_counter() - begin) * 1e3:.0f} ms, {length / 1e3:.0f} kB sent"
    )
    time.sleep(1.0)  # The bench begins with the first state; a slider is rarely moved in that moment.
    took, spent, sent = [], [], []
    for seq in range(1, rounds + 1):
        change = {"path": ["part", 0, "height"], "value": 480 + 2 * (seq % 40)}
        begin = time.perf_counter()
        page.say("set", seq=seq, changes=[change], label="height", settle=False)
        scene, length = page.hear("scene")
        took.append((time.perf_counter() - begin) * 1000.0)
        spent.append(float(str(scene["milliseconds"])))
        sent.append(length)
    took, spent = took[3:], spent[3:]
    median, slow = statistics.median(took), statistics.quantiles(took, n=20)[-1]
    print(
        f"{parts:4} parts: median {median:6.1f} ms, 95th {slow:6.1f} ms; "
        f"drawing {statistics.median(spent):6.1f} ms; {statistics.median(sent) / 1e3:.0f} kB sent"
    )
    return median


def numbers(groups: list[dict[str, Any]]) -> Iterator[tuple[tuple[str | int, ...], list[str | float]]]:
    """Every field that is a number: its path, and the values one and two steps away from its own."""
    for field in (field for group in groups for field in group["fields"]):
        if field["kind"] not in ("length", "count", "angle", "layers") or field["value"] is None:
            continue
        unit = field["unit"] if field["unit"] in ("in", "mm") else ""
        values: list[str | float] = []
        for steps in (1, -1, 2, -2):
            value = round(field["value"] + steps * (field["step"] or 1), 6)
            values.append(f"{value:g} {unit}" if unit else int(value) if value == int(value) else value)
        yield tuple(field["path"]), values


def fields_of(example: front.Example) -> list[float]:
    """Move all fields of an example, print how long that took, and return all times in ms."""
    drawer = Drawer(example.name, pathlib.Path())
    drawn = drawer.draw(example.text, soft=True)
    took: dict[str, list[float]] = {}
    for path, values in numbers(drawer.groups(drawn)):
        for value in values:
            begin = time.perf_counter()
            try:
                drawer.attempt(example.text, {path: value}, {})
            except Refusal:
                continue  # Beyond what can be: that is told at once.
            took.setdefault("/".join(map(str, path)), []).append((time.perf_counter() - begin) * 1000.0)
            drawer.draw(example.text)
    drawer.close()
    every = [ms for times in took.values() for ms in times]
    print(f"{example.name:14} {len(took):4} {len(every):8} {summary(every)}")
    for name, times in sorted(took.items(), key=lambda each: -max(each[1])):
        if max(times) > SLOW:
            print(f"    slow: {name:25} {summary(times)}")
    return every


def summary(times: list[float]) -> str:
    """Median, 95th percentile and worst, ms."""
    slow = statistics.quantiles(times, n=20)[-1] if len(times) > 1 else times[0]
    return f"{statistics.median(times):8.1f} {min(slow, max(times)):8.1f} {max(times):8.1f}"


def main() -> int:
    """Measure and print; the exit code is 1 where 60 parts take too long."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rounds", type=int, default=60)
    rounds = parser.parse_args().rounds
    medians = {}
    with tempfile.TemporaryDirectory() as works:
        with served(works) as (port, token, started):
            print(f"address printed after {started:.2f} s")
            for parts in SIZES:
                with page_on(port, token) as page:
                    medians[parts] = changes(page, parts, rounds)
            for small, large in pairwise(SIZES):
                ratio = medians[large] / medians[small]
                print(f"{large / small:.1f} times as many parts as {small}: {ratio:.1f} times as long")
            for example in front.examples():
                with page_on(port, token) as page:
                    begin = time.perf_counter()
                    page.say("example", name=example.name)
                    _, length = page.hear("scene")
                    spent = (time.perf_counter() - begin) * 1000.0
                    print(f"first scene of {example.name}: {spent:.0f} ms, {length / 1e3:.0f} kB sent")
        begin = time.perf_counter()
        with served(works) as (port, token, _), page_on(port, token) as page:
            page.say("start")
            page.hear("start")
            print(f"from the command to the start page: {time.perf_counter() - begin:.2f} s")
    print("example      fields  changes   median     95th    worst  (ms from values to what is drawn)")
    every = [ms for example in front.examples() for ms in fields_of(example)]
    print(f"{'all':14} {'':4} {len(every):8} {summary(every)}")
    if medians[60] > LIMIT:
        print(f"60 parts take longer than {LIMIT:g} ms")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
