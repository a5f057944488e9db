"""Designs that are not quite right, by what is to be found in them."""

import pathlib

from laminature.design.writing import with_values

EXAMPLES = pathlib.Path(__file__).parents[1] / "examples"


def example(name, changes):
    return with_values((EXAMPLES / f"{name}.toml").read_bytes(), changes)


def seat(**keys):
    return example("window-seat", {("cushion", key): value for key, value in keys.items()})


def stool(**keys):
    return example("lookout-stool", {("cushion", key): value for key, value in keys.items()})


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


CROSSED = """
stands = false
[[part]]
name = "board"
shape = "rectangle"
width = "24 in"
height = "12 in"
layers = 4
[[part]]
name = "upper"
shape = "rectangle"
width = "12 in"
height = "6 in"
layers = 4
at = ["mini 20 mm", "mini 0 mm", "mini UP mm"]
stance = "facing side"
[[part]]
name = "lower"
shape = "rectangle"
width = "12 in"
height = "6 in"
layers = 4
at = ["mini 20 mm", "mini 0 mm", "mini -12.7 mm"]
stance = "facing side"
"""

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

SPOILT = {
    "blind-too-shallow": stand(top='layers = 2\nshow = ["upper"]'),
    "blind-too-shallow, by a rule": stand(more=joint(depth=1)),
    "run-too-short": stand(width="1 in"),
    "near-miss": stand(high="mini 29.7 mm", more='[[part]]\nname = "leg-2"\nshape = "rectangle"\nwidth = "12 in"\nheight = "mini 30 mm"\nlayers = 4\nat = ["mini 30 mm", "mini 6 mm", 0]\nstance = "facing side"\n[[part]]\nname = "rail"\nshape = "rectangle"\nwidth = "mini 40 mm"\nheight = "mini 8 mm"\nlayers = 4\nat = ["mini 5 mm", "mini 12 mm", "mini 10 mm"]\nstance = "facing front"\n'),
    "part-not-attached": stand(high="mini 29.7 mm"),
    "tab-narrow": stand(more=joint(count=1, width='"mini 3 mm"')),
    "tab-narrow, many": stand(more=joint(count=9)),
    "tab-near-edge": stand(at="mini 0.5 mm"),
    "tab-across-grain": stand(more='\n[grain]\nleg = "along"\n', high="mini 30 mm", width="12 in"),
    "opposite-entries": CROSSED.encode(),
    "pins-no-room": stand(high="mini 5 mm", more=stack("leg", align='"pins"')),
    "pin-misplaced": stand(more=stack("leg", align='"pins"', places='[["mini 5 mm", "mini 5 mm"], ["mini 20 mm", "mini 0.5 mm"], ["mini 12 mm", "mini 20 mm"]]')),
    "pins-turnable": stand(more=stack("leg", align='"pins"', places='[["mini 5 mm", "mini 15 mm"], ["mini 20.4 mm", "mini 15 mm"]]')),
    "pin-in-show-face": stand(more=stack("top", align='"pins"', through_show="true")),
    "keys-no-slots": stand(more=stack("leg", align='"keys"')),
    "carrier-not-possible": stand(top='layers = 4', more=stack("top", align='"carrier"')),
    "face-last-not-possible": stand(more=stack("leg", face_last="true")),
    "pattern-unmatched": example("window-seat", {("grain", "pannel-*"): "along"}),
    "pattern-unmatched, a joint": stand(more='\n[[joint]]\nparts = ["top", "lge"]\ncount = 2\n'),
    "pattern-unmatched, a stack": stand(more=stack("tpo", align='"pins"')),
    "clearance-small": example("tide-chest", {("form", "clearance"): "mini 0.1 mm"}),
    "fingers-show": example("tide-chest", {}),
    "profile-coarse": example("tide-chest", {("form", "corners"): "rebate"}),
    "part-too-large": example("window-seat", {("board", "sheet"): ["60 mm", "120 mm"], ("grain", "se*"): "along"}),
    "part-too-large, margin": example("window-seat", {("board", "sheet"): ["104 mm", "104 mm"]}),
    "thickness-off": example("window-seat", {("form", "panel_thickness"): "mini 1.95 mm"}),
    "cloth-too-thick": seat(cloth_thickness="0.4 mm", manner="pulled-in", clearance="1 mm"),
    "cloth-too-thick-for-pleats": seat(cloth_thickness="0.28 mm"),
    "folds-too-thick": WEDGE,
    "pillows-flat": seat(spacing=["3.5 in", "3.5 in"], dip=1.0),
    "buttons-too-close": seat(spacing=["2 in", "2 in"]),
    "buttons-too-close, pulled in": seat(spacing=["2 in", "2 in"], manner="pulled-in", dip=1.0),
    "button-near-edge": seat(margin="1 in", manner="pulled-in", spacing=["4 in", "4 in"]),
    "no-room-for-buttons": seat(margin="12 in"),
    "buttons-not-mirrored": seat(rows=4),
    "bead-off-scale": seat(bead="4 mm"),
    "bead-off-scale, a button": seat(button="90 L"),
    "guide-web-weak": seat(spacing=["1 in", "1 in"], manner="pulled-in"),
    "crown-too-high": example("lookout-stool", {("cushion", "batting_layers"): 100, ("cushion", "batting_thickness"): "0.4 mm", ("form", "height"): "50 in"}),
    "piping-corner-tight": seat(piping="3 mm"),
    "cushion-below-rim": seat(batting_layers=0, panel_layers=1, backing_panels=0, pattern="plain"),
}
