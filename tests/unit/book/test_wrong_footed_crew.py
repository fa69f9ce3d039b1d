"""The wrong-footed evening of a crew of fourteen with an empty book: nothing there to be taken, and nothing made up."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.start import answers_in, start
from tests.unit.book.test_wrong_footed_evening import of, refused, run, sums

CREW = Path(__file__).resolve().parents[2] / "kitchens" / "first_evening" / "crew.txt"
DAY = date(2026, 11, 27)
KEPT = (
    ("Green beans", "qt", "jar", ""), ("Potatoes", "lb", "cellar", "yes"), ("Strawberry jam", "hp", "jar", ""),
    ("Tomato juice", "qt", "jar", ""), ("Rolled oats", "lb", "dry", "yes"),
)  # fmt: skip
WRONG = (
    ("tally 1 qt green beans", "the book has 0 qt Green beans, not 1"),
    ("tally 3 oz strawberry jam", "comes in hp, not in 'oz'"),
    ("bring-in 5 lb green beans --place C", "comes in qt, not in 'lb'"),
    ("put-up 7 qt strawberry jam --source card --place C", "as much as 28 hp"),
    ("put-up 2 half-gal tomato juice --place C", "as much as 4 qt"),
    ("put-up 7 qt green beans --source card", "has no place yet"),
    ("put-up 7 qt green beans --source card --place attic", "no place of household.yaml is called 'attic'"),
    ("put-up 7 qt green beans --place C --when 2062", "is ahead of today"),
    ("tally 2 lb potatoes --day 9999-12-31", "within 1900 to 2100"),
    ("suspect 1 qt green beans", "the book has 0 qt Green beans"),
    ("spoiled 1 qt green beans", "the book has 0 qt Green beans"),
    ("open 1 qt green beans", "the book has 0 qt Green beans"),
    ("undo", "there is nothing in the book to take back"),
    ("redo", "nothing has been undone"),
    ("pull", "no menu is announced"),
    ("replan --seconds 2", "no menu is announced"),
)  # fmt: skip


@pytest.fixture
def crew(tmp_path: Path) -> Path:
    folder = tmp_path / "crew"
    start(folder, answers_in(CREW), DAY)
    sheet = folder / "household.yaml"
    sheet.write_text(f"today: {DAY}\n" + sheet.read_text(encoding="utf-8"), encoding="utf-8")
    products = folder / "products.csv"
    heads = products.read_text(encoding="utf-8").splitlines()[0].split(",")
    rows = [dict(zip(("product", "sizes", "kind", "loose"), row, strict=True)) for row in KEPT]
    with products.open("a", encoding="utf-8") as file:
        file.writelines(",".join(row.get(head, "") for head in heads) + "\n" for row in rows)
    assert "Nothing is written in it yet" in run(folder, "book", "log").stdout
    return folder


def test_a_whole_wrong_footed_evening_with_an_empty_book(crew: Path, tmp_path: Path) -> None:
    run(crew, "undo")  # the first word that would write begins the book
    begun = sums(crew)
    assert begun == ({}, {}, {}, 0)
    for said, wrong in WRONG:
        refused(crew, wrong, *said.split())
    book = crew / "put-up-book.sqlite"
    refused(crew, "this is the book itself", "book", "restore", str(book))
    sheet = tmp_path / "count.csv"
    sheet.write_text("product,size,shelf,lot\nGreen beans,qt,3,1\n")
    refused(crew, "the book has no lot 1", "count", "enter", str(sheet))
    assert "Nothing on the shelf is of lot 1" in run(crew, "hold", "lot", "1").stdout
    assert "The book has nothing here" in run(crew, "count", "sheet").stdout
    assert sums(crew) == begun, "everything was wrong, and nothing was entered"

    assert run(crew, "put-up", "28 qt green beans", "--source", "card", "--place", "C").exit_code == 0
    assert run(crew, "put-up", "30 hp strawberry jam", "--source", "card", "--place", "C").exit_code == 0
    assert run(crew, "bring-in", "40 lb rolled oats", "--place", "CS").exit_code == 0
    first = sums(crew)
    assert (of(crew, "Green beans"), of(crew, "Strawberry jam"), of(crew, "Rolled oats")) == (28, 30, 40)
    assert (
        run(crew, "menu", "--days", "1", "--pin", "Fri breakfast: Oats with a spoon of jam", "--announce").exit_code
        == 0
    )
    assert "Entered" in run(crew, "pull").stdout
    pulled = sums(crew)
    assert of(crew, "Rolled oats") < 40
    assert "All of that has been pulled already" in run(crew, "pull").stdout
    assert sums(crew) == pulled, "the same list is not pulled twice"
    refused(crew, "the book has 28 qt Green beans, not 40", "tally", "40 qt green beans")
    refused(crew, "it is Green beans, in qt", "tally", "1 hp strawberry jam", "--lot", "1")
    assert run(crew, "undo").exit_code == 0
    assert sums(crew)[:3] == first[:3]
    for _ in range(3):
        assert run(crew, "undo").exit_code == 0
    assert sums(crew)[:3] == begun[:3], "each thing that was entered is taken back, and nothing else was ever there"
    assert "All is well" in run(crew, "book", "check").stdout
    assert [p.name for p in crew.glob("*aside*")] == []
