"""The count sheet and what comes back on it: the shelf is right, and nobody is blamed."""

from __future__ import annotations

import csv
import io
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.book.count import count_lines, differences, read_sheet, sheet_lines
from pantrymeals.actions.book.tables import count_sheet
from pantrymeals.actions.book.take import Wanted, take
from pantrymeals.actions.book.to_print import labels
from pantrymeals.actions.book.words import understand
from pantrymeals.book.book import Book
from pantrymeals.book.lines import LotFacts
from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.errors import MistakesInFiles, PantryError
from pantrymeals.reports.pages.count_sheet import COLUMNS, count_pdf, rows_of, write_sheet
from pantrymeals.reports.pages.typeset import AS_USUAL, Origin
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.tables.shapes import frame_of
from pantrymeals.tables.sheets import as_csv, as_xlsx
from tests.outside.printed import by_pdftotext
from tests.unit.book.kitchen import (
    BEANS_1,
    BEANS_2,
    FLOUR,
    SAUCE_24,
    SAUCE_25,
    a_book,
    counts,
    enter,
    on_shelf,
    pantry,
    sums_by_reason,
)

HERE = pantry()


def a_larder() -> Book:
    return a_book(
        on_shelf(BEANS_1, 5, "S1"), on_shelf(BEANS_2, 7, "S1"), on_shelf(SAUCE_24, 3), on_shelf(SAUCE_25, 45),
        on_shelf(FLOUR, "58.125", "D"), on_shelf(SAUCE_25, 2, "K"),
    )  # fmt: skip


def filled(book: Book, path: Path, shelf: dict[tuple[str, str], str], place: str | None = None) -> Path:
    """A sheet printed now, with counts written in by (place, load or put up)."""
    rows = [dict(zip(COLUMNS, row, strict=True)) for row in rows_of(sheet_lines(HERE, book, place))]
    for row in rows:
        row["shelf"] = shelf.get((row["place"], row["load"] or row["put_up"]), "")
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS)
    writer.writeheader()
    writer.writerows(rows)
    path.write_text(out.getvalue(), encoding="utf-8")
    return path


def enter_sheet(book: Book, path: Path) -> list[tuple[str, Fraction, Fraction]]:
    found = differences(book, read_sheet(HERE, path))
    enter(book, count_lines(found), f"count enter {path.name}")
    return [(d.lot.load or d.lot.put_up, d.book, d.shelf) for d in found]


def test_a_sheet_is_in_walking_order_and_may_be_of_one_place() -> None:
    lines = sheet_lines(HERE, a_larder(), None)
    assert [(x.place, x.product, x.put_up) for x in lines] == [
        ("K", "Applesauce", "2025-10-06"),
        ("N1", "Applesauce", "2024"),
        ("N1", "Applesauce", "2025-10-06"),
        ("S1", "Green beans", "2025-08-12"),
        ("S1", "Green beans", "2025-08-12"),
        ("D", "Bread flour", "2025-05-15"),
    ]
    assert [x.lot for x in sheet_lines(HERE, a_larder(), "K")] == [4]


def test_differences_are_entered_and_what_agrees_is_not(tmp_path: Path) -> None:
    book = a_larder()
    sheet = filled(book, tmp_path / "n.csv", {
        ("N1", "2024"): "2", ("N1", "6 Oct"): "45", ("S1", "load 1"): "6", ("D", "2025-05-15"): "58 1/8",
    })  # fmt: skip
    assert enter_sheet(book, sheet) == [("2024", 3, 2), ("load 1", 5, 6)]
    assert counts(book)["2024", "", "N1", ""] == 2
    assert counts(book)["2025-08-12", "load 1", "S1", ""] == 6
    assert counts(book)["2025-08-12", "load 2", "S1", ""] == 7, "not counted, so not touched"
    assert sums_by_reason(book)["Applesauce", "qt", "counted"] == 49


def test_the_same_sheet_twice_and_a_mended_sheet_count_once(tmp_path: Path) -> None:
    book = a_larder()
    path = tmp_path / "n.csv"
    sheet = filled(book, path, {("N1", "6 Oct"): "42"})
    assert enter_sheet(book, sheet) == [("6 Oct", 45, 42)]
    assert enter_sheet(book, sheet) == []
    path.write_text(path.read_text().replace(",42,", ",43,"))
    assert enter_sheet(book, sheet) == [("6 Oct", 42, 43)]


def test_a_sheet_entered_late_allows_for_what_was_pulled_since(tmp_path: Path) -> None:
    book = a_larder()
    sheet = filled(book, tmp_path / "n.csv", {("N1", "6 Oct"): "42", ("N1", "2024"): "3"})
    wanted = Wanted(understand(HERE, "5 qt applesauce"), "pulled", place="N1")
    enter(book, take(HERE, book, wanted))  # takes 3 of 2024 and 2 of 6 Oct
    assert enter_sheet(book, sheet) == [("6 Oct", 43, 40)]
    assert counts(book)["2025-10-06", "6 Oct", "N1", ""] == 40


