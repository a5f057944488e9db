"""Changes a ledger and kills itself before the n-th change to the disk (run by test_ledger_kill.py).

Usage: killed_ledger.py FILE N. With N = 0 it lives and prints how many changes there were.
"""

import os
import pathlib
import signal
import sys

from killed_writer import CHANGES

from laminature.geometry.flat import rectangle
from laminature.model.offcut import Offcut
from laminature.store.offcuts import change_ledger


def change(before):
    """K1 is used up, two new offcuts come in."""
    piece = Offcut("", "card-10", rectangle(0.0, 0.0, 50.0, 40.0))
    return (before.removed(["K1"]) if before.named("K1") else before).added([piece, piece])


def main(file, last):
    seen = 0

    def count(event, args):
        nonlocal seen
        if event in CHANGES and (event != "open" or args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)):
            seen += 1
            if seen == last:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    change_ledger(change, pathlib.Path(file))
    print(seen)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
