"""What the documents show is true."""

import pathlib
import re
import tomllib

from laminature import front
from laminature.data import library
from laminature.design.prices import read_prices
from laminature.design.rates import read_rates
from laminature.model.offcut import Keep
from laminature.model.stack import thickness
from laminature.store.offcuts import parse

ROOT = pathlib.Path(__file__).parents[2]


def blocks(document):
    return re.findall(r"```toml\n(.*?)```", (ROOT / document).read_text("utf-8"), re.DOTALL)


def test_the_readmes_design_is_that_of_the_example():
    shown = tomllib.loads(blocks("README.md")[0])
    real = tomllib.loads((ROOT / "examples" / "lamp-table.toml").read_text("utf-8"))
    assert shown.pop("form").items() <= real.pop("form").items()
    assert shown.items() <= real.items()


def test_every_piece_of_a_design_file_that_is_shown_can_be_read(tmp_path):
    for number, text in enumerate(blocks("docs/design-file.md")):
        needed = "" if "[[part]]" in text or "[form]" in text else '\n[form]\nname = "radial-table"\n'
        design = tmp_path / f"{number}.toml"
        design.write_text(text + needed, "utf-8")
        front.read(design)


def test_the_ledger_that_is_shown_can_be_read():
    ledger = parse(next(b for b in blocks("docs/offcuts.md") if "[[offcuts]]" in b).encode(), "offcuts.md")
    assert [o.name for o in ledger.offcuts] == ["K1"]
    assert ledger.keep == Keep()


def test_the_rates_and_prices_that_are_shown_can_be_read():
    rates, prices = blocks("docs/planning.md")
    known = read_rates(library.rates(), "rates.toml")
    assert read_rates(rates.encode(), "planning.md", known).glue.dry == 1440.0
    assert read_prices(prices.encode(), "planning.md").boards["greyboard-1-a4"].pack == 25.0


def test_the_shelf_that_is_written_out_gets_its_joint_found(tmp_path):
    design = tmp_path / "shelf.toml"
    design.write_text(next(b for b in blocks("docs/design-file.md") if "[[part]]" in b), "utf-8")
    build = front.build(front.read(design))
    assert [(j.kind, {j.receiver, j.entering}) for j in build.joints] == [("tabs", {"board", "bracket"})]
    assert [f for f in build.findings if f.grade == "stop"] == []


def test_the_shelf_unit_that_is_placed_by_its_real_stacks_meets(tmp_path):
    """What the document says of where parts lie makes housings at once, without a finding that wants care."""
    text = next(b for b in blocks("docs/design-file.md") if "shelf-low" in b)
    design = tmp_path / "unit.toml"
    design.write_text(text, "utf-8")
    build = front.build(front.read(design))
    assert [j.kind for j in build.joints] == ["housing"] * 4
    assert {f.grade for f in build.findings} == {"note"}
    assert {p.name: round(p.thickness, 2) for p in build.piece.parts}["side-left"] == 2.32
    assert "2.90 mm" in (ROOT / "docs" / "design-file.md").read_text("utf-8")
    assert round(thickness(front.boards()["chipboard-22"], 5), 2) == 2.90