def test_a_lot_that_the_book_does_not_have_is_found(tmp_path: Path) -> None:
    book = a_larder()
    sheet = tmp_path / "found.csv"
    sheet.write_text("place,product,size,put_up,shelf\nK,green beans,qt,2025-08-30,2\nK,Applesauce,quarts,,1\n")
    found = differences(book, read_sheet(HERE, sheet))
    assert [(d.lot.product, d.lot.put_up, d.book, d.shelf) for d in found] == [
        ("Green beans", "2025-08-30", 0, 2),
        ("Applesauce", "2025-10-06", 2, 1),  # the only applesauce there: no need to say which
    ]


def test_a_stock_file_is_a_count_too(tmp_path: Path) -> None:
    book = a_larder()
    sheet = tmp_path / "stock.csv"
    sheet.write_text(
        "product;size;count;put_up;place;load;source;state;note\nApplesauce;qt;2;2024;N1;;page 12;;\n"
        "Bread flour;lb;57,5;2025-05-15;D;;;;\n"
    )
    assert enter_sheet(book, sheet) == [("2024", 3, 2), ("2025-05-15", Fraction("58.125"), Fraction("57.5"))]


def test_a_spreadsheet_does_as_well(tmp_path: Path) -> None:
    book = a_larder()
    rows = [row[:7] + (["44"] if row[4] == "6 Oct" and row[0] == "N1" else [""]) + row[8:]
            for row in rows_of(sheet_lines(HERE, book, None))]  # fmt: skip
    sheet = tmp_path / "n.xlsx"
    sheet.write_bytes(as_xlsx([frame_of("count", COLUMNS, rows)]))
    assert enter_sheet(book, sheet) == [("6 Oct", 45, 44)]


def test_every_mistake_on_a_sheet_is_named(tmp_path: Path) -> None:
    sheet = tmp_path / "n.csv"
    sheet.write_text(
        "place,product,size,put_up,state,shelf,lot\n"
        "N1,Aplesauce,qt,,,3,\nN1,Applesauce,pt,,,3,\nN1,Applesauce,qt,,,some,\n"
        "attic,Applesauce,qt,,,3,\nN1,Applesauce,qt,,lost,3,\nN1,Applesauce,qt,,,2 1/2,\n"
    )
    with pytest.raises(MistakesInFiles) as caught:
        read_sheet(HERE, sheet)
    assert [str(m).split(";")[0] for m in caught.value.mistakes] == [
        "n.csv:2:2: 'Aplesauce' is not in products.csv",
        "n.csv:3:3: Applesauce does not come in 'pt'",
        "n.csv:4:6: 'some' is not a count",
        "n.csv:5:1: no place of household.yaml is called 'attic'",
        "n.csv:6:5: 'lost' is no state of a lot",
        "n.csv:7:6: Applesauce is counted in whole qt",
    ]


def test_one_lot_counted_twice_or_unknown_is_refused(tmp_path: Path) -> None:
    sheet = tmp_path / "n.csv"
    head = "place,product,size,shelf,lot\n"
    sheet.write_text(head + "N1,Applesauce,qt,3,3\nN1,Applesauce,qt,2,3\nN1,Applesauce,qt,2,99\n")
    with pytest.raises(MistakesInFiles) as caught:
        differences(a_larder(), read_sheet(HERE, sheet))
    assert str(caught.value) == (
        "n.csv:3:5: line 2 counts the same lot at the same place; keep one\n"
        "n.csv:4:5: the book has no lot 99; leave it blank for one the book lacks"
    )


def test_an_empty_sheet_says_what_is_missing(tmp_path: Path) -> None:
    sheet = filled(a_larder(), tmp_path / "n.csv", {})
    with pytest.raises(PantryError, match="no line has a count under 'shelf'"):
        read_sheet(HERE, sheet)


def test_the_sheet_on_terminal_csv_and_paper(tmp_path: Path) -> None:
    lines = sheet_lines(HERE, a_larder(), "D")
    paper = Paper()
    write_sheet(paper, lines, {"D": "dry store"}, date(2026, 1, 17))
    text = " ".join(paper.text().split())
    assert "DRY STORE (D)" in text
    assert "Bread flour 15 May 2025 58.125 lb ______" in text
    assert "throw it out without tasting" in text
    assert as_csv(count_sheet(lines)[0]).decode().splitlines()[1] == "D,Bread flour,lb,2025-05-15,,,58 1/8,,5,1"
    (tmp_path / "sheet.xlsx").write_bytes(as_xlsx(count_sheet(lines)))
    assert [row for _, row in xlsx_rows(tmp_path / "sheet.xlsx")][1][:3] == ["D", "Bread flour", "lb"]
    page = count_pdf(lines, {"D": "dry store"}, Origin("Tarrow", date(2026, 1, 17), (7, date(2026, 1, 16))), AS_USUAL)
    text = by_pdftotext(page)
    for said in ("Dry store (D)", "Bread flour", "58.125 lb", "entry 7 of 16 Jan 2026"):
        assert said in text


