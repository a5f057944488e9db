"""From the sizes of a full-size piece of furniture to sheets that can be cut.

>>> import laminature as lam
>>> design = lam.read("examples/lamp-table.toml")
>>> build = lam.build(design)  # every stage is computed when first asked for
>>> build.findings, build.piece, build.layers, build.sheets
>>> build.write("kits/lamp-table")

Importing this package imports nothing heavy; the first use of a name does.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from laminature.front import Build, build, read

__all__ = ["Build", "__version__", "build", "read"]


def __getattr__(name: str) -> object:
    """Bring in what is asked for, and nothing before."""
    if name == "__version__":
        from importlib import metadata

        return metadata.version("laminature")
    if name in __all__:
        from laminature import front

        return getattr(front, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
