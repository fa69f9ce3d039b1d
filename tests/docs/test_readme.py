"""The README says what is so: its commands are the program's, its excerpt is real output."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer

from pantrymeals.cli.main import app

ROOT = Path(__file__).parents[2]
README = ROOT / "README.md"
TABLE = re.compile(r"(\| command \| what it does \|\n\|---\|---\|\n)((?:\|.*\|\n)*)")
EXCERPT = re.compile(r"(<!-- excerpt.*?-->\n+```\n)(.*?)(```\n)", re.DOTALL)


def commands(group: Any = None, before: str = "") -> Iterator[tuple[str, str]]:
    """Every command's name with its group's, and the first sentence of its help."""
    group = group or typer.main.get_command(app)
    for name in group.list_commands(None):
        command = group.get_command(None, name)
        if hasattr(command, "list_commands"):
            yield from commands(command, f"{before}{name} ")
        elif not command.hidden:
            yield f"{before}{name}", " ".join((command.help or "").split("\n\n")[0].split())


def test_every_command_stands_in_the_table_with_its_own_words() -> None:
    rows = "".join(f"| `{name}` | {what} |\n" for name, what in commands())
    text = README.read_text(encoding="utf-8")
    if os.environ.get("RENEW_GOLDEN"):
        text = TABLE.sub(lambda m: m[1] + rows, text)
        README.write_text(text, encoding="utf-8")
    found = TABLE.search(text)
    assert found is not None
    assert found[2] == rows


def test_every_command_says_what_it_does() -> None:
    assert [name for name, what in commands() if not what] == []


def excerpt(text: str) -> str:
    """The first two days, the head of the pull list, what pinches most and how good the menu is."""
    lines = text.splitlines()
    third_day = [n for n, line in enumerate(lines) if re.match(r"[A-Z][a-z]{2} \d", line)][2]
    pull, pinches = (next(n for n, x in enumerate(lines) if x.startswith(h)) for h in ("THE PULL", "WHAT PINCHES"))
    return "\n".join([*lines[:third_day], "...", "", *lines[pull : pull + 16], "...", "", *lines[pinches:]]) + "\n"


def test_the_excerpt_is_what_the_demo_prints() -> None:
    text = README.read_text(encoding="utf-8")
    real = excerpt((ROOT / "tests" / "golden" / "demo_week.txt").read_text(encoding="utf-8"))
    if os.environ.get("RENEW_GOLDEN"):
        text = EXCERPT.sub(lambda m: f"{m[1]}{real}{m[3]}", text)
        README.write_text(text, encoding="utf-8")
    found = EXCERPT.search(text)
    assert found is not None
    assert found[2] == real


def readme_commands() -> list[str]:
    text = README.read_text(encoding="utf-8")
    return [line for block in re.findall(r"```\n(.*?)```", text, re.DOTALL) for line in block.splitlines()]


def test_the_two_commands_are_one_line_each_and_ci_runs_the_second() -> None:
    written = [line for line in readme_commands() if ".venv/bin" in line]
    assert len(written) == 2
    assert written[0].endswith(".venv/bin/pantrymeals menu --larder demo")
    assert written[1] in (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()


@pytest.mark.slow
def test_the_first_command_plans_the_demo() -> None:
    """The part of the first command after the installing, as a reader would type it."""
    done = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "menu", "--larder", "demo"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    for heading in ("The menu at the Tarrow table", "THE PULL LIST", "WHAT PINCHES"):
        assert heading in done.stdout
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert done.stdout.count(" supper    ") == 7
    assert len(done.stdout.splitlines()) <= 110


def test_the_wheel_carries_the_licence_the_data_and_the_starter_book() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    wheel = settings["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert wheel["packages"] == ["pantrymeals"]
    assert wheel["force-include"] == {"recipes": "pantrymeals/starter_recipes"}
    assert settings["project"]["license-files"] == ["pantrymeals/LICENSE"]
    licence = (ROOT / "pantrymeals" / "LICENSE").read_text(encoding="utf-8")
    assert "Apache License" in licence
    assert "END OF TERMS AND CONDITIONS" in licence
    assert (ROOT / "pantrymeals" / "reports" / "pages" / "sheet.typ").is_file()
    # A build leaves out what git leaves out.
    ignored = subprocess.run(
        [
            "git",
            "check-ignore",
            "pantrymeals/reports/pages/sheet.typ",
            "pantrymeals/data/foods.csv",
            "pantrymeals/LICENSE",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ignored.stdout == ""


def test_tested_releases_fit_the_ranges() -> None:
    """Every runtime and test package has its tested release in the constraints."""
    lines = (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8").split()
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.]+", line) for line in lines)
    pinned = {re.sub(r"[-_.]+", "-", line.split("==")[0]).lower() for line in lines}
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    names = {re.sub(r"[-_.]+", "-", re.split(r"[<>=\[ ]", text)[0]).lower() for text in wanted}
    assert names <= pinned
