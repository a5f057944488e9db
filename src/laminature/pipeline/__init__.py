"""The way of a piece from a design to the bytes of a kit, and the order of its stages.

This package alone knows the order. Each stage is a pure function; ``Build`` keeps its result once
somebody has asked for it. Nothing is read from or written to a disk here.
"""

from laminature.forms.registry import FORMS
from laminature.pipeline.build import Build
from laminature.pipeline.guide import piece_picture
from laminature.pipeline.kit import KINDS, check_pictures, coupon_files, guide_pictures, kit_files
from laminature.pipeline.making import Progress
from laminature.pipeline.reading import (
    changed,
    check_text,
    known_boards,
    known_fits,
    known_prices,
    known_rates,
    read_design,
    schema,
    starter,
)
from laminature.pipeline.strays import looked_up, stray_lines, stray_picture

__all__ = [
    "FORMS",
    "KINDS",
    "Build",
    "Progress",
    "changed",
    "check_pictures",
    "check_text",
    "coupon_files",
    "guide_pictures",
    "kit_files",
    "known_boards",
    "known_fits",
    "known_prices",
    "known_rates",
    "looked_up",
    "piece_picture",
    "read_design",
    "schema",
    "starter",
    "stray_lines",
    "stray_picture",
]
