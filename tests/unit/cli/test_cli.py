"""The command line itself: quick help, kind errors, exit codes, quiet pipes."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.main import get_command

from pantrymeals.cli.main import app, only_what_is_said

ROOT = Path(__file__).parents[3]

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
    "fastapi",
    "starlette",
    "uvicorn",
    "jinja2",
)


def run(*args: str, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "pantrymeals", *args], capture_output=True, text=True, cwd=cwd, timeout=120, check=False
    )


def test_help_imports_nothing_heavy() -> None:
    """The quickness of --help, guarded by what it loads: a clock would judge the machine."""
    loaded = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, pantrymeals.cli.main as c\n"
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


def _loaded_by(*words: str) -> set[str]:
    """The modules that one command loads."""
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys, pantrymeals.cli.main as c\n"
            f"sys.argv = ['pantrymeals', *{words!r}]\n"
            "try: c.main()\n"
            "except SystemExit: pass\n"
            "print('LOADED', *sys.modules)",
        ],
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    return set(told.rsplit("LOADED", 1)[1].split())


def test_a_stroke_in_the_tally_loads_no_report_planner_or_schema(tmp_path: Path) -> None:
    """As with --help: its quickness is guarded by what it loads."""
    copy = tmp_path / "demo"
    shutil.copytree(ROOT / "demo", copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    heavy = {"rich.console", "openpyxl", "pydantic", "numpy", "pandas", "xlsxwriter", "ortools",
             "pantrymeals.reports.json.plan", "pantrymeals.files.household", "pantrymeals.actions.menu"}  # fmt: skip
    assert _loaded_by("tally", "raspberry jam", "--larder", str(copy)) & {*heavy, "pantrymeals.plans.menu"} == set()
    menu = str(ROOT / "tests" / "golden" / "demo_week.json")
    unread = {f"pantrymeals.{room}" for room in ("plans.outlook", "reports.sheet")}
    assert _loaded_by("pull", menu, "--larder", str(copy)) & (heavy | unread) == set()
    for looking in (("lots", "raspberry jam"), ("part-jars",), ("book", "log")):
        assert _loaded_by(*looking, "--larder", str(copy)) & {"pandas", "numpy", "xlsxwriter", "ortools"} == set()
    alone = _loaded_by("book", "export", str(tmp_path / "book.csv"), "--larder", str(copy))
    assert alone & {*heavy, "yaml", "pantrymeals.files.products", "pantrymeals.records.store"} == set()
    sheet = _loaded_by("count", "sheet", "--out", str(tmp_path / "count.csv"), "--larder", str(copy))
    assert sheet & {"rich.console", "pandas", "numpy", "xlsxwriter", "openpyxl", "pantrymeals.plans.menu"} == set()
    glass = _loaded_by("empties", "--larder", str(copy))
    assert glass & {"pantrymeals.files.season", "pandas"} == set()


def test_only_the_command_that_is_said_is_built() -> None:
    def names(program: typer.Typer) -> tuple[list[str | None], list[str | None]]:
        groups: list[str | None] = [str(g.name) for g in program.registered_groups]
        return [c.name for c in program.registered_commands], groups

    everything = names(app)
    assert len(everything[0]) > 30
    assert None not in everything[0], "a command without a name of its own could not be picked out"
    for words, left in (
        (["tally", "jam"], (["tally"], [])),
        (["count", "sheet"], ([], ["count"])),
        (["tallyy"], everything),
        (["--help"], everything),
        ([], everything),
    ):
        assert names(only_what_is_said(app, words)) == left
        assert names(app) == everything


def test_a_list_of_commands_builds_no_options_and_the_one_said_has_all_of_its_own() -> None:
    def options(*words: str) -> dict[str, int]:
        program: Any = get_command(only_what_is_said(app, words))
        commands = {**program.commands, **getattr(program.commands.get("count"), "commands", {})}
        return {name: len(command.params) for name, command in commands.items()}

    whole: Any = get_command(app)
    assert len(whole.commands["tally"].params) > 5
    assert options("tally", "jam") == {"tally": len(whole.commands["tally"].params)}
    assert set(options("--help").values()) <= {0, 1}  # of a group typer knows --help
    assert options("count", "sheet")["sheet"] == len(whole.commands["count"].commands["sheet"].params)


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
    [(["--from", "2026-02-30"], "is not a day"), (["--days", "week"], "--days"), (["--sevn"], "No such option")],
)
def test_a_command_typed_wrongly_exits_2(args: list[str], said: str) -> None:
    done = run("menu", *args)
    assert done.returncode == 2
    assert said in done.stderr


def test_the_schema_command_prints_a_schema() -> None:
    schema = json.loads(run("schema").stdout)
    assert (schema["title"], schema["version"]) == ("pantrymeals menu 3", 3)
    assert set(schema["required"]) >= {"meals", "verdict", "pull", "run_out", "unreachable", "proof"}


def test_a_reader_that_goes_away_is_no_error() -> None:
    done = subprocess.run(
        f"'{sys.executable}' -m pantrymeals schema | head -1", shell=True, capture_output=True, text=True, check=False
    )
    assert done.stdout == "{\n"
    assert done.stderr == ""
