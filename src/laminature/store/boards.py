"""The user's own boards: a file ``boards.toml`` in the configuration folder."""

from __future__ import annotations

import os
import pathlib

from laminature.store.files import read_bounded

_CAP = 1 << 20


def config_folder() -> pathlib.Path:
    """Where the user's settings lie: the system's usual place, or what LAMINATURE_CONFIG names."""
    named = os.environ.get("LAMINATURE_CONFIG")
    if named:
        return pathlib.Path(named)
    import platformdirs

    return platformdirs.user_config_path("laminature", appauthor=False)


def boards_file() -> pathlib.Path:
    """Where the user's own boards are written down, whether or not there are any."""
    return config_folder() / "boards.toml"


def own_boards() -> bytes | None:
    """The user's own boards as written, or None where there are none. Raises StoreError."""
    path = boards_file()
    return read_bounded(path, _CAP) if path.exists() else None
