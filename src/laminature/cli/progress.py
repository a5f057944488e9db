"""Progress of long work, on the error console and only where a terminal shows it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from laminature.cli.console import err

#: Called with the share that is done, 0 to 1, and what is being done.
Progress = Callable[[float, str], None]


@contextmanager
def shown(title: str) -> Iterator[Progress | None]:
    """A progress bar while the block runs; None where there is no terminal to show it on."""
    console = err()
    if not console.is_terminal:
        yield None
        return
    from rich.progress import BarColumn, TextColumn, TimeElapsedColumn
    from rich.progress import Progress as Bar

    columns = (TextColumn("{task.description}", markup=False), BarColumn(), TimeElapsedColumn())
    with Bar(*columns, console=console, transient=True) as bar:
        task = bar.add_task(title, total=1.0)

        def update(share: float, doing: str) -> None:
            bar.update(task, completed=share, description=doing or title)

        yield update
