"""The data files that come with the package, as bytes. Stages parse them; nothing else is read here."""

from __future__ import annotations

import pathlib
from importlib import resources


def boards() -> bytes:
    """The package's boards, ``boards.toml``."""
    return resources.files("laminature.data").joinpath("boards.toml").read_bytes()


def fits() -> bytes:
    """The package's fits, ``fits.toml``."""
    return resources.files("laminature.data").joinpath("fits.toml").read_bytes()


def rates() -> bytes:
    """The package's rates of work and use, ``rates.toml``."""
    return resources.files("laminature.data").joinpath("rates.toml").read_bytes()


def guide() -> bytes:
    """The look of the guide, ``guide.typ``."""
    return resources.files("laminature.data").joinpath("guide.typ").read_bytes()


def words() -> bytes:
    """The words that the guide adds by itself, ``words.toml``."""
    return resources.files("laminature.data").joinpath("words.toml").read_bytes()


def view() -> bytes:
    """The frame of the page that shows a piece in 3D, ``view.html``."""
    return resources.files("laminature.data").joinpath("view.html").read_bytes()


def examples() -> dict[str, bytes]:
    """The example designs by name: in the package where it is installed, else in the project."""
    inside = resources.files("laminature.data").joinpath("examples")
    folder = inside if inside.is_dir() else pathlib.Path(__file__).parents[3] / "examples"
    if not folder.is_dir():
        return {}
    designs = sorted((f for f in folder.iterdir() if f.name.endswith(".toml")), key=lambda f: f.name)
    return {f.name.removesuffix(".toml"): f.read_bytes() for f in designs}
