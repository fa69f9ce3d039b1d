"""The command line itself: quick help, kind errors, exit codes, quiet pipes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = (
    "ortools",
    "highspy",
    "pandas",
    "numpy",
    "scipy",
    "pydantic",
    "openpyxl",
    "typst",
    "segno",
    "yaml",
    "sqlite3",
)


def run(*args: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pantrymeals", *args],
        capture_output=True,
        text=True,
        cwd=cwd,
        timeout=120,
        check=False,
    )


def test_help_imports_nothing_heavy() -> None:
    """The quickness of --help, guarded by what it loads: a clock would judge the machine."""
    loaded = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, pantrymeals.cli as c\n"
            "try: c.app(['--help'])\n"
            "except SystemExit: pass\n"
            "print('LOADED', *sorted({m.split('.')[0] for m in sys.modules}))",
        ],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    assert "Usage" in loaded
    names = loaded.rsplit("LOADED", 1)[1].split()
    assert [name for name in HEAVY if name in names] == []


def test_every_command_has_help_of_its_own() -> None:
    listed = run("--help").stdout.split("Commands:")[1]
    for command in ("menu", "weeks", "schema"):
        assert f"  {command} " in listed
        assert run(command, "--help").stdout.startswith("Usage:")


def test_the_version_is_the_packages() -> None:
    from pantrymeals import __version__

    assert run("--version").stdout == f"pantrymeals {__version__}\n"


def test_a_folder_that_is_not_there_is_said_without_a_traceback(tmp_path: Path) -> None:
    done = run("menu", "--larder", str(tmp_path / "nowhere"))
    assert done.returncode == 1
    assert done.stdout == ""
    assert "nowhere" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_empty_folder_is_said_without_a_traceback(tmp_path: Path) -> None:
    done = run("menu", "--larder", str(tmp_path))
    assert done.returncode == 1
    assert "household.yaml" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--from", "2026-02-30"], "is not a day"),
        (["--days", "week"], "--days"),
        (["--sevn"], "No such option"),
    ],
)
def test_a_command_typed_wrongly_exits_2(args: list[str], said: str) -> None:
    done = run("menu", *args)
    assert done.returncode == 2
    assert said in done.stderr


def test_the_schema_command_prints_a_schema() -> None:
    schema = json.loads(run("schema").stdout)
    assert schema["title"] == "MenuFile"
    assert set(schema["required"]) >= {"meals", "verdict", "pull", "run_out", "unreachable", "proof"}


def test_a_reader_that_goes_away_is_no_error() -> None:
    done = subprocess.run(
        f"'{sys.executable}' -m pantrymeals schema | head -1",
        shell=True,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout == "{\n"
    assert done.stderr == ""
