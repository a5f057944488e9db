"""Every code that a finding can carry stands in docs/checks.md, and no other."""

import pathlib
import re

ROOT = pathlib.Path(__file__).parents[2]


def test_every_code_is_documented_and_every_documented_code_exists():
    source = "".join(p.read_text(encoding="utf-8") for p in (ROOT / "src").rglob("*.py"))
    used = set(re.findall(r'Finding\(\s*"([a-z-]+)"', source))
    table = (ROOT / "docs" / "checks.md").read_text(encoding="utf-8")
    told = set(re.findall(r"^\| `([a-z-]+)` \|", table, re.MULTILINE))
    assert used
    assert used <= told
    # Some codes are put together elsewhere (one word or another): they must at least occur in the source.
    assert all(f'"{code}"' in source for code in told)
