"""A design file to start from: every size of a form, with its default, its range and what it is."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from fractions import Fraction

from laminature.design.reading import USUAL_BOARD
from laminature.model.fit import HAND_STACKED
from laminature.model.form import Parameter
from laminature.units import INCH, in_inches, in_mm

_HEAD = """\
# A design for Laminature. What follows a # is a note and changes nothing; a line that begins
# with # can be brought to life by taking the # away.
#
# Lengths of the furniture are full size: "18 in", "457 mm", "1 ft 5 1/2 in", "45.7 cm".
# "mini 3 mm" is a length of the miniature. Board, glue, fit, cutter and cloth are always actual size.

title = {title}
scale = "1:12"
board = "{board}"          # `laminature boards` lists the boards
fit = "{fit}"            # or "pinned", where pins or keys hold the layers
cutter = "knife"                # or "laser"
# unit = "in"                   # the unit of bare numbers; mm if left out
# edge_sanding = "0.15 mm"      # left on show edges for sanding
"""


def new_design(form_name: str, parameters: Iterable[Parameter], title: str) -> str:
    """A design file for a form, all its parameters as lines; it can be built as it is.

    Parameters that the form works out by itself stand as notes with an example.
    """
    head = _HEAD.format(title=_quoted(title), board=USUAL_BOARD, fit=HAND_STACKED.name)
    blocks = [head, f"[form]\nname = {_quoted(form_name)}\n"]
    blocks.extend(_block(p) for p in parameters)
    return "\n".join(blocks)


def _block(p: Parameter) -> str:
    about = _sentence(p.help)
    about += f" {_range(p)}" if _range(p) else ""
    lines = [f"# {line}" for line in textwrap.wrap(about, 98)]
    if p.default is None:
        lines.append(f"# {p.name} = {_example(p)}")
    else:
        lines.append(f"{p.name} = {_value(p, p.default)}")
    return "\n".join(lines) + "\n"


def _sentence(text: str) -> str:
    text = " ".join(text.split())
    text = text[:1].upper() + text[1:]
    return text if text.endswith((".", "!", "?")) else text + "."


def _range(p: Parameter) -> str:
    if p.kind == "choice":
        return f"One of: {', '.join(p.choices)}."
    if p.kind == "flag":
        return "true or false."
    if p.low is None or p.high is None:
        return ""
    if p.kind == "length":
        small = " of the miniature" if p.realm == "mini" else ""
        return f"From {in_mm(p.low)} to {in_mm(p.high)}{small}."
    unit = "°" if p.kind == "angle" else ""
    return f"From {p.low:g} to {p.high:g}{unit}."


def _example(p: Parameter) -> str:
    """A value that the parameter takes, for a line that is a note."""
    if p.kind == "choice":
        return _quoted(p.choices[0])
    if p.kind == "flag":
        return "true"
    if p.kind == "path":
        return '"M 0 0 L 0 60"'
    low, high = p.low or 0.0, p.high if p.high is not None else 100.0
    between = low + (high - low) / 8
    if p.kind == "length":
        return _value(p, round(between) if low <= round(between) <= high and between > 2 else between)
    if p.kind == "angle":
        return f"{between:g}"
    return str(min(int(high), max(int(-(-low // 1)), round(between), 1)))


def _value(p: Parameter, value: str | float | bool) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if p.kind != "length":
        return f"{value:g}"
    if p.realm == "mini":
        return f'"mini {in_mm(value, 4)}"'
    # Defaults of half inches and the like were thought of in inches; all others are metric.
    eighths = Fraction(repr(round(value, 6))) / INCH * 8
    return f'"{in_inches(value, 8)}"' if eighths.denominator == 1 and eighths else f'"{in_mm(value, 4)}"'


def _quoted(text: str) -> str:
    """A TOML basic string."""
    out = []
    for c in text:
        if c in '"\\':
            out.append("\\" + c)
        elif c.isprintable():
            out.append(c)
        else:
            out.append(" ")
    return f'"{"".join(out)}"'
