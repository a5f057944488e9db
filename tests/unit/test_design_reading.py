"""What a design file says, and what is said about one that cannot be used."""

import time
from fractions import Fraction

import pytest

from laminature.data import library
from laminature.design.boards import read_boards
from laminature.design.fits import read_fits
from laminature.design.reading import MOST_PARTS, parse
from laminature.design.schema import PROFILES
from laminature.errors import DesignError, DesignErrors
from laminature.forms import profiles
from laminature.model.fit import PINNED
from laminature.model.form import Parameter
from laminature.model.joint import JointRule

BOARDS = read_boards(library.boards(), "boards.toml")
FORMS = {
    "stand": (
        Parameter("height", "length", "How high", 600.0, 150.0, 1300.0),
        Parameter("rim", "length", "Rim", 2.5, 0.5, 60.0, realm="mini"),
        Parameter("shift", "length", "To a side", 0.0, -100.0, 100.0),
        Parameter("legs", "count", "Legs", 4, 3, 8),
        Parameter("top_layers", "layers", "Layers", None, 1, 40),
        Parameter("rake", "angle", "Rake", 0.0, -5.0, 30.0),
        Parameter("edge", "choice", "Edge", "plain", choices=("plain", "scalloped")),
        Parameter("through", "flag", "Through", False),
        Parameter("curve", "path", "Curve", None),
    )
}
PART = '[[part]]\nname = "a"\nshape = "rectangle"\nwidth = 120\nheight = 60\nlayers = 4\n'


def read(text, **more):
    data = text if isinstance(text, bytes) else text.encode()
    return parse(data, "loft.toml", BOARDS, FORMS, **more)


@pytest.mark.parametrize("title", ['title = ""\n', 'title = "  "\n', ""])
def test_a_title_of_nothing_is_no_title(title):
    assert read(title + PART).title == "Untitled"


def errors_of(text, **more):
    with pytest.raises(DesignErrors) as caught:
        read(text, **more)
    return caught.value.errors


def only_error(text, **more):
    errors = errors_of(text, **more)
    assert len(errors) == 1, [str(e) for e in errors]
    return str(errors[0])


# --- what is read ---------------------------------------------------------------------------------


def test_the_least_that_is_a_design():
    design = read('form = "stand"')
    assert (design.title, design.scale, design.form, design.values) == ("Untitled", 12, "stand", {})
    assert design.board == BOARDS["chipboard-22"]
    assert (design.cutter, design.fit.name, design.stands) == ("knife", "hand-stacked", True)
    assert design.source == b'form = "stand"'


def test_sizes_of_a_form_become_miniature_and_are_rounded_once():
    design = read('scale = "1:22.5"\n[form]\nname = "stand"\nheight = "1 ft 5 1/3 in"\nshift = "-2 in"\n')
    assert design.scale == Fraction(45, 2)
    assert design.values["height"] == float(Fraction(52, 3) * Fraction("25.4") / Fraction("22.5"))
    assert design.values["shift"] == float(Fraction("-50.8") / Fraction("22.5"))


def test_mini_and_full_say_which_size_is_meant():
    values = read('[form]\nname = "stand"\nheight = "mini 50 mm"\nrim = "full 30 mm"\n').values
    assert values == {"height": 50.0, "rim": 2.5}
    assert read('[form]\nname = "stand"\nrim = "3 mm"\n').values == {"rim": 3.0}


def test_bare_numbers_of_the_piece_are_in_its_unit_and_those_of_the_bench_in_mm():
    design = read('unit = "in"\nedge_sanding = 0.2\n[form]\nname = "stand"\nheight = 24\nrim = 3\n')
    assert design.values == {"height": 50.8, "rim": 3.0}
    assert design.edge_sanding == 0.2


def test_all_kinds_of_parameters():
    design = read(
        '[form]\nname = "stand"\nlegs = 6\ntop_layers = 3\nrake = "12.5°"\nedge = "scalloped"\n'
        'through = true\ncurve = "M 0 0 L 0 60"\n'
    )
    assert design.values == {
        "legs": 6, "top_layers": 3, "rake": 12.5, "edge": "scalloped", "through": True,
        "curve": "M 0 0 L 0 60",
    }  # fmt: skip


