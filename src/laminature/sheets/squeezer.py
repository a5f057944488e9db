"""The process in which a strip is squeezed: a job comes in by standard input, ever better answers go out.

The squeezing library (spyrrow, MIT; "sparrow", arXiv 2509.13329) cannot be cancelled and may end its
process on input that it does not like, so it never runs in the process of the maker. This module imports
nothing heavy. It ends with its last answer, and also when standard input is closed.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from contextlib import suppress
from datetime import timedelta
from typing import Any

#: How often the progress of a search is looked at, and how often at most it is told, s.
LOOK = 0.02
TELL = 0.15
#: The share of the time in which arrangements are sought; then the best is pressed. The library's own.
EXPLORING = 0.8


def main() -> None:
    """Read a job, squeeze, write arrangements as lines of JSON, each better than the one before, and end.

    A job is a line of JSON: ``height`` of the strip, ``spacing``, ``items`` (corners and turns in degrees),
    ``seconds``, ``seed``, ``workers`` and the ``length`` at which the search may stop.
    """
    job = json.loads(sys.stdin.readline())
    solver = threading.Thread(target=_solve, args=(job,), daemon=True)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    solver.start()
    solver.join()
    # The library's threads are left where they are.
    os._exit(0)


def _end_with_parent() -> None:
    sys.stdin.read()
    os._exit(1)


def _solve(job: dict[str, Any]) -> None:
    import spyrrow

    items = [
        spyrrow.Item(str(n), [tuple(p) for p in corners], demand=1, allowed_orientations=turns)
        for n, (corners, turns) in enumerate(job["items"])
    ]
    instance = spyrrow.StripPackingInstance("strip", strip_height=job["height"], items=items)
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=job["spacing"],
        num_workers=job["workers"],
        seed=job["seed"],
    )
    # The constructor takes whole seconds only: rounding has cost a search of nine seconds one of them.
    config.exploration_time = timedelta(seconds=EXPLORING * job["seconds"])
    config.compression_time = timedelta(seconds=(1.0 - EXPLORING) * job["seconds"])
    queue = spyrrow.ProgressQueue()
    ended = threading.Event()
    last: list[Any] = []

    def run() -> None:
        # A panic of the library derives from BaseException; then there is no last answer.
        with suppress(BaseException):
            last.append(instance.solve(config, queue))
        ended.set()

    threading.Thread(target=run, daemon=True).start()
    feasible = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas)
    best: Any = None
    told = 0.0
    until = time.monotonic() + job["seconds"]
    while True:
        over = ended.wait(LOOK)
        found = [s for kind, s in queue.drain() if kind in feasible] + last
        better = min(found, key=lambda s: s.width, default=None)
        if better is not None and (best is None or better.width < best.width):
            best = better
        over = over or time.monotonic() > until or (best is not None and best.width <= job["length"])
        if best is not None and (over or time.monotonic() > told + TELL):
            os.write(1, json.dumps(_answer(best)).encode() + b"\n")
            told = time.monotonic()
        if over:
            return


def _answer(solution: Any) -> list[tuple[int, float, float, float]]:
    return [(int(p.id), p.rotation, *p.translation) for p in solution.placed_items]
