"""The process in which a strip is squeezed: a job comes in by standard input, its answer goes out.

The squeezing library (spyrrow, MIT; "sparrow", arXiv 2509.13329) cannot be cancelled and may end its
process on input that it does not like, so it never runs in the process of the maker. This module imports
nothing heavy. It ends when its answer is written, and also when standard input is closed.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from typing import Any

#: How often the progress of a search is looked at, s.
LOOK = 0.02


def main() -> None:
    """Read a job, squeeze, write the best arrangement found, and end.

    A job is a line of JSON: ``height`` of the strip, ``spacing``, ``items`` (corners and turns in degrees),
    ``seconds``, ``seed``, and the ``length`` at which the search may stop.
    """
    job = json.loads(sys.stdin.readline())
    found: list[Any] = []
    solver = threading.Thread(target=_solve, args=(job, found), daemon=True)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    solver.start()
    solver.join()
    # The library's threads are left where they are.
    os.write(1, json.dumps(found[-1] if found else None).encode())
    os._exit(0)


def _end_with_parent() -> None:
    sys.stdin.read()
    os._exit(1)


def _solve(job: dict[str, Any], found: list[Any]) -> None:
    import spyrrow

    items = [
        spyrrow.Item(str(n), [tuple(p) for p in corners], demand=1, allowed_orientations=turns)
        for n, (corners, turns) in enumerate(job["items"])
    ]
    instance = spyrrow.StripPackingInstance("strip", strip_height=job["height"], items=items)
    seconds = max(1, round(job["seconds"]))
    config = spyrrow.StripPackingConfig(
        early_termination=False,
        min_items_separation=job["spacing"],
        total_computation_time=None,
        exploration_time=max(1, round(0.8 * seconds)),
        compression_time=max(1, round(0.2 * seconds)),
        num_workers=1,
        seed=job["seed"],
    )
    queue = spyrrow.ProgressQueue()
    ended = threading.Event()

    def run() -> None:
        try:
            last = instance.solve(config, queue)
        except BaseException:  # A panic of the library derives from BaseException.
            last = None
        if last is not None:
            found.append(_answer(last))
        ended.set()

    threading.Thread(target=run, daemon=True).start()
    feasible = (spyrrow.ReportType.ExplFeas, spyrrow.ReportType.CmprFeas)
    until = time.monotonic() + job["seconds"]
    while not ended.wait(LOOK):
        for kind, solution in queue.drain():
            if kind in feasible and (not found or solution.width < found[-1]["length"]):
                found.append(_answer(solution))
        if found and found[-1]["length"] <= job["length"]:
            return
        if time.monotonic() > until:
            return


def _answer(solution: Any) -> dict[str, Any]:
    places = [(int(p.id), p.rotation, *p.translation) for p in solution.placed_items]
    return {"length": solution.width, "places": places}
