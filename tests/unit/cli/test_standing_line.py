"""The standing line stands under every sheet and screen of the demo that speaks of jars, once, in full or in short."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pantrymeals.cli.main import app

DEMO = Path(__file__).parents[3] / "demo"
LINE = (
    "Follow a tested recipe, process for your altitude, look over every jar before you open it. If in doubt, throw it "
    "out without tasting. Ask your Extension office or national food-safety body."
)
SHORT = "Look every jar over before you open it; in doubt, throw it out without tasting."

LOOKED_AT = (
    "lots green beans", "history applesauce", "part-jars", "empties", "lids", "run-out", "eat-first", "freezer-off",
    "sitters", "season-notes", "count sheet N1", "count tally N1", "explain salsa", "dish Bean cakes and salsa",
    "menu --days 1 --seconds 4", "weeks --weeks 1 --ends Sun --seconds 4",
)  # fmt: skip
ENTERED = (
    "put-up 2 qt applesauce", "tally 1 hp raspberry jam", "open salsa", "give 1 hp raspberry jam to Nell",
    "move 1 qt applesauce to K", "make-over 1 pt beets, plain", "hold applesauce", "release applesauce --why asked",
    "suspect 1 qt green beans", "spoiled 1 qt applesauce", "broken 1 qt applesauce", "bring-in 1 qt applesauce",
)  # fmt: skip


def said(folder: Path, words: str) -> str:
    result = CliRunner().invoke(app, [*words.split(), "--larder", str(folder)])
    assert result.exit_code == 0, (words, result.output, result.exception)
    return " ".join(result.stdout.split())


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("standing") / "tarrow"
    return Path(shutil.copytree(DEMO, made, ignore=shutil.ignore_patterns("*.sqlite*", "announced")))


@pytest.mark.parametrize("words", LOOKED_AT)
def test_every_screen_that_speaks_of_jars_has_it_once(folder: Path, words: str) -> None:
    assert said(folder, words).count(LINE) == 1


def test_what_is_entered_has_it_in_full_first_and_short_after(tmp_path: Path) -> None:
    folder = shutil.copytree(DEMO, tmp_path / "tarrow", ignore=shutil.ignore_patterns("*.sqlite*", "announced"))
    told = [said(folder, f"{words} --day 2026-01-18") for words in ENTERED]
    assert [text.count(LINE) for text in told] == [1] + [0] * (len(ENTERED) - 1)
    assert [text.count(SHORT) for text in told] == [0] + [1] * (len(ENTERED) - 1)


def test_what_is_no_jar_has_none(tmp_path: Path) -> None:
    folder = shutil.copytree(DEMO, tmp_path / "tarrow", ignore=shutil.ignore_patterns("*.sqlite*", "announced"))
    text = said(folder, "tally 1 lb onions --day 2026-01-18")
    assert LINE not in text
    assert SHORT not in text
