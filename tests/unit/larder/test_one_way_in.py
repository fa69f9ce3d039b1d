"""The page, a command that plans and one that looks ahead read one household, on the day a crop has come in too."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

from typer.testing import CliRunner

from pantrymeals.actions.larder import load_larder
from pantrymeals.actions.with_book import open_with_book
from pantrymeals.cli.main import app
from pantrymeals.serve.house import House

DAY = date(2026, 7, 28)


def test_who_asks_makes_no_difference(demo_folder: Path, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(demo_folder, folder, ignore=shutil.ignore_patterns("*.sqlite-*", "__pycache__"))
    before = load_larder(folder, DAY, DAY).products["Green beans"].must_last_to
    said = ["put-up", "28", "qt", "Green beans", "--source", "tested, put-up book p. 12", "--day", DAY.isoformat()]
    done = CliRunner().invoke(app, [*said, "--larder", str(folder)])
    assert done.exit_code == 0, done.output
    page, command, ahead = (
        House(folder, DAY).household(),
        load_larder(folder, DAY, DAY),
        open_with_book(folder, DAY, DAY),
    )
    after = page.products["Green beans"].must_last_to
    assert before is not None
    assert after is not None
    assert (before.year, after.year) == (2026, 2027), "the crop of this year is in: the old lasts to the next"
    assert page == command == ahead.household
