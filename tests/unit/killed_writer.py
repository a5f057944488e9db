"""Writes a kit and kills itself before the n-th change to the disk (run by test_store_kill.py).

Usage: killed_writer.py FOLDER VERSION N. With N = 0 it lives and prints how many changes there were.
Python's audit events come before each call that opens, makes, renames, links or removes
something, so every state that a kill can leave behind is reached without touching the code.
"""

import os
import pathlib
import signal
import sys

from laminature.store.kit import write_kit

CHANGES = {
    "os.mkdir",
    "os.rename",
    "os.link",
    "os.remove",
    "os.rmdir",
    "os.symlink",
    "os.chmod",
    "os.utime",
    "open",
}


def kit_files(version):
    files = {
        "README.txt": f"kit {version}".encode(),
        "sheets/sheet-1.svg": b"<svg>" + version.encode() + b"</svg>",
    }
    if version == "old":
        files["sheets/sheet-2.svg"] = b"only in the old kit"
    else:
        files["parts.csv"] = b"only in the new kit"
    return files


def main(folder, version, last):
    seen = 0

    def count(event, args):
        nonlocal seen
        if event in CHANGES and (event != "open" or args[2] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT)):
            seen += 1
            if seen == last:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(count)
    write_kit(pathlib.Path(folder), kit_files(version))
    print(seen)


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
