"""All that a kit says by itself stands in ``data/words.toml``, and no sentence hides in code."""

import ast
import pathlib
import re

import pytest

from laminature.data import library

SOURCE = pathlib.Path(library.__file__).parents[1]
#: Modules that put something before a kit's reader.
REACHING = sorted(
    path
    for pattern in (
        "writers/*.py",
        "drawings/*.py",
        "pipeline/*.py",
        "planning/*.py",
        "sheets/coupon.py",
        "sheets/remainders.py",
        "layering/cushion_panels.py",
        "joinery/cleats.py",
    )
    for path in SOURCE.glob(pattern)
    # Nothing but findings, which are said to the maker.
    if path.relative_to(SOURCE).as_posix() != "planning/telling.py"
)
#: Speech to the maker who builds, not to the kit's reader: progress, findings and errors.
SPOKEN = ("say", "Finding", "WriterError", "BuildError", "FormError")
UNITS = {"mm", "cm", "dm", "in", "min", "ml", "mm/s"}
#: What looks like words and is none that anybody reads, each with its reason.
KEPT = {
    # Names of a spreadsheet's columns, by which programs find them.
    *("price per pack☐", "thickness mm", "thickness full-size mm", "width mm", "width full-size mm"),
    *("height mm", "height full-size mm"),
    # The structure of a PDF, ISO 32000-1, 7.3.10; operators of its content, 8.2.
    *("☐ 0 obj\n", "☐ rg", " rg", "/OC /☐ BDC", "☐ RG ☐ w [☐] 0 d"),
    # Typst.
    '#image(read("/☐", encoding: none))',
    # The linetype of a DXF layer, for whoever looks at its table.
    "☐ mm on, ☐ mm off",
    # Keys under which tasks of a cushion are found again.
    "cushion ☐",
    # What an error names.
    *(
        "photo ☐ (key: photo)",
        "stroke ☐",
        "an area",
        "it does not say why.",
        "Leave out the ☐, or take another.",
    ),
    # The work table's name of a photo among several, in an error.
    " and ",
}


def prose_of(code):
    """Strings of a module in which words are put one after the other; ``☐`` stands for what is filled in."""
    tree = ast.parse(code)
    for node in ast.walk(tree):
        for child in ast.iter_child_nodes(node):
            child.above = node
    for node in ast.walk(tree):
        text = _text(node)
        if text is not None and _is_prose(text) and not _excused(node):
            yield node.lineno, text


def _text(node):
    if isinstance(node, ast.JoinedStr):
        return "".join(v.value if isinstance(v, ast.Constant) else "☐" for v in node.values)
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return None if isinstance(node.above, ast.JoinedStr) else node.value
    return None


def _is_prose(text):
    if re.search(r'</?[a-z?]|<<|="|/>', text):
        return False
    tokens = [token.strip(".,:;!?()…·") for token in text.split(" ")]
    words = [token for token in tokens if re.fullmatch(r"[^\W\d_][^\W\d_'-]+", token) and token not in UNITS]
    # A word beside anything else, if only a space to what is put together with it.
    return bool(words) and len(tokens) > 1


def words_alone_of(code):
    """Single words that are written on a drawing."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Text" and node.args:
            text = node.args[0]
            if isinstance(text, ast.Constant) and re.search(r"[^\W\d_]{2,}", str(text.value)):
                yield node.lineno, text.value


def _excused(node):
    while hasattr(node, "above"):
        above = node.above
        if isinstance(above, ast.Raise):
            return True
        if isinstance(above, ast.Expr) and isinstance(node, ast.Constant):
            return True
        if isinstance(above, ast.Call):
            called = (
                above.func.attr if isinstance(above.func, ast.Attribute) else getattr(above.func, "id", "")
            )
            if called in SPOKEN:
                return True
        node = above
    return False


@pytest.mark.parametrize("path", REACHING, ids=lambda path: path.relative_to(SOURCE).as_posix())
def test_what_a_kit_says_stands_in_the_words(path):
    code = path.read_text("utf-8")
    found = [one for one in (*prose_of(code), *words_alone_of(code)) if one[1] not in KEPT]
    assert not found, "put this into data/words.toml"


@pytest.mark.parametrize(
    "code",
    [
        'x = "Glue it up"',
        'x = f"Map of {name}"',
        'x = f"{n} of {m}"',
        'x = " · in a carrier"',
        'lines.append(f"{n} layers")',
        'def f():\n    """Told."""\n    return "cut last" if a else "b"',
        'x = {"key": "never cut; drop the group"}',
        'x = "one " "two"',
    ],
)
def test_prose_is_seen(code):
    assert list(prose_of(code))


def test_a_single_word_on_a_drawing_is_seen():
    assert list(words_alone_of('Text("warp", 3.0, 4.0, 2.3)'))
    assert not list(words_alone_of('Text(words.of("warp"), 3.0, 4.0, 2.3)'))


@pytest.mark.parametrize(
    "code",
    [
        '"""A module of words."""',
        'class A:\n    """Told here."""',
        'raise WriterError(f"{name} cannot be written: " + why)',
        'self.say(0.5, "laying out the sheets")',
        'x = f"{width:.1f} × {height:.1f} mm"',
        'x = words.of("map_title", sheet=name)',
        """x = '<path d="M0 0" fill="none"/>'""",
        'x = f"{name}-label-{n}"',
        'x = ", ".join(labels)',
    ],
)
def test_what_is_no_prose_is_let_be(code):
    assert not list(prose_of(code))


def test_the_page_that_turns_the_piece_has_no_words_of_its_own():
    page = re.sub(r"(?s)<(style|script)[^>]*>.*?</\1>", " ", library.view().decode())
    shown = re.findall(r">([^<]+)<", page) + re.findall(
        r'(?:aria-label|alt|title|placeholder)="([^"]*)"', page
    )
    assert not re.search(r"\w", " ".join(re.sub(r"@@[A-Z]+@@", "", text) for text in shown))


def test_the_guides_look_has_no_words_of_its_own():
    page = re.sub(r"//.*", "", library.guide().decode())
    for quoted in re.findall(r'"([^"\n]*)"', page):
        assert not re.search(r"[A-Za-z]{2,} [a-z]{2,}", quoted) or quoted.endswith(("Serif", "Mono")), quoted
    # Text of the page itself: what stands in brackets or on a line of its own and is no code.
    for line in page.splitlines():
        text = re.sub(r"#[\w.]+(\([^()]*\))*|\"[^\"]*\"", "", line)
        for inner in re.findall(r"\[([^\[\]]*)\]", text):
            assert not re.search(r"[A-Za-z]{3,} [A-Za-z]{2,}", inner), line
