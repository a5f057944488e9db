"""Which browser is driven, and how: for the benchmark of the page and for the tests in a real browser."""

from __future__ import annotations

import os
import shutil

#: The program, None where there is none. ``LAMINATURE_CHROMIUM`` names another than the one on the path.
CHROMIUM = (
    os.environ.get("LAMINATURE_CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
)
#: A sandbox needs rights that a container has not; the others draw WebGL without a graphics card.
ARGUMENTS = [
    "--no-sandbox",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--ignore-gpu-blocklist",
]
