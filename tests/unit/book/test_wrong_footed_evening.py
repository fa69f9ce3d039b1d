"""A whole evening on which everything is said wrongly once: the sums are as they should be, line by line."""

from __future__ import annotations

import shutil
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from pantrymeals.book.book import open_book
from pantrymeals.book.connect import BOOK_FILE
from pantrymeals.cli.main import app
from pantrymeals.errors import PantryError

DEMO = Path(__file__).parents[3] / "demo"
KINDS = shutil.ignore_patterns("*.sqlite*", "announced")

Sums = dict[tuple[str, str, str, str, str], Fraction]


@pytest.fixture
def evening(tmp_path: Path) -> Path:
    folder = Path(shutil.copytree(DEMO, tmp_path / "tarrow", ignore=KINDS))
    assert run(folder, "menu", "--days", "2", "--seconds", "8", "--announce").exit_code == 0
    assert run(folder, "book", "log").exit_code == 0
    return folder


def run(folder: Path, *words: str) -> Result:
    return CliRunner().invoke(app, [*words, "--larder", str(folder)], catch_exceptions=True)


def refused(folder: Path, wrong: str, *words: str) -> None:
    """Said with what is wrong, and nothing entered."""
    before = sums(folder)
    said = run(folder, *words)
    assert said.exit_code in (1, 2), (words, said.output)
    assert wrong in (str(said.exception) if isinstance(said.exception, PantryError) else said.output), words
    assert sums(folder) == before, words


def sums(folder: Path) -> tuple[Sums, Sums, dict[tuple[str, str], int], int]:
    """Every lot at each place in each state, every part jar, the glass, and how many entries there are."""
    with open_book(folder / BOOK_FILE, reading=True) as book:
        lots = {
            (h.lot.product, h.lot.size, h.lot.put_up, h.place, f"{h.state} {h.number}"): h.count for h in book.on_hand()
        }
        parts = {
            (j.part.product, j.part.size, f"{j.part.opened}", j.part.place, j.part.note): j.left
            for j in book.part_jars()
        }
        return lots, parts, {thing: n for thing, n in book.glass().items() if n}, book.number_of_entries()


def of(folder: Path, product: str, state: str = "") -> Fraction:
    with open_book(folder / BOOK_FILE, reading=True) as book:
        return sum((h.count for h in book.on_hand(product) if h.state == state), Fraction(0))


def wrong_units(folder: Path) -> None:
    refused(folder, "Sauerkraut comes in qt, not in 'lb'", "bring-in", "5", "lb", "sauerkraut")
    refused(folder, "Raspberry jam comes in hp, not in 'oz'", "tally", "3 oz raspberry jam")
    refused(folder, "Raspberry jam comes in hp, not in 'qt'", "put-up", "7 qt raspberry jam")
    refused(folder, "Tomato juice comes in qt, not in 'half-gal'", "put-up", "2 half-gal tomato juice")
    refused(folder, "can be more than one product", "tally", "2 pt green beans")


def wrong_days_and_files(folder: Path, tmp_path: Path) -> None:
    refused(folder, "is ahead of today", "put-up", "1 hp raspberry jam", "--when", "2062")
    refused(folder, "is ahead of today", "tally", "raspberry jam", "--day", "2062-01-17")
    refused(folder, "within 1900 to 2100", "tally", "raspberry jam", "--day", "9999-12-31")
    refused(folder, "this is the book itself", "book", "restore", str(folder / BOOK_FILE))
    refused(folder, "something other than a put-up book", "book", "restore", str(folder / "products.csv"))
    sheet = tmp_path / "n3.csv"
    sheet.write_text("place,product,size,shelf,lot\nN3,Raspberry jam,hp,3,1\n")
    refused(folder, "lot 1 is Applesauce in qt", "count", "enter", str(sheet))


def test_a_whole_wrong_footed_evening(evening: Path, tmp_path: Path) -> None:
    begun = sums(evening)
    wrong_units(evening)
    wrong_days_and_files(evening, tmp_path)
    assert sums(evening) == begun, "so far everything was wrong, and nothing was entered"

    assert "Entered" in run(evening, "pull").stdout
    pulled = sums(evening)
    assert pulled[3] == begun[3] + 1
    assert "All of that has been pulled already" in run(evening, "pull").stdout
    replanned = run(evening, "replan", "--seconds", "2")
    assert isinstance(replanned.exception, PantryError)
    assert "all that is left of the menu has been pulled" in str(replanned.exception)
    assert sums(evening) == pulled, "the same list is not pulled twice, nor planned anew"

    beans = of(evening, "Green beans")
    assert run(evening, "suspect", "1 qt green beans", "--leave-load").exit_code == 0
    assert (of(evening, "Green beans"), of(evening, "Green beans", "suspect")) == (beans - 1, 1)
    assert run(evening, "spoiled", "1 qt green beans", "--leave-load").exit_code == 0
    assert (of(evening, "Green beans"), of(evening, "Green beans", "suspect")) == (beans - 1, 0)

    eggs = of(evening, "Eggs, fresh")
    assert run(evening, "bring-in", "a dozen eggs").exit_code == 0
    assert of(evening, "Eggs, fresh") == eggs + 12

    for _ in range(4):
        assert run(evening, "undo").exit_code == 0
    now = sums(evening)
    assert now[:3] == begun[:3], "each thing that was entered is taken back, and nothing else was ever there"
    assert now[3] == begun[3] + 8
    assert "All is well" in run(evening, "book", "check").stdout
    assert [p.name for p in evening.glob("*aside*")] == []