def test_the_bench_is_always_actual_size():
    design = read(
        'cutter = { kind = "laser", spacing = "mini 2 mm", margin = "1/4 in" }\n'
        'fit = { name = "pinned", across = "full 0.05 mm", coats = 0.02 }\n' + PART
    )
    assert (design.cutter, design.spacing, design.margin) == ("laser", 2.0, 6.35)
    assert (design.fit.across, design.fit.along, design.fit.coats) == (0.05, PINNED.along, 0.02)
    assert design.fit.name == "pinned, adjusted"


def test_named_fits_and_cutters_may_stand_alone():
    design = read('cutter = "laser"\nfit = "pinned"\n' + PART)
    assert (design.cutter, design.fit) == ("laser", PINNED)
    assert read('fit = "pinned-hardened"\n' + PART, fits=read_fits(library.fits(), "fits")).fit.side == 0.07


def test_a_board_can_be_changed_named_and_made_anew():
    design = read(
        '[board]\nname = "mine"\nglue_line = "0.03 mm"\n[boards.mine]\nlike = "card-10"\ncaliper = "11 pt"\n'
        '[boards.chipboard-22]\nmeasured = { 4 = "2.31 mm" }\n' + PART
    )
    assert design.board.name == "mine"
    assert (design.board.caliper, design.board.glue_line) == (0.2794, 0.03)
    assert design.boards["mine"] == design.board
    assert design.boards["chipboard-22"].measured == ((4, 2.31),)


def test_a_part_with_everything():
    design = read(
        '[[part]]\nname = "back"\ntitle = "Back"\nshape = "rectangle"\nwidth = "2 ft"\nheight = "12 in"\n'
        'corner = "1 in"\nthickness = "1 in"\nboard = "card-10"\nat = ["-1 ft", 0, "mini 3 mm"]\n'
        'stance = "facing front"\nturn = 90\nshow = ["upper"]\ngrain = "along"\ngroup = "lid"\n'
        'profile = [0, "mini 1 mm"]\nrim = { layers = 2, width = "mini 3 mm" }\n'
        '[[part.opening]]\nshape = "circle"\ndiameter = "2 in"\nat = ["12 in", "6 in"]\n'
    )
    part = design.parts[0]
    assert (part.name, part.title, part.board, part.group) == ("back", "Back", "card-10", "lid")
    assert part.outline.bounds == pytest.approx((0.0, 0.0, 50.8, 25.4))
    assert part.outline.flat.interiors[0].bounds == pytest.approx(
        (25.4 - 25.4 / 12, 12.7 - 25.4 / 12, 25.4 + 25.4 / 12, 12.7 + 25.4 / 12), abs=0.003
    )
    assert part.thickness == float(Fraction("25.4") / 12)
    assert part.pose.origin == (-25.4, 0.0, 3.0)
    assert (part.pose.x, part.pose.y, part.pose.z) == ((0, 1, 0), (0, 0, 1), (1, 0, 0))
    assert part.show == {"upper"}
    assert (part.profile, part.rim_layers, part.rim_width) == ((0.0, 1.0), 2, 3.0)


@pytest.mark.parametrize(
    ("stance", "x", "y", "z"),
    [
        ("flat", (1, 0, 0), (0, 1, 0), (0, 0, 1)),
        ("facing front", (1, 0, 0), (0, 0, 1), (0, -1, 0)),
        ("facing side", (0, 1, 0), (0, 0, 1), (1, 0, 0)),
    ],
)
def test_a_stance_is_exact(stance, x, y, z):
    pose = read(PART + f'stance = "{stance}"\n').parts[0].pose
    assert (pose.x, pose.y, pose.z) == (x, y, z)


def test_turns_follow_each_other_about_the_axes_of_the_piece():
    pose = read(PART + 'at = [12, 0, 0]\nturn = 90\nturns = [["x", 90], ["z", -90]]\n').parts[0].pose
    assert pose.origin == (1.0, 0.0, 0.0)
    # x goes to y by the turn, then to z, where the last turn leaves it.
    assert pose.x == (0.0, 0.0, 1.0)


def test_joint_rules():
    other = PART.replace('"a"', '"leg-1"')
    design = read(
        PART
        + other
        + '[[joint]]\nparts = ["leg-*", "a"]\nkind = "tabs"\ncount = 2\nwidth = "mini 6 mm"\ndepth = 3\n'
        'through = false\nstopped = "front"\nstop_length = "1 in"\nfit = "pinned"\nshare = [0, 2]\n'
    )
    assert design.rules == (
        JointRule(
            ("leg-*", "a"), "tabs", 2, 6.0, 3, False, "front", float(Fraction("25.4") / 12), PINNED, (0, 2)
        ),
    )


