"""The one place where errors become words and exit codes. No traceback reaches a maker."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from enum import IntEnum
from typing import ParamSpec

import typer

from laminature.cli.console import err
from laminature.errors import Cancelled, ChoiceError, DesignError, LaminatureError, StoreError

P = ParamSpec("P")


class ExitCode(IntEnum):
    """What the command ends with."""

    DONE = 0
    CANNOT_BUILD = 1
    CANNOT_READ = 2
    OUR_FAULT = 3
    STOPPED = 130
    NOBODY_READS = 141


def guarded(command: Callable[P, None]) -> Callable[P, None]:
    """Run a command so that whatever goes wrong ends in a message and an exit code."""

    @functools.wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        try:
            command(*args, **kwargs)
            sys.stdout.flush()
        except typer.Exit:
            raise
        except (KeyboardInterrupt, Exception) as error:
            raise typer.Exit(tell(error)) from None

    return run


def tell(error: BaseException) -> ExitCode:
    """Say what went wrong on the error console, and give the exit code for it."""
    if os.environ.get("LAMINATURE_DEBUG"):
        import traceback

        traceback.print_exception(error)
    if isinstance(error, BrokenPipeError):
        # The reader of our output has left (``| head``); keep the interpreter from complaining at its end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return ExitCode.NOBODY_READS
    if isinstance(error, (KeyboardInterrupt, Cancelled)):
        say("Stopped. What was not finished was not written.")
        return ExitCode.STOPPED
    if isinstance(error, (ChoiceError, DesignError, StoreError)):
        say(str(error))
        return ExitCode.CANNOT_READ
    if isinstance(error, LaminatureError):
        say(str(error))
        return ExitCode.CANNOT_BUILD
    if isinstance(error, MemoryError):
        say("The memory of this computer does not suffice for this design.")
        return ExitCode.CANNOT_BUILD
    if isinstance(error, OSError):
        from laminature.store.files import plain

        at = f"{error.filename}: " if error.filename else ""
        say(f"The system refused: {at}{plain(error)}.")
        return ExitCode.CANNOT_READ
    say(
        f"Laminature has made a mistake of its own ({type(error).__name__}: {error}). "
        "What was not finished was not written. Please report it with your design file; "
        "with LAMINATURE_DEBUG=1 in the environment the same command tells more."
    )
    return ExitCode.OUR_FAULT


def say(text: str) -> None:
    """Print a message on the error console, unwrapped, so that it can be searched and copied."""
    err().print(text, soft_wrap=True)
