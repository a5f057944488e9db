"""Designs that are not quite right, by what is to be found in them."""

import pathlib

from laminature.design.writing import with_values

EXAMPLES = pathlib.Path(__file__).parents[1] / "examples"


def example(name, changes):
    return with_values((EXAMPLES / f"{name}.toml").read_bytes(), changes)


def seat(**keys):
    return example("window-seat", {("cushion", key): value for key, value in keys.items()})


def stand(*, more="", top='layers = 4\nshow = ["upper"]', at="mini 5 mm", width="12 in", high="mini 30 mm"):
    """A top and one leg below it."""
    return f"""# The tide-reader's stand.
stands = false
scale = "1:12"
board = "chipboard-22"

[[part]]
name = "top"
shape = "rectangle"
width = "24 in"
height = "12 in"
{top}
at = [0, 0, "mini 30 mm"]

[[part]]
name = "leg"
shape = "rectangle"
width = "{width}"
height = "{high}"
layers = 4
at = ["{at}", "mini 6 mm", 0]
stance = "facing side"
{more}
""".encode()


def joint(**keys):
    rows = "".join(f"{key} = {value}\n" for key, value in keys.items())
    return f'\n[[joint]]\nparts = ["top", "leg"]\n{rows}'


def stack(parts, **keys):
    rows = "".join(f"{key} = {value}\n" for key, value in keys.items())
    return f'\n[[stack]]\nparts = "{parts}"\n{rows}'


#: Thickness of a stack of four layers, mm.
FOUR = 2.317552


def plate(name, width, height, at, stance="flat", layers=4):
    place = ", ".join(f'"mini {v:.6f} mm"' for v in at)
    return f"""
[[part]]
name = "{name}"
shape = "rectangle"
width = "mini {width} mm"
height = "mini {height} mm"
layers = {layers}
at = [{place}]
stance = "{stance}"
"""


#: Two walls that cross close along z, the shelf in their corner along x with one and y with the other.
LOCKED = "stands = false\n" + "".join(
    [
        plate("wall-1", 50, 30, (20, 0, 0), "facing side"),
        plate("wall-2", 50, 30, (0, 20, 0), "facing front"),
        plate("shelf", 20, 20, (20 + FOUR, 20, 12)),
    ]
)

#: A clamp about a board, whose arms would have to go into it from above and from below.
CLAMP = (
    "stands = false\n"
    + plate("board", 60, 40, (20, 0, 14))
    + """
[[part]]
name = "clamp"
shape = "polygon"
points = [
  ["mini 0 mm", "mini 0 mm"], ["mini 50 mm", "mini 0 mm"], ["mini 50 mm", "mini 14 mm"],
  ["mini 19 mm", "mini 14 mm"], ["mini 19 mm", "mini 16.317552 mm"], ["mini 50 mm", "mini 16.317552 mm"],
  ["mini 50 mm", "mini 30 mm"], ["mini 0 mm", "mini 30 mm"],
]
layers = 4
at = [0, "mini 15 mm", 0]
stance = "facing front"
"""
)

#: Two walls that meet a board of three layers at one place, from both faces.
OPPOSITE = "stands = false\n" + "".join(
    [
        plate("board", 60, 40, (0, 0, 20), layers=3),
        plate("upper", 30, 15, (20, 5, 21.732280), "facing side"),
        plate("lower", 30, 20, (20, 5, 0), "facing side"),
    ]
)

#: A rail between two legs, one of which is a little too short.
SHORT_LEG = stand(high="mini 29.7 mm").decode() + "".join(
    [
        plate("leg-2", 25, 30, (30, 6, 0), "facing side"),
        plate("rail", 40, 8, (5, 12, 10), "facing front"),
    ]
)

#: A cushion too small for all its batting.
FOOTREST = (
    "stands = false\n"
    + plate("seat", 9, 9, (0, 0, 0))
    + '[cushion]\non = "seat"\npattern = "plain"\nbatting_layers = 9\nbatting_thickness = "0.2 mm"\n'
)