def test_rules_for_stacks():
    (rule,) = read(
        PART
        + """
        [[stack]]
        parts = "*"
        align = "pins"
        pin = "2.4 mm"
        places = [["1 in", "2 in"], ["3 in", "mini 5 mm"]]
        fit = "pinned"
        """
    ).stack_rules
    assert (rule.parts, rule.align, rule.pin, rule.through_show) == ("*", "pins", 2.4, None)
    assert [v for place in rule.places for v in place] == pytest.approx(
        [25.4 / 12, 50.8 / 12, 76.2 / 12, 5.0]
    )
    assert rule.fit == PINNED


def test_a_face_that_comes_last_is_of_a_board_or_of_the_parts_own():
    def face_last(value):
        return read(PART + f'[[stack]]\nparts = "a"\nface_last = {value}\n').stack_rules[0].face_last

    assert [face_last(v) for v in ('"card-10"', "true", "false")] == ["card-10", "", None]


def test_small_pieces():
    design = read('spares_below = "8 mm"\ncutter = { bridges = true }\n' + PART)
    assert (design.spares_below, design.cutting.bridges, design.cutting.bridges_below) == (8.0, True, None)
    asked = read('cutter = { kind = "laser", bridges = "6 mm" }\n' + PART)
    assert (asked.cutting.bridges, asked.cutting.bridges_below, asked.spares_below) == (True, 6.0, 0.0)
    assert not read(PART).cutting.bridges
    assert BOARDS["chipboard-22"].bridge("knife") > BOARDS["chipboard-22"].bridge("laser")


def test_a_cushion_is_actual_size():
    cushion = read(PART + '[cushion]\non = "a"\npiping = "1 mm"\nbatting_layers = 3\n').cushions[0]
    assert (cushion.on, cushion.piping, cushion.batting_layers, cushion.clearance) == ("a", 1.0, 3, 0.2)


def test_byte_order_mark_and_dos_line_ends_are_no_matter():
    assert read(b"\xef\xbb\xbf" + PART.replace("\n", "\r\n").encode()).parts == read(PART).parts


def test_names_of_edge_profiles_are_those_of_the_forms():
    assert set(PROFILES) == {"straight", *profiles.PROFILES}


# --- what cannot be used --------------------------------------------------------------------------


