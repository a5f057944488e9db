"""start.py: what a newcomer types first."""

import ast
import importlib.util
import json
import pathlib
import sys
import tomllib

import pytest

ROOT = pathlib.Path(__file__).parents[2]


@pytest.fixture
def start(tmp_path, monkeypatch):
    """start.py, as if it stood in a folder of its own, with an installer that only takes notes."""
    spec = importlib.util.spec_from_file_location("start", ROOT / "start.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    (tmp_path / "pyproject.toml").write_text('[dependency-groups]\ntest = ["pytest>=8"]\nlint = ["ruff"]\n')
    monkeypatch.setattr(module, "ROOT", tmp_path)
    monkeypatch.setattr(module, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(module, "STAMP", tmp_path / ".venv" / "stamp.json")
    monkeypatch.setattr(module, "LOG", tmp_path / ".venv" / "log")
    (tmp_path / ".venv").mkdir()
    module.installed = []

    def note(command, stdout, **_rest):
        module.installed.append(command)
        stdout.write(getattr(module, "output", b""))
        return getattr(module, "code", 0)

    monkeypatch.setattr(module.subprocess, "call", note)
    return module


def test_an_old_python_can_read_it():
    ast.parse((ROOT / "start.py").read_text("utf-8"), feature_version=(3, 6))


def test_it_needs_only_the_standard_library():
    tree = ast.parse((ROOT / "start.py").read_text("utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.split(".")[0] for name in names} <= sys.stdlib_module_names


def test_the_readme_names_the_two_commands_and_ci_runs_the_readmes():
    lines = (ROOT / "README.md").read_text("utf-8").splitlines()
    assert "python3 start.py" in lines
    assert "python3 start.py test" in lines
    assert r"grep -m1 -xE 'python3 start\.py test' README.md" in (ROOT / ".ci" / "run").read_text("utf-8")


def test_an_old_python_is_told_what_it_lacks(start, monkeypatch, capsys):
    monkeypatch.setattr(start.sys, "version_info", (3, 8, 10))
    assert start.main([]) == 2
    assert "needs Python 3.11 or newer; this is Python 3.8.10" in capsys.readouterr().out


def test_a_python_without_venv_is_told_what_to_install(start, monkeypatch, capsys):
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None if name == "ensurepip" else True)
    assert start.main([]) == 2
    assert "python3-venv" in capsys.readouterr().out


def test_the_test_group_is_read_from_pyproject(start, monkeypatch):
    start.install(("test",))
    assert start.installed[0][-1] == "pytest>=8"
    monkeypatch.setattr(start, "ROOT", ROOT)
    with (ROOT / "pyproject.toml").open("rb") as file:
        assert start.requirements("test") == tomllib.load(file)["dependency-groups"]["test"]


def test_nothing_is_installed_again_until_pyproject_changes(start):
    start.install(())
    start.install(())
    assert len(start.installed) == 1
    start.install(("test",))
    start.install(())
    start.install(("test",))
    assert len(start.installed) == 2
    with (start.ROOT / "pyproject.toml").open("a") as file:
        file.write("# changed\n")
    start.install(("test",))
    assert len(start.installed) == 3


def test_a_broken_stamp_is_no_stamp(start):
    start.STAMP.write_text("{")
    start.install(())
    assert json.loads(start.STAMP.read_text())["groups"] == []


@pytest.mark.parametrize(
    ("output", "words"),
    [(b"NewConnectionError: refused", "needs the internet once"), (b"error: no space", "error: no space")],
)
def test_a_failed_installation_says_why_and_leaves_no_stamp(start, output, words):
    start.code, start.output = 1, output
    with pytest.raises(start.Trouble, match=words):
        start.install(())
    assert not start.STAMP.exists()


def test_a_folder_that_is_no_virtual_environment_is_not_cleared(start):
    (start.VENV / "thesis.txt").write_text("irreplaceable")
    with pytest.raises(start.Trouble, match="in the way"):
        start.make_venv()
    assert (start.VENV / "thesis.txt").exists()


def test_the_demo_makes_a_kit_of_every_example_and_says_what_to_open(start, monkeypatch, capsys):
    (start.ROOT / "examples").mkdir()
    for name in ("stool.toml", "table.toml"):
        (start.ROOT / "examples" / name).write_text("")
    ran = []
    monkeypatch.setattr(start, "run", lambda arguments: ran.append(arguments) or int("stool" in arguments[2]))
    assert start.demo() == 1
    said = capsys.readouterr().out
    assert [r[:2] for r in ran] == [["laminature", "kit"]] * 2
    assert "Made 1 of 2 kits." in said
    assert str(start.ROOT / "kits" / "table") in said
    assert "README.txt" in said


def test_with_no_argument_the_work_table_opens_after_the_demo(start, monkeypatch):
    ran = []
    monkeypatch.setattr(start, "make_venv", lambda: None)
    monkeypatch.setattr(start, "install", lambda groups: None)
    monkeypatch.setattr(start, "demo", lambda: ran.append("demo") or 1)
    monkeypatch.setattr(start, "run", lambda arguments: ran.append(arguments) or 0)
    assert start.main([]) == 1, "what the demo has to say is not lost"
    assert ran == ["demo", ["laminature", "open"]]


def test_it_ends_with_the_commands_exit_code(start, monkeypatch):
    monkeypatch.setattr(start, "venv_python", lambda: pathlib.Path(sys.executable))
    assert start.run(["timeit", "--no-such-option"]) == 2
