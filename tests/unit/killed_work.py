"""Saves a work and kills itself before the n-th change to the disk (run by test_store_works.py).

Usage: killed_work.py FOLDER N. With N = 0 it lives and prints how many changes there were.
"""

import os
import pathlib
import signal
import sys
from datetime import UTC, datetime

from laminature.store.steps import Steps
from laminature.store.works import SavedWork

CHANGES = {"os.mkdir", "os.rename", "os.link", "os.remove", "os.rmdir", "open"}


def main(folder, last):
    seen = 0

    def count(event, args):
        nonlocal seen
        if event in CHANGES and (event != "open" or args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)):
            seen += 1
            if seen == last:
                os.kill(os.getpid(), signal.SIGKILL)

    work = SavedWork(pathlib.Path(folder))
    work.read()
    sys.addaudithook(count)
    pending = [{"path": ["a"], "value": "y"}]
    steps = Steps(b"a = 2\n", (("first", b"a = 0\n"), ("then", b"a = 1\n")))
    when = datetime(2031, 5, 4, 12, 35, tzinfo=UTC)
    work.save(b"a = 2\n", "New", pending, when, offcuts=["K2"], steps=steps)
    print(seen)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