def test_all_errors_are_told_at_once_in_the_order_of_lines():
    errors = errors_of(
        'titel = "x"\nscale = "1:0"\nfit = "pinnd"\nboard = "chipbord-22"\nedge_sanding = nan\n'
        '[boards.mine]\ncaliper = "22 mm"\n'
        '[[part]]\nname = "a"\nshape = "circel"\nlayers = 3\n'
        '[[part]]\nname = "b"\nshape = "circle"\ndiameter = "3 inn"\nthickness = -3\n'
        '[[part]]\nname = "b"\nshape = "circle"\nlayers = 3\n'
        '[[joint]]\nparts = ["z*", "b"]\n'
    )
    told = [(e.place.line, e.place.key) for e in errors]
    assert told == [
        (1, "titel"), (2, "scale"), (3, "fit"), (4, "board"), (5, "edge_sanding"), (7, "boards.mine.caliper"),
        (10, "part[1].shape"), (13, "part[2].name"), (15, "part[2].diameter"), (16, "part[2].thickness"),
        (18, "part[3].name"), (19, "part[3].shape"), (22, "joint[1].parts[1]"),
    ]  # fmt: skip
    assert str(errors[0]) == "loft.toml:1: titel: There is no key 'titel' here. Did you mean 'title'?"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "neither a form nor parts"),
        ('form = "stnad"', "Did you mean 'stand'?"),
        ('form = "stand"\n' + PART, "a form and parts of its own"),
        (
            '[form]\nname = "stand"\nhieght = 3\n',
            ":3: form.hieght: This form has no parameter 'hieght'. Did you",
        ),
        ('[form]\nname = "stand"\ncutter = "knife"\n', "write it above [form]"),
        ('height = "24 in"\nform = "stand"\n', "Write it below [form]"),
        ('[form]\nname = "stand"\nheight = "9 ft"\n', "too large. Give at most 1300 mm (4 ft 3 1/8 in)"),
        ('[form]\nname = "stand"\nheight = 5\n', "A bare number here is in mm."),
        ('[form]\nname = "stand"\nheight = "24 inn"\n', 'Did you mean "in"?'),
        ('[form]\nname = "stand"\nheight = true\n', "true is not a length"),
        ('[form]\nname = "stand"\nheight = inf\n', "inf is not a number"),
        ('[form]\nname = "stand"\nrim = "mini 0.1 mm"\n', "Give at least 0.5 mm (miniature)"),
        ('[form]\nname = "stand"\nlegs = 2\n', "too small. Give at least 3"),
        ('[form]\nname = "stand"\nlegs = 4.0\n', "whole number"),
        (f'[form]\nname = "stand"\nlegs = 1{"0" * 400}\n', "too large"),
        ('[form]\nname = "stand"\nrake = 31\n', "at most 30°"),
        ('[form]\nname = "stand"\nedge = "scaloped"\n', "Did you mean 'scalloped'?"),
        ('[form]\nname = "stand"\nthrough = "yes"\n', "Write true or false"),
        ('[form]\nname = "stand"\ncurve = "L 0 0"\n', 'has to begin with "M"'),
        ("[form]\nheight = 3\n", "'name' is missing"),
        ('unit = "furlong"\n' + PART, "Choose one of: mm, cm, m, in, ft"),
        ('scale = "halv scale"\n' + PART, "half scale"),
        ('cutter = "saw"\n' + PART, "Choose one of: knife, laser"),
        ('board = "chipbord-22"\n' + PART, "Did you mean 'chipboard-22'?"),
        ("[board]\ncaliper = 22\n" + PART, "bare number is in mm"),
        ('[boards.mine]\ncaliper = "22 pt"\n' + PART, "is new and has no sheet"),
        ('[boards.mine]\nlike = "mnie"\n' + PART, "There is no board 'mnie'"),
        ('[board]\nmeasured = { four = "2 mm" }\n' + PART, "no number of layers"),
        ('[board]\nmeasured = { 4 = "2.31 in" }\n' + PART, "4 layers of 0.5588 mm cannot measure 58.67 mm"),
        ('[board]\nmeasured = { 3 = "2 mm", 4 = "1.9 mm" }\n' + PART, "Measure both again"),
        ('fit = { across = "9 mm" }\n' + PART, "lies between 0 mm and 3 mm"),
        ("stands = 1\n" + PART, "true or false"),
        ("title = 3\n" + PART, "text in quotes"),
        (f'title = "{"x" * 300}"\n' + PART, "longer than 200"),
        ('title = "a\\nb"\n' + PART, "cannot be printed"),
        ("part = 3\n", "a list in square brackets"),
        ('[part]\nname = "a"\n', "Write [[part]]"),
        ('[[form]]\nname = "stand"\n', "Write [form]"),
        ("boards = 3\n" + PART, "has to be a table"),
        ("boards = [1]\n" + PART, "has to be a table"),
        ("[boards]\nx = 1\n" + PART, "has to be a table"),
        ('["boards"."a/b"]\nlike = "card-10"\n' + PART, "A name cannot have /"),
        (PART.replace("120", "0"), "size of nothing"),
        (PART.replace("120", "-1"), "below zero"),
        (PART.replace("120", "nan"), "not a number"),
        (PART.replace("120", '"90 m"'), "far too large"),
        (PART.replace("120", "1e300"), "too large"),
        (PART.replace("layers = 4", "layers = 41"), "at most 40"),
        (PART.replace("layers = 4", ""), "neither thickness nor layers"),
        (PART + "thickness = 3\n", "both thickness and layers"),
        (PART + "diameter = 3\n", "'diameter' does not belong to a rectangle"),
        (PART + "corner = 40\n", "rounder than"),
        (PART.replace("height = 60", ""), "This rectangle has no height"),
        (PART.replace('"a"', '"../a"'), "A name cannot have /"),
        (PART.replace('"a"', '""'), "cannot be empty"),
        (PART.replace('"a"', f'"{"a" * 99}"'), "longer than 64"),
        (PART.replace('"a"', '"a*"'), "A name cannot have *"),
        (PART + "at = [1, 2]\n", "takes at least 3"),
        (PART + 'turns = [["w", 3]]\n', 'Write [["x", 15]]'),
        (PART + "turn = 400\n", "at most 360"),
        (PART + 'stance = "facing frnt"\n', "Did you mean 'facing front'?"),
        (PART + 'show = ["top"]\n', "Choose one of: lower, upper"),
        (PART + 'profile = "ogre"\n', "no edge profile"),
        (PART + "rim = { layers = 2 }\n", "'width' is missing"),
        (
            PART + '[[part.opening]]\nshape = "circle"\ndiameter = 9\nat = [500, 0]\n',
            "leaves the part's outline",
        ),
        (
            PART + '[[part.opening]]\nshape = "circle"\ndiameter = 80\nat = [60, 30]\n',
            "leaves the part's outline",
        ),
        (PART + '[cushion]\non = "b"\n', "which is no part"),
        (PART + '[[joint]]\nparts = ["a", "b"]\n', "No part's name is like 'b'"),
        (PART + '[[joint]]\nparts = ["a", "a"]\nshare = [2, 2]\n', "no share 2 of 2"),
        (PART + '[[joint]]\nparts = ["a", "a"]\nkind = "dovetail"\n', "Choose one of: tabs"),
        (PART + '[[stack]]\nparts = "b*"\nalign = "pins"\n', "No part's name is like 'b*'"),
        (PART + '[[stack]]\nparts = "a"\nalign = "pegs"\n', "Choose one of: hand, pins, keys, carrier"),
        (PART + '[[stack]]\nparts = "a"\npin = "1 mm"\n', "lies between 2 mm and 2.5 mm"),
        (PART + '[[stack]]\nparts = "a"\nplaces = [[1, 2]]\n', "takes at least 2"),
        (
            PART + '[[stack]]\nparts = "a"\nface_last = "card-11"\n',
            "There is no board 'card-11'. Did you mean",
        ),
        (PART + '[stack]\nparts = "a"\n', "Write [[stack]]"),
    ],
)
def test_each_error_says_what_is_wrong_and_what_would_do(text, words):
    assert words in only_error(text)


