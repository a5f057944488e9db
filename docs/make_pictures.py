"""Render the pictures of the README from the example designs: ``python docs/make_pictures.py``.

Needs nothing but the package itself. Where the SVG renderer of the tests is installed, the
first sheet of every example is drawn as well.
"""

from __future__ import annotations

import pathlib
import sys
import tempfile

import laminature as lam
from laminature.drawings.picture import picture
from laminature.upholstery.mesh import mesh_of
from laminature.writers.png import png

ROOT = pathlib.Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "pictures"
#: Examples, and from where each looks best: azimuth and elevation in degrees.
VIEWS = {"lamp-table": (-35.0, 25.0), "window-seat": (-32.0, 30.0), "lookout-stool": (-30.0, 32.0)}


def main() -> int:
    """Render everything; returns 1 where an example is missing."""
    PICTURES.mkdir(parents=True, exist_ok=True)
    missing = False
    for name, (azimuth, elevation) in VIEWS.items():
        design = ROOT / "examples" / f"{name}.toml"
        if not design.exists():
            print(f"There is no {design.relative_to(ROOT)}.")
            missing = True
            continue
        build = lam.build(lam.read(design))
        skins = [(made.name, made.pose, mesh_of(made)) for made in build.cushions]
        for suffix, exploded in (("", 0.0), ("-apart", 0.7)):
            pixels = picture(
                build.piece.parts,
                build.layers,
                azimuth=azimuth,
                elevation=elevation,
                exploded=exploded,
                cushions=skins,
            )
            save(f"{name}{suffix}.png", png(pixels))
        sheet(build, name)
    return 1 if missing else 0


def sheet(build: lam.Build, name: str) -> None:
    """The first sheet as it is cut, on white."""
    try:
        import resvg_py
    except ImportError:
        return
    with tempfile.TemporaryDirectory() as folder:
        kit = pathlib.Path(folder) / "kit"
        build.write(kit)
        drawing = (kit / "sheets" / "sheet-1.svg").read_text(encoding="utf-8")
    save(
        f"{name}-sheet-1.png",
        bytes(resvg_py.svg_to_bytes(svg_string=drawing, dpi=130, background="#ffffff")),
    )


def save(name: str, data: bytes) -> None:
    """Write one picture and say so."""
    (PICTURES / name).write_bytes(data)
    print(f"docs/pictures/{name}: {len(data) // 1024} kB")


if __name__ == "__main__":
    sys.exit(main())
