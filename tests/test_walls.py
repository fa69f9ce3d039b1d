"""The checks that need no household: style, types, and imports that point one way."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

CHECKS = {
    "style": ["-m", "ruff", "check", "--no-cache", "."],
    "format": ["-m", "ruff", "format", "--check", "--no-cache", "."],
    "types": ["-m", "mypy"],
    "layers": ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()", "--no-cache"],
}


@pytest.mark.slow
@pytest.mark.parametrize("name", CHECKS)
def test_check_finds_nothing(name: str) -> None:
    done = subprocess.run(
        [sys.executable, *CHECKS[name]], cwd=ROOT, capture_output=True, text=True, timeout=600, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_no_file_is_longer_than_a_sitting() -> None:
    long = {
        path.relative_to(ROOT).as_posix(): lines
        for path in ROOT.glob("pantrymeals/**/*.py")
        if (lines := len(path.read_text(encoding="utf-8").splitlines())) > 400
    }
    assert long == {}


def test_no_two_classes_of_the_package_have_one_name() -> None:
    named: dict[str, list[str]] = {}
    for path in ROOT.glob("pantrymeals/**/*.py"):
        for name in re.findall(r"^class (\w+)", path.read_text(encoding="utf-8"), re.MULTILINE):
            named.setdefault(name, []).append(path.relative_to(ROOT).as_posix())
    assert {name: where for name, where in named.items() if len(where) > 1} == {}


def test_what_is_replaced_is_a_field_of_some_record() -> None:
    """mypy does not read the names that `replace` is given."""
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in ROOT.glob("pantrymeals/**/*.py")}
    fields = {
        line.target.id
        for tree in trees.values()
        for record in ast.walk(tree)
        if isinstance(record, ast.ClassDef)
        for line in record.body
        if isinstance(line, ast.AnnAssign) and isinstance(line.target, ast.Name)
    }
    calls = [
        (path.name, call.lineno, {given.arg for given in call.keywords if given.arg})
        for path, tree in trees.items()
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "replace"
    ]
    assert len(calls) > 100
    assert [call for call in calls if not call[2] <= fields] == []


def modules() -> dict[str, Path]:
    """Every module of the package by its dotted name."""
    found = {path.relative_to(ROOT).with_suffix(""): path for path in ROOT.glob("pantrymeals/**/*.py")}
    return {".".join(name.parts).removesuffix(".__init__"): path for name, path in found.items()}


def imports_of(path: Path, known: dict[str, Path]) -> Iterator[str]:
    """What a module imports of the package, at its head or within a function; what types alone want is not loaded."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for_types = {
        inner
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module in known and node not in for_types:
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                yield whole if whole in known else str(node.module)


def test_no_import_circle_not_even_through_what_is_loaded_late() -> None:
    known = modules()
    graph = {name: set(imports_of(path, known)) - {name} for name, path in known.items()}
    assert sum(map(len, graph.values())) > 2000
    TopologicalSorter(graph).prepare()  # raises CycleError, naming the modules


def test_no_room_holds_more_than_thirty_in_a_hundred_lines() -> None:
    lines: dict[str, int] = {}
    for name, path in modules().items():
        room = name.split(".")[1] if "." in name else ""
        lines[room] = lines.get(room, 0) + len(path.read_text(encoding="utf-8").splitlines())
    most = max(lines, key=lambda room: lines[room])
    assert lines[most] <= 0.3 * sum(lines.values()), most


def test_top_level_holds_only_what_was_agreed() -> None:
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pantrymeals", "recipes", "tests", "demo"}
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.splitlines()
    tops = {line.split("/")[0] for line in tracked}
    assert {top for top in tops if not top.startswith(".")} <= agreed
