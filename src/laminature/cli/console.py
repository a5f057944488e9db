"""Where text goes: consoles of any encoding, with or without a terminal behind them."""

from __future__ import annotations

import codecs
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console

#: What to write for a sign that a console's encoding lacks.
_PLAIN = {
    "×": "x", "−": "-", "–": "-", "—": "-", "‑": "-", "°": " deg", "…": "...", "→": "->", "·": ".",
    "≥": ">=", "≤": "<=", "≈": "~", "±": "+-", "²": "2", "³": "3", "½": "1/2", "¼": "1/4", "¾": "3/4",
    "‘": "'", "’": "'", "“": '"', "”": '"', "″": '"', "′": "'", "•": "*", "\N{NO-BREAK SPACE}": " ",
    "█": "#", "▀": '"', "▄": "_",
}  # fmt: skip


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    missing = error.object[error.start : error.end]
    return "".join(_PLAIN.get(sign, "?") for sign in missing), error.end


def prepare_streams() -> None:
    """Let no sign that a console cannot show stop the program: write a plain one instead."""
    codecs.register_error("laminature-plain", _plain)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="laminature-plain")


def out() -> Console:
    """The console for results."""
    return _console(stderr=False)


def err() -> Console:
    """The console for progress and errors, beside the results."""
    return _console(stderr=True)


def _console(*, stderr: bool) -> Console:
    from rich.console import Console

    class Plain(Console):
        """A console that prints names as they are, and leaves a reader's leaving to the guard."""

        def on_broken_pipe(self) -> None:
            raise BrokenPipeError

    return Plain(stderr=stderr, highlight=False, markup=False, emoji=False)


def as_typed(*words: object) -> str:
    """A command of ours as it is typed into this system's terminal, names with spaces and all."""
    import os
    import shlex
    import subprocess

    command = ["laminature", *map(str, words)]
    return subprocess.list2cmdline(command) if os.name == "nt" else shlex.join(command)