@pytest.mark.parametrize(
    ("shape", "words"),
    [
        (
            'shape = "polygon"\npoints = [[0, 0], [9, 9], [9, 0], [0, 9]]',
            "crosses or touches itself near x 0.38",
        ),
        ('shape = "polygon"\npoints = [[0, 0], [9, 9]]', "at least three points"),
        ('shape = "polygon"\npoints = [[0, 0], [9, 9], [18, 18]]', "no area|touches itself"),
        ('shape = "polygon"\nsides = 2\nacross = 9', "at least 3"),
        ('shape = "polygon"\nsides = 5', "sides and across or sides and across_flats or points"),
        ('shape = "path"\npath = "M 0 0 L 9 9"', "no area|touches itself"),
        ('shape = "path"\npath = "M 0 0 X"', "no path command 'X'"),
        ('shape = "path"\npath = ""', "draws nothing"),
        ('shape = "path"\npath = "M 0 0 H 99999 V 9 Z"', "runs further than 2000 mm"),
        ('shape = "path"\npath = "M 0 0 H 9 V 9 Z"\npath_unit = "furlong"', "is no unit"),
    ],
)
def test_outlines_that_are_none(shape, words):
    import re

    text = only_error(f'[[part]]\nname = "a"\nlayers = 4\n{shape}\n')
    assert re.search(words, text), text


@pytest.mark.parametrize(
    ("data", "line", "words"),
    [
        (b"title = 'x'\nheight = 18 in\n", 2, '"18 in"'),
        (b'height = "18""\n', 1, "single quotes"),
        (b"board = chipboard\n", 1, "Text stands in quotes"),
        (b"[part\n", 1, "no TOML"),
        (b"title = 'a'\ntitle = 'b'\n", 2, "'title' is written twice"),
        (b"[form]\nname = 'a'\n\n[form]\n", 4, "'form' is written twice"),
        (b"part = []\n[[part]]\n", 2, "written twice"),
        (b"a\0b", 1, "not text"),
        (b"title = 'x'\n\xff\n", 2, "no UTF-8"),
        ("title = 'x'".encode("utf-16"), None, "UTF-16"),
        (b"\x89PNG\r\n\x1a\n\0\0", 3, "not text"),
        (b"x = " + b"[" * 100_000, 1, "nested"),
        (b"x = " + b"{a=" * 100_000, 1, "nested"),
        (b".".join([b"a"] * 100_000) + b" = 1", 1, "nested"),
        (b"x = " + b"1" * 100_000, None, "far too long"),
        (b"#" * 50_000_000, None, "50.0 MB"),
        (b"".join(b"a%d = 1\n" % i for i in range(120_000)), 100_001, "more than 100000 values"),
    ],
    ids=lambda v: v[:12] if isinstance(v, bytes) else None,
)
def test_what_is_no_design_at_all_is_refused_quickly_at_its_line(data, line, words):
    began = time.perf_counter()
    with pytest.raises(DesignError) as caught:
        read(data)
    assert words in str(caught.value)
    assert caught.value.place.line == line
    assert time.perf_counter() - began < 3.0


