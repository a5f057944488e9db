"""What a machine does with HP-GL or G-code, read from the published meaning of the words alone.

Nothing of the project is imported here. G-code: ISO 6983-1 (G0 G1 G2 G3, G17, G20/G21, G90/G91, G94,
F, S, M0, M2, M3, M5; I and J count from the arc's start; words are modal; comments in parentheses).
HP-GL: the plotter language's IN, SP, PU, PD, PA, 40 units to the millimetre.
"""

import math
import re
from dataclasses import dataclass, field


@dataclass
class Track:
    """What was done in one go between lowering a tool (or lighting a beam) and raising it: points in mm."""

    points: list
    pen: int = 0
    power: float = 0.0
    depth: float = 0.0
    feed: float = 0.0


@dataclass
class Run:
    tracks: list = field(default_factory=list)
    pauses: int = 0
    ended: bool = False
    words: list = field(default_factory=list)


def hpgl(data):
    run, at, pen, down = Run(), (0.0, 0.0), 0, False
    for command in re.findall(r"([A-Z]{2})([^;A-Z]*)", data.decode("ascii")):
        name, rest = command[0], command[1].strip()
        numbers = [int(v) for v in rest.split(",")] if rest else []
        if name == "IN":
            at, pen, down = (0.0, 0.0), 0, False
        elif name == "SP":
            pen = numbers[0] if numbers else 0
        elif name in ("PU", "PD", "PA"):
            lowered = down
            down = {"PU": False, "PD": True}.get(name, down)
            if down and not lowered:
                run.tracks.append(Track([at], pen=pen))
            for x, y in zip(numbers[::2], numbers[1::2], strict=True):
                at = (x / 40.0, y / 40.0)
                if down:
                    run.tracks[-1].points.append(at)
        else:
            raise ValueError(f"no such instruction: {name}")
        run.words.append(name)
    return run


def gcode(data, step=0.02):
    run = Run()
    state = {"X": 0.0, "Y": 0.0, "Z": 50.0, "F": 0.0, "S": 0.0}
    motion, lit, scale, absolute, deep = 0, False, None, None, False
    for number, line in enumerate(data.decode("ascii").splitlines(), start=1):
        bare = re.sub(r"\([^()]*\)", "", line)
        if "(" in bare or ")" in bare:
            raise ValueError(f"line {number}: a comment that does not end")
        words = re.findall(r"([A-Z])\s*([+-]?\d+\.?\d*|[+-]?\.\d+)", bare)
        if re.sub(r"[A-Z]\s*[+-]?(\d+\.?\d*|\.\d+)|\s", "", bare):
            raise ValueError(f"line {number}: {line!r} is not made of words")
        asked = dict(words)
        for letter, value in words:
            if letter == "G":
                g = int(value)
                if g in (0, 1, 2, 3):
                    motion = g
                elif g == 21:
                    scale = 1.0
                elif g == 90:
                    absolute = True
                elif g not in (17, 94):
                    raise ValueError(f"line {number}: G{g}")
            elif letter == "M":
                m = int(value)
                if m == 0:
                    run.pauses += 1
                elif m in (3, 5):
                    lit = m == 3
                    if lit:
                        run.tracks.append(Track([(state["X"], state["Y"])], power=float(asked["S"])))
                elif m == 2:
                    run.ended = True
                else:
                    raise ValueError(f"line {number}: M{m}")
            elif letter in "FS":
                state[letter] = float(value)
        target = {k: float(asked.get(k, state[k])) for k in "XYZ"}
        if target != {k: state[k] for k in "XYZ"} or "I" in asked:
            assert scale == 1.0 and absolute, "moved before the units were said"
            here, there = (state["X"], state["Y"]), (target["X"], target["Y"])
            lowered = state["Z"] <= 0.0
            if motion in (2, 3):
                points = _arc(here, there, float(asked["I"]), float(asked["J"]), motion == 3, step)
            else:
                points = [there]
            cutting = motion != 0 and (lit or lowered)
            assert not (motion == 0 and here != there and (lit or lowered)), (
                f"line {number}: rapid in the board"
            )
            if target["Z"] <= 0.0 and (not deep or target["Z"] != state["Z"]):
                run.tracks.append(Track([there], depth=-target["Z"]))
            deep = target["Z"] <= 0.0
            if (cutting and here != there) or motion in (2, 3):
                assert cutting and state["F"] > 0.0, f"line {number}: a cut without a feed"
                run.tracks[-1].points += points
                run.tracks[-1].feed = state["F"]
            state.update(target)
        assert not run.ended or line == data.decode("ascii").splitlines()[-1]
    return run


def _arc(here, there, i, j, left, step):
    cx, cy = here[0] + i, here[1] + j
    r = math.hypot(i, j)
    assert abs(math.hypot(there[0] - cx, there[1] - cy) - r) < 0.002, (
        "an arc whose ends are not on one circle"
    )
    a = math.atan2(-j, -i)
    sweep = (math.atan2(there[1] - cy, there[0] - cx) - a) % math.tau
    if not left:
        sweep -= math.tau
    n = max(2, math.ceil(abs(sweep) * r / step))
    return [
        (cx + r * math.cos(a + sweep * k / n), cy + r * math.sin(a + sweep * k / n)) for k in range(1, n)
    ] + [there]