#: A corner of this cushion is sharper than 75 degrees, so that its pleat is thick.
WEDGE = b"""
title = "Wedge"
[[part]]
name = "seat"
shape = "polygon"
points = [["0 in", "0 in"], ["30 in", "0 in"], ["15 in", "30 in"]]
layers = 4
[cushion]
on = "seat"
"""

#: What is to be found, with a word on how, and the design.
SPOILT = {
    "blind-too-shallow": stand(top='layers = 2\nshow = ["upper"]'),
    "blind-too-shallow, by a rule": stand(more=joint(depth=1)),
    "run-too-short": stand(width="1 in"),
    "near-miss": SHORT_LEG.encode(),
    "part-not-attached": stand(high="mini 29.7 mm"),
    "tab-narrow": stand(more=joint(count=1, width='"mini 3 mm"')),
    "tab-narrow, many": stand(more=joint(count=9)),
    "tab-across-grain": stand(width="16 in", more='\n[grain]\nleg = "along"\n'),
    "opposite-entries": OPPOSITE.encode(),
    "locked-together": LOCKED.encode(),
    "no-common-entry": CLAMP.encode(),
    "pins-no-room": stand(high="mini 5 mm", more=stack("leg", align='"pins"')),
    "pin-misplaced": stand(
        more=stack(
            "leg",
            align='"pins"',
            places='[["mini 5 mm", "mini 5 mm"], ["mini 20 mm", "mini 0.5 mm"], ["mini 9 mm", "mini 20 mm"]]',
        )
    ),
    "pins-turnable": stand(
        more=stack(
            "leg", align='"pins"', places='[["mini 5 mm", "mini 15 mm"], ["mini 20.4 mm", "mini 15 mm"]]'
        )
    ),
    "pin-in-show-face": stand(more=stack("top", align='"pins"', through_show="true")),
    "keys-no-slots": stand(more=stack("leg", align='"keys"')),
    "face-last-not-possible": stand(
        top='layers = 4\nshow = ["upper"]\nprofile = "quarter-round"', more=stack("top", face_last="true")
    ),
    "pattern-unmatched": example("window-seat", {("grain", "pannel-*"): "along"}),
    "pattern-unmatched, a joint": example(
        "window-seat", {("joint", 0, "parts"): ["pannel-*", "seat"], ("joint", 0, "count"): 2}
    ),
    "pattern-unmatched, a stack": example(
        "window-seat", {("stack", 0, "parts"): "seet", ("stack", 0, "align"): "pins"}
    ),
    "clearance-small": example("tide-chest", {("form", "clearance"): "mini 0.1 mm"}),
    "fingers-show": example("tide-chest", {}),
    "profile-coarse": example("tide-chest", {("form", "corners"): "rebate"}),
    "part-too-large": example(
        "window-seat", {("board", "sheet"): ["60 mm", "120 mm"], ("grain", "se*"): "along"}
    ),
    "part-too-large, margin": example("window-seat", {("board", "sheet"): ["104 mm", "104 mm"]}),
    "thickness-off": example("window-seat", {("form", "panel_thickness"): "mini 1.95 mm"}),
    "cloth-too-thick": seat(cloth_thickness="0.4 mm", manner="pulled-in", clearance="1 mm"),
    "cloth-too-thick-for-pleats": seat(cloth_thickness="0.28 mm"),
    "folds-too-thick": WEDGE,
    "pillows-flat": seat(spacing=["3.5 in", "3.5 in"], dip=1.0),
    "buttons-too-close": seat(spacing=["2.5 in", "2.5 in"], manner="pulled-in", dip=1.0),
    "button-near-edge": seat(margin="1 in", manner="pulled-in", spacing=["4 in", "4 in"]),
    "no-room-for-buttons": seat(margin="12 in"),
    "buttons-not-mirrored": seat(rows=4),
    "bead-off-scale": seat(bead="4 mm"),
    "bead-off-scale, a button": seat(button="90 L"),
    "crown-too-high": FOOTREST.encode(),
    "guide-web-weak": seat(margin="0.1 in", spacing=["4 in", "4 in"], manner="pulled-in", dip=0.1),
    "piping-corner-tight": seat(piping="3 mm"),
}