def test_the_table_beside_labels_is_of_their_lot() -> None:
    book, sauce = a_larder(), HERE.product(SAUCE_25.product)
    assert sauce is not None
    written = labels(HERE, book, sauce, None, None).tables
    assert written is not None
    rows = list(csv.DictReader(io.StringIO(as_csv(written()[0]).decode())))
    assert [(row["put up"], row["on hand (of the size)"], row["place"]) for row in rows] == [
        (SAUCE_25.put_up, str(here.count), here.place) for here in book.on_hand(sauce.name) if here.lot == SAUCE_25
    ]
    assert len(rows) == 2


def a_sheet(path: Path, *rows: str) -> Path:
    path.write_text("place,product,size,put_up,load,state,shelf,lot\n" + "".join(f"{row}\n" for row in rows))
    return path


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        ("N1,Applesauce,qt,,,,2,1", "lot 1 is Green beans in qt"),
        ('N1,"Tomatoes, crushed",pt,,,,2,3', "lot 3 is Applesauce in qt"),
        ("N1,Applesauce,qt,,,,2,99", "the book has no lot 99"),
        ("N1,Applesauce,qt,,,,2,3a", "not a number"),
    ],
)
def test_a_lot_number_of_another_product_is_a_mistake(tmp_path: Path, row: str, wrong: str) -> None:
    with pytest.raises(MistakesInFiles, match=wrong):
        differences(a_larder(), read_sheet(HERE, a_sheet(tmp_path / "n1.csv", row)))


def test_a_blank_place_is_where_that_lot_stands_and_never_an_addition(tmp_path: Path) -> None:
    book = a_larder()
    by_number = a_sheet(tmp_path / "one.csv", ",Applesauce,qt,,,,3,3")
    assert differences(book, read_sheet(HERE, by_number)) == (), "three of 2024 stand at N1, and are counted there"
    by_label = a_sheet(tmp_path / "two.csv", ",Green beans,qt,2025-08-12,load 1,,4,")
    (found,) = differences(book, read_sheet(HERE, by_label))
    assert (found.place, found.book, found.shelf) == ("S1", 5, 4)
    for row, wrong in (
        (",Applesauce,qt,2025-10-06,,,40,", "the book has it at K, N1"),
        (",Applesauce,qt,2023,,,4,", "the book does not know this lot"),
    ):
        with pytest.raises(MistakesInFiles, match=f"the place is blank, and {wrong}"):
            differences(book, read_sheet(HERE, a_sheet(tmp_path / "three.csv", row)))


HELD = LotFacts("Green beans, small", "pt", "2025", "", "page 3")


def test_a_count_without_states_of_what_is_held_is_no_addition_however_often_it_is_entered(tmp_path: Path) -> None:
    book = a_book(on_shelf(HELD, 4, "S1", "held"))
    sheet = tmp_path / "s1.csv"
    sheet.write_text('place,product,size,put_up,shelf\nS1,"Green beans, small",pt,2025,5\n')
    (found,) = differences(book, read_sheet(HERE, sheet))
    assert (found.lot, found.state, found.book, found.shelf) == (HELD, "held", 4, 5)
    enter(book, count_lines([found]))
    assert differences(book, read_sheet(HERE, sheet)) == ()
    assert counts(book) == {("2025", "", "S1", "held"): 5}


@pytest.mark.parametrize(
    ("rows", "wrong"),
    [
        (("place,product,size,shelf", "N1,Applesauce,qt,48"), "45 qt here too (lot 4: 6 Oct 2025, 6 Oct)"),
        (("place,product,size,put_up,shelf", "N1,Applesauce,qt,2024,3"), ""),
        (("place,product,size,put_up,shelf", 'S1,"Green beans, small",pt,2025,6'), "4 pt here too (lot 6: 2025, held)"),
        (("place,product,size,put_up,state,shelf", 'S1,"Green beans, small",pt,2025,,2'), ""),
        (("place,product,size,shelf,lot", "N1,Applesauce,qt,3,3"), ""),
    ],
)
def test_one_number_for_two_lots_or_two_states_is_neither_and_no_third(
    tmp_path: Path, rows: tuple[str, ...], wrong: str
) -> None:
    book = a_larder()
    enter(book, [on_shelf(HELD, 2, "S1"), on_shelf(HELD, 4, "S1", "held")])
    sheet = tmp_path / "n.csv"
    sheet.write_text("\n".join(rows) + "\n")
    if not wrong:
        assert differences(book, read_sheet(HERE, sheet)) == ()
        return
    with pytest.raises(MistakesInFiles) as caught:
        differences(book, read_sheet(HERE, sheet))
    assert wrong in str(caught.value)


def test_an_undated_lot_beside_a_dated_one_is_counted_where_both_have_their_row(tmp_path: Path) -> None:
    undated = LotFacts("Applesauce", "qt", "", "", "page 12")
    book = a_book(on_shelf(undated, 2), on_shelf(SAUCE_24, 3))
    sheet = tmp_path / "n.csv"
    sheet.write_text("place,product,size,put_up,shelf\nN1,Applesauce,qt,,1\nN1,Applesauce,qt,2024,3\n")
    (found,) = differences(book, read_sheet(HERE, sheet))
    assert (found.lot, found.book, found.shelf) == (undated, 2, 1)
