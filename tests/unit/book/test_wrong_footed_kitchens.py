"""The wrong-footed evening of two other households: a couple with pints, and a metric kitchen in the south."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec import Struct

from pantrymeals.actions.start import answers_in, start
from tests.unit.book.test_wrong_footed_evening import of, refused, run, sums

KITCHENS = Path(__file__).resolve().parents[2] / "kitchens" / "first_evening"
DAY = date(2026, 11, 27)


class House(Struct, frozen=True):
    """A household, what is said wrongly there, and what is said rightly with what it makes of the sums."""

    name: str
    listed: str
    settled: tuple[str, ...]
    wrong: tuple[tuple[str, str], ...]
    right: tuple[tuple[str, str, str], ...]


COUPLE = House(
    "pints", "pints.csv", (),
    (
        ("bring-in 5 lb green beans", "Green beans comes in pt, not in 'lb'"),
        ("tally 3 oz strawberry jam", "comes in hp, not in 'oz'"),
        ("put-up 7 qt strawberry jam", "as much as 28 hp"),
        ("put-up 2 half-gal tomato juice", "as much as 8 pt"),
        ("put-up 9 x 500 ml jar peaches", "comes in pt, not in '500 ml jar'"),
        ("tally 2 potatoes", "does not say in what"),
        ("tally 1 pt beans", "can be more than one product"),
        ("tally 40 pt green beans", "the book has 14 pt Green beans, not 40"),
        ("tally 2 pt salmon --lot 1", "it is Green beans, in pt"),
        ("open 1 pt applesauce --left '1/2 lb'", "lb"),
    ),
    (
        ("tally 3 pt green beans", "Green beans", "-3"),
        ("bring-in 5 lb potatoes", "Potatoes", "5"),
        ("put-up 9 jars of strawberry jam --source card", "Strawberry jam", "9"),
        ("tally 8 oz onions", "Onions", "-1/2"),
    ),
)  # fmt: skip
SOUTH = House(
    "southern", "southern-list.txt", ("--answer", "2=Tomatoes, crushed"),
    (
        ("bring-in 3 kg mince", "as much as 6 x 500 g pack Mince"),
        ("bring-in 3 lb mince", "not in 'lb'"),
        ("put-up 7 qt plum jam", "comes in 250 ml jar, not in 'qt'"),
        ("put-up 6 x 500 ml jar plum jam", "not in '500 ml jar'"),
        ("tally 500 ml peaches", "as much as half a 1 l jar"),
        ("tally 2 spuds", "does not say in what"),
        ("tally 3 oz plum jam", "not in 'oz'"),
        ("tally 400 x 500 ml jar passata", "the book has 18 x 500 ml jar Passata, not 400"),
        ("tally 1 l peaches --lot 1", "it is Tomatoes, crushed, in 500 ml jar"),
        ("tally 1 tomato", "can be more than one product"),
    ),
    (
        ("tally 1 l peaches", "Peaches", "-1"),
        ("bring-in 500 g mince", "Mince", "1"),
        ("put-up 6 x 250ml plum jam --source card", "Plum jam", "6"),
        ("tally 2 kg spuds", "Spuds", "-2"),
    ),
)  # fmt: skip


@pytest.fixture(scope="module", params=[COUPLE, SOUTH], ids=["couple", "south"])
def home(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[House, Path]:
    """The household with its first count, its calendar stopped, and two days announced."""
    house: House = request.param
    folder = tmp_path_factory.mktemp(house.name) / "larder"
    start(folder, answers_in(KITCHENS / f"{house.name}.txt"), DAY)
    sheet = folder / "household.yaml"
    sheet.write_text(f"today: {DAY}\n" + sheet.read_text(encoding="utf-8"), encoding="utf-8")
    assert run(folder, "first-count", str(KITCHENS / house.listed), "--write", *house.settled).exit_code == 0
    assert run(folder, "menu", "--days", "2", "--seconds", "4", "--announce").exit_code == 0
    return house, folder


def words_of(said: str) -> list[str]:
    """The words of a command, one quoted amount kept whole."""
    head, _, quoted = said.partition(" '")
    return [*head.split(), *([quoted.rstrip("'")] if quoted else [])]


def test_a_whole_wrong_footed_evening_elsewhere(home: tuple[House, Path], tmp_path: Path) -> None:
    house, folder = home
    first = house.right[0][1]
    assert run(folder, "bring-in", *words_of(house.right[1][0])[1:]).exit_code == 0  # the book is begun
    assert run(folder, "undo").exit_code == 0
    begun = sums(folder)
    for said, wrong in house.wrong:
        refused(folder, wrong, *words_of(said))
    refused(folder, "is ahead of today", *words_of(house.right[2][0]), "--when", "2062")
    refused(folder, "is ahead of today", *words_of(house.right[0][0]), "--day", "2062-11-27")
    refused(folder, "within 1900 to 2100", *words_of(house.right[0][0]), "--day", "9999-12-31")
    refused(folder, "this is the book itself", "book", "restore", str(folder / "put-up-book.sqlite"))
    sheet = tmp_path / "count.csv"
    sheet.write_text(f'product,size,shelf,lot\n"{house.right[2][1]}",{_size(house)},3,1\n')
    refused(folder, "lot 1 is", "count", "enter", str(sheet))
    assert sums(folder) == begun, "so far everything was wrong, and nothing was entered"

    there = {name: of(folder, name) for _, name, _ in house.right}
    for said, name, more in house.right:
        assert run(folder, *words_of(said)).exit_code == 0, said
        assert of(folder, name) == there[name] + Fraction(more), said
    assert run(folder, "suspect", "1", first, "--leave-load").exit_code == 0
    assert run(folder, "spoiled", "1", first, "--leave-load").exit_code == 0
    assert (of(folder, first), of(folder, first, "suspect")) == (there[first] + Fraction(house.right[0][2]) - 1, 0)

    assert "Entered" in run(folder, "pull", "--on", str(DAY)).stdout
    pulled = sums(folder)
    assert "pulled already" in run(folder, "pull", "--on", str(DAY)).stdout
    assert run(folder, "replan", "--seconds", "2", "--announce").exit_code == 0
    again = run(folder, "pull").stdout
    assert "All of that has been pulled already" in again
    assert "After it comes the menu announced for Sat 28 Nov" in again
    assert sums(folder) == pulled, "neither the second pull nor the menu planned anew moved a jar"

    for _ in range(len(house.right) + 3):
        assert run(folder, "undo").exit_code == 0
    now = sums(folder)
    assert now[:3] == begun[:3], "each thing that was entered is taken back, and nothing else was ever there"
    assert "All is well" in run(folder, "book", "check").stdout
    assert [p.name for p in folder.glob("*aside*")] == []


def _size(house: House) -> str:
    return "hp" if house is COUPLE else "250 ml jar"
