"""A design of a top and a leg of few layers, which a cleat holds."""

DESIGN = """
stands = false
scale = "1:12"
board = "chipboard-22"
[[part]]
name = "top"
shape = "rectangle"
width = "24 in"
height = "12 in"
layers = 2
at = [0, 0, "mini 30 mm"]
[[part]]
name = "leg"
shape = "rectangle"
width = "12 in"
height = "mini 30 mm"
layers = 4
at = ["mini 5 mm", 0, 0]
stance = "facing side"
show = ["SHOW"]
[[joint]]
parts = ["top", "leg"]
kind = "KIND"
"""


def cleated(show: str = "lower", kind: str = "cleat") -> str:
    """The design's text: the face of the leg that shows, and the kind of joint that is asked for."""
    return DESIGN.replace("SHOW", show).replace("KIND", kind)
