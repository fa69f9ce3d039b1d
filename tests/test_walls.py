"""The checks that need no household: style, types, and imports that point one way."""

from __future__ import annotations

import re
import subprocess
import sys
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


def test_top_level_holds_only_what_was_agreed() -> None:
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "pantrymeals", "recipes", "tests", "demo"}
    tracked = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.splitlines()
    tops = {line.split("/")[0] for line in tracked}
    assert {top for top in tops if not top.startswith(".")} <= agreed
