"""Slips are added to a file and never lost."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner

from pantrymeals.actions.no_store import bought
from pantrymeals.actions.slips import price_meant, read_slips, write_slip
from pantrymeals.cli.main import app
from pantrymeals.errors import MistakesInFiles, PantryError
from pantrymeals.plans.no_store import Slip


def test_slips_are_read_back_as_written_oldest_first(tmp_path: Path) -> None:
    late = Slip(date(2026, 2, 21), 'coffee, "the dark one"', Fraction("6.50"))
    early = Slip(date(2026, 2, 3), "lemons", Fraction(4))
    write_slip(tmp_path, late)
    before = (tmp_path / "slips.csv").read_bytes()
    write_slip(tmp_path, early)
    assert read_slips(tmp_path) == (early, late)
    assert (tmp_path / "slips.csv").read_bytes().startswith(before)


def test_the_same_slip_once_more_is_written_and_said(tmp_path: Path) -> None:
    """Two people came home with one packet of coffee: nothing is dropped, nothing is doubled unsaid."""
    day = date(2026, 2, 21)
    assert "once more" not in bought(tmp_path, day, "coffee", "6.50")
    assert "once more" not in bought(tmp_path, day, "coffee", "7")
    assert "It stands there once more; if it was bought once, take one line out." in bought(
        tmp_path, day, "Coffee ", "$6.5"
    )
    assert len(read_slips(tmp_path)) == 3
    (tmp_path / "slips.csv").write_text("date,what,price_usd\nnonsense\n")
    assert bought(tmp_path, day, "coffee", "6.50").startswith("Written in slips.csv"), "a slip is never lost for it"


def test_what_would_be_a_formula_is_a_text_and_is_read_back(tmp_path: Path) -> None:
    slip = Slip(date(2026, 2, 21), "=1+1 for 'coffee'", Fraction(6))
    write_slip(tmp_path, slip)
    assert "2026-02-21,'=1+1 for 'coffee',6.00" in (tmp_path / "slips.csv").read_text()
    assert read_slips(tmp_path) == (slip,)


def test_a_line_left_unfinished_is_not_run_into(tmp_path: Path) -> None:
    (tmp_path / "slips.csv").write_text("date,what,price_usd\n2026-02-03,lemons,4.00")
    write_slip(tmp_path, Slip(date(2026, 2, 4), "yeast", Fraction(2)))
    assert [s.what for s in read_slips(tmp_path)] == ["lemons", "yeast"]


def test_a_slip_that_cannot_be_read_is_named_by_its_line(tmp_path: Path) -> None:
    (tmp_path / "slips.csv").write_text("date,what,price_usd\n2026-02-03,lemons,4.00\nyesterday,tea,dear\n")
    with pytest.raises(MistakesInFiles, match=r"slips\.csv:3:1"):
        read_slips(tmp_path)


@pytest.mark.parametrize("text", ["", "dear", "-3", "6.50 lb", "1,000"])
def test_no_price(text: str) -> None:
    with pytest.raises(PantryError, match="no price"):
        price_meant(text)


@pytest.mark.parametrize(("text", "dollars"), [("6.50", "13/2"), ("$4", "4"), ("0,75", "3/4")])
def test_prices(text: str, dollars: str) -> None:
    assert price_meant(text) == Fraction(dollars)


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(PantryError, match="cannot be written"):
        write_slip(tmp_path / "nowhere", Slip(date(2026, 2, 4), "yeast", Fraction(2)))


def test_the_command_writes_one_line(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["slip", "coffee", "6.50", "--larder", str(tmp_path), "--on", "2026-02-21"])
    assert done.exit_code == 0, done.output
    assert "Sat 21 Feb, coffee, $6.50" in done.output
    assert (tmp_path / "slips.csv").read_text() == "date,what,price_usd\n2026-02-21,coffee,6.50\n"