def test_too_many_parts_are_refused_before_anything_is_computed():
    text = "".join(PART.replace('"a"', f'"a{i}"') for i in range(MOST_PARTS + 1))
    with pytest.raises(DesignError, match=f"{MOST_PARTS + 1} parts") as caught:
        read(text)
    assert caught.value.place.line == MOST_PARTS * 6 + 1


def comb(name, teeth):
    """A part whose outline has about 200 points for each tooth."""
    path = "M 0 0 " + "c 0 100 5 100 5 0 " * teeth + f"v -10 h -{5 * teeth} z"
    return f'[[part]]\nname = "{name}"\nlayers = 4\nshape = "path"\npath_unit = "mini mm"\npath = "{path}"\n'


def test_too_many_points_are_refused_before_they_are_drawn():
    assert len(read(comb("a", 90)).parts[0].outline.flat.exterior.coords) > 15_000
    assert "more than 20000 points" in only_error(comb("a", 120))
    assert "more than 200000 points in all" in only_error("".join(comb(f"a{i}", 90) for i in range(12)))


def test_no_more_errors_are_listed_than_can_be_read():
    errors = errors_of("".join(f"x{i} = 1\n" for i in range(500)) + PART)
    assert len(errors) == 101
    assert "400 errors more" in str(errors[-1])


def test_boards_that_are_like_each_other():
    errors = errors_of('[boards.x]\nlike = "y"\n[boards.y]\nlike = "x"\n' + PART)
    assert [e.place.key for e in errors] == ["boards.x.like", "boards.y.like"]
    assert "in a circle" in str(errors[0])


# --- the picture ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", ["loft.png", "pictures/loft.png", "pictures\\\\loft.png", "./loft.png", "a..b/c.png"]
)
def test_a_picture_in_the_designs_folder(path, tmp_path):
    assert read(f'photo = "{path}"\n' + PART, folder=tmp_path).photo == path.replace("\\\\", "/")


@pytest.mark.parametrize(
    "path",
    [
        *(
            "~/loft.png",
            "~",
            "/etc/loft.png",
            "../loft.png",
            "a/../../loft.png",
            "C:\\\\loft.png",
            "C:loft.png",
        ),
        *("", "\\\\\\\\server\\\\loft.png", "..\\\\loft.png"),
    ],
)
def test_a_picture_outside_is_refused(path, tmp_path):
    for folder in (tmp_path, None):
        assert ":1: photo:" in only_error(f'photo = "{path}"\n' + PART, folder=folder)


def test_several_photos_by_name_or_with_captions(tmp_path):
    text = 'photo = ["a.png", { file = "b.png", caption = "The lid, open" }]\n' + PART
    made = read(text, folder=tmp_path)
    assert (made.photo, made.caption) == ("a.png", "")
    assert [(p.file, p.caption) for p in made.photos] == [("b.png", "The lid, open")]
    alone = read('[photo]\nfile = "a.png"\ncaption = "Done"\n' + PART, folder=tmp_path)
    assert (alone.photo, alone.caption, alone.photos) == ("a.png", "Done", ())
    assert read("photo = []\n" + PART, folder=tmp_path).photo is None


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ('["a.png", "../b.png"]', ":1: photo[2]: This path climbs out"),
        ('[{ file = "/b.png" }]', ":1: photo[1].file: A whole path"),
        ('[{ caption = "none" }]', ":1: photo[1].file: 'file' is missing."),
        ('[{ file = "b.png", words = "none" }]', "There is no key 'words' here."),
        ('["a.png", 3]', ":1: photo[2]:"),
        ("3", ":1: photo: photo has to be"),
        (str([f"{n}.png" for n in range(9)]).replace("'", '"'), "photo has 9 items, and takes at most 8."),
    ],
)
def test_photos_that_cannot_be(written, said, tmp_path):
    assert said in only_error(f"photo = {written}\n" + PART, folder=tmp_path)


def test_a_link_that_leads_out_is_refused(tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    (tmp_path / "secret.png").write_bytes(b"")
    try:
        (home / "link.png").symlink_to(tmp_path / "secret.png")
        (home / "round").symlink_to(home / "round")
    except OSError:
        pytest.skip("links cannot be made here")
    assert "leads out" in only_error('photo = "link.png"\n' + PART, folder=home)
    assert "leads out" in only_error('photo = "round/x.png"\n' + PART, folder=home)
