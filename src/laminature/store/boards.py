"""The user's own data in the configuration folder: ``boards.toml``, ``rates.toml``, ``prices.toml``."""

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


def rates_file() -> pathlib.Path:
    """Where the user's own rates of work and use are written down, whether or not there are any."""
    return config_folder() / "rates.toml"


def prices_file() -> pathlib.Path:
    """Where the user's prices are written down, whether or not there are any."""
    return config_folder() / "prices.toml"


def own(path: pathlib.Path) -> bytes | None:
    """One of these files as written, or None where there is none. Raises StoreError."""
    return read_bounded(path, _CAP) if path.exists() else None
