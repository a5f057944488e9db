"""Whatever a maker does in a kit folder, making the kit again loses nothing of theirs."""

import pathlib
import tempfile

from hypothesis import given
from hypothesis import strategies as st

from laminature.store.kit import write_kit

NAMES = st.sampled_from(
    ["README.txt", "parts.csv", "sheets/a.svg", "sheets/b.svg", "Sheets", "cushion/cloth.pdf", "notes"]
)
CONTENT = st.sampled_from([b"", b"1", b"2", b"3"])
KIT = st.dictionaries(
    st.sampled_from(["README.txt", "parts.csv", "sheets/a.svg", "sheets/b.svg", "cushion/cloth.pdf"]),
    CONTENT,
    min_size=1,
)
DEED = st.one_of(
    st.tuples(st.just("kit"), KIT),
    st.tuples(st.just("write"), NAMES, CONTENT),
    st.tuples(st.just("delete"), NAMES),
)


def files_in(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@given(first=KIT, deeds=st.lists(DEED, max_size=6), last=KIT)
def test_makers_files_stay_and_all_else_is_the_last_kit(first, deeds, last):
    with tempfile.TemporaryDirectory() as place:
        folder = pathlib.Path(place) / "kit"
        ours = {}  # what Laminature wrote last, by name

        def make(kit):
            before = files_in(folder) if folder.exists() else {}
            theirs = {
                n: d for n, d in before.items() if n != "kit.toml" and ours.get(n) != d and kit.get(n) != d
            }
            report = write_kit(folder, kit)
            after = files_in(folder)
            after.pop("kit.toml")
            assert theirs.items() <= after.items()
            assert {n: d for n, d in after.items() if n not in theirs} == {
                n: d for n, d in kit.items() if n not in report.blocked
            }
            kept = {*report.kept_edited, *report.kept_foreign}
            assert {n for n in kept if not (folder / n).is_dir()} == set(theirs)
            assert not report.blocked or kept
            ours.clear()
            ours.update(kit)

        make(first)
        for kind, *what in deeds:
            if kind == "kit":
                make(what[0])
                continue
            path = folder / what[0]
            if kind == "write" and not path.is_dir() and not any(p.is_file() for p in path.parents):
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(what[1])
            elif kind == "delete" and path.is_file():
                path.unlink()
        make(last)
        assert [p.name for p in pathlib.Path(place).iterdir()] == ["kit"]
