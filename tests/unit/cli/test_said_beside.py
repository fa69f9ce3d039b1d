"""A past 'today:' and an old count stand on every sheet that is dated by them, not on the screen alone."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from pantrymeals.cli.main import app

HUT = Path(__file__).parents[2] / "kitchens" / "hut"
DATED, OLD = "Dated 2026-01-17, as household.yaml says", "The count is of"


def run(folder: Path, *args: str) -> Result:
    return CliRunner().invoke(app, [*args, "--larder", str(folder)], catch_exceptions=False)


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Result]:
    folder = tmp_path_factory.mktemp("old") / "hut"
    shutil.copytree(HUT, folder)
    files = ["--pdf", str(folder / "m.pdf"), "--csv", str(folder / "m.csv"), "--xlsx", str(folder / "m.xlsx")]
    return folder, run(folder, "menu", "--days", "2", "--seconds", "3", *files)


def test_they_head_the_text_and_each_page_and_stand_in_the_tables(written: tuple[Path, Result]) -> None:
    folder, said = written
    assert said.exit_code == 0, said.output
    assert said.stdout.startswith(DATED)
    assert OLD in said.stdout[:600]
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(folder / "m.pdf").pages]
    assert all(DATED in page and OLD in page for page in pages)
    (beside,) = folder.glob("m*beside*.csv")
    assert DATED in beside.read_text(encoding="utf-8")
    assert any("beside" in name for name in load_workbook(folder / "m.xlsx").sheetnames)


def test_json_has_them_in_a_field_and_is_read_back(written: tuple[Path, Result], tmp_path: Path) -> None:
    folder, _ = written
    said = run(folder, "menu", "--days", "2", "--seconds", "3", "--json")
    file = tmp_path / "menu.json"
    file.write_text(said.stdout, encoding="utf-8")
    assert json.loads(said.stdout)["beside"][0].startswith(DATED)
    assert run(folder, "replan", "--plan", str(file), "--seconds", "3").exit_code == 0
    assert json.loads(run(folder, "eat-first", "--json").stdout)["beside"]


def test_nothing_is_said_on_a_day_of_its_own(written: tuple[Path, Result]) -> None:
    said = run(written[0], "eat-first", "--today", "2026-01-17", "--json")
    assert "beside" not in json.loads(said.stdout)


def test_a_reckoned_shelf_is_said_in_the_tables_too(written: tuple[Path, Result], tmp_path: Path) -> None:
    far = ["--from", "2026-03-02", "--days", "2", "--seconds", "3", "--csv", str(tmp_path / "far.csv")]
    assert run(written[0], "menu", *far).exit_code == 0
    (file,) = tmp_path.glob("far*reckoned*.csv")
    assert "17 January" in file.read_text(encoding="utf-8")
    (foreseen,) = tmp_path.glob("far*run-out*.csv")
    with foreseen.open(encoding="utf-8", newline="") as file:
        said = {row["reckoned from (day of the count; nothing: counted)"] for row in csv.DictReader(file)}
    assert said == {"2026-01-17"}


def test_weeks_that_begin_months_ahead_are_reckoned_and_say_so(written: tuple[Path, Result], tmp_path: Path) -> None:
    asked = ["--weeks", "1", "--from", "2026-06-01", "--seconds", "2", "--csv", str(tmp_path / "far.csv")]
    done = run(written[0], "weeks", *asked)
    assert done.exit_code == 0
    assert "# One week at" in done.stdout
    assert "## Week 1: Monday 1 to Sunday 7 June 2026" in done.stdout
    assert "Reckoned, not counted: the shelf of Monday 1 June is the count of Saturday 17 January" in done.stdout
    assert "| product | reckoned, 1 Jun | reckoned, 8 Jun |" in done.stdout
    (foreseen,) = tmp_path.glob("far*run-out*.csv")
    assert ",2026-01-17," in foreseen.read_text(encoding="utf-8")
