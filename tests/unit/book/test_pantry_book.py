"""Where a household's book comes from, and that the larder is the book's where there is one."""

from __future__ import annotations

import shutil
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.book.enter import enter
from pantrymeals.actions.book.keeping import backup, bring_back, restore, whose
from pantrymeals.actions.book.pantry import Pantry, has_book, pantry_book, read_pantry
from pantrymeals.actions.larder import as_written, book_movements, load_larder, pantry_of
from pantrymeals.book.connect import BOOK_FILE, TWIN_FILE
from pantrymeals.book.lines import Line, LotFacts, NewEntry, PartFacts, PartLine, ServedLine
from pantrymeals.book.trouble import BookTrouble
from pantrymeals.book.twin import as_csv
from pantrymeals.book.writing import write
from pantrymeals.errors import MistakesInFiles, PantryError

DAY = date(2026, 1, 17)
PRODUCTS = """product,kind,sizes,loose,opened_days,also_called
Applesauce,jar,qt,,7,apple mush
Bread flour,dry,lb,yes,,
"""
HOUSEHOLD = """household: Tiny
today: 2026-01-17
people: [{name: Ada, born: 1980-01-01}]
meals: {supper: {roles: [main]}}
places: [{code: N1, name: north wall}, {code: D, name: dry store}, {code: Fridge, name: fridge, kind: fridge}]
"""
STOCK = """product,size,count,put_up,place,load,source,state,note
Applesauce,qt,5,2025-10-06,N1,6 Oct,page 12,,
Applesauce,qt,2,2024,N1,,,held,one leaked
Bread flour,lb,12.5,,D,,,,
"""
OPEN = "product,size,left,opened,place,note\nApplesauce,qt,1/2 qt,2026-01-16,Fridge,Odo's\n"
SEASON = "jars:\n  - {size: qt, empties: 9, out: 2}\nlids: {regular: 30}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "products.csv").write_text(PRODUCTS)
    (tmp_path / "household.yaml").write_text(HOUSEHOLD)
    (tmp_path / "stock.csv").write_text(STOCK)
    (tmp_path / "open.csv").write_text(OPEN)
    (tmp_path / "season.yaml").write_text(SEASON)
    (tmp_path / "recipes").mkdir()
    (tmp_path / "recipes" / "mush.yaml").write_text("name: Mush\nrole: main\nserves: 4\nuses: [1 qt Applesauce]\n")
    return tmp_path


def on_hand(folder: Path, reading: bool = False) -> dict[tuple[str, str], Fraction]:
    with pantry_book(read_pantry(folder, None, DAY), reading=reading) as book:
        return {(h.lot.product + " " + h.lot.put_up, h.state): h.count for h in book.on_hand()}


FIRST = {("Applesauce 2024", "held"): 2, ("Applesauce 2025-10-06", ""): 5, ("Bread flour ", ""): Fraction("12.5")}


def test_the_first_count_opens_the_book(folder: Path) -> None:
    assert on_hand(folder) == FIRST
    assert (folder / BOOK_FILE).exists()
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        assert [(j.part, j.left) for j in book.part_jars()] == [
            (PartFacts("Applesauce", "qt", date(2026, 1, 16), "Fridge", "Odo's"), Fraction(1, 2))
        ]
        assert book.glass() == {("empties", "qt"): 9, ("out", "qt"): 2, ("lids", "regular"): 30}
        assert [m.reason for m in book.movements()] == ["counted"] * 3


def test_looking_alone_writes_nothing(folder: Path) -> None:
    before = sorted(folder.iterdir())
    assert on_hand(folder, reading=True) == FIRST
    load_larder(folder, None, DAY)
    assert sorted(folder.iterdir()) == before


def test_the_twin_is_built_once_and_goes_before_stock(folder: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        line = Line(LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", "page 12"), "N1", Fraction(-1), "pulled")
        write(book, NewEntry(DAY, "pull"), lambda _: [line])
        (folder / TWIN_FILE).write_bytes(as_csv(book))
    (folder / BOOK_FILE).unlink()
    (folder / "stock.csv").unlink()
    now = FIRST | {("Applesauce 2025-10-06", ""): 4}
    assert on_hand(folder, reading=True) == now
    assert (folder / BOOK_FILE).exists()
    (folder / TWIN_FILE).write_text("spoilt since")
    assert on_hand(folder) == now


def test_a_folder_without_any_count_begins_empty(folder: Path) -> None:
    (folder / "stock.csv").unlink()
    (folder / "open.csv").unlink()
    (folder / "season.yaml").unlink()
    assert on_hand(folder) == {}
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        assert book.entries() == ()


def test_mistakes_in_the_first_count_are_said_and_no_book_is_made(folder: Path) -> None:
    (folder / "stock.csv").write_text(STOCK.replace("qt,5", "qt,some"))
    with pytest.raises(MistakesInFiles, match=r"stock\.csv:2:3: "):
        on_hand(folder)
    assert not (folder / BOOK_FILE).exists()


def test_the_larder_is_the_books_once_there_is_one(folder: Path) -> None:
    from_files = load_larder(folder, None, DAY)
    on_hand(folder)  # opens the book
    from_book = load_larder(folder, None, DAY)

    def facts(household) -> list[tuple[object, ...]]:  # type: ignore[no-untyped-def]
        return sorted(
            (x.product, x.size, x.count, str(x.put_up), x.year_only, x.where, x.load, x.tested_source,
             x.state, x.note)
            for x in household.lots
        )  # fmt: skip

    assert facts(from_book) == facts(from_files)
    assert [(j.product, j.left, j.opened) for j in from_book.part_jars] == [
        (j.product, j.left, j.opened) for j in from_files.part_jars
    ]
    (folder / "stock.csv").write_text(STOCK.replace("qt,5", "qt,99"))
    assert facts(load_larder(folder, None, DAY)) == facts(from_book), "the book is the one truth"


def test_what_is_pulled_and_served_is_known_to_the_next_menu(folder: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        lot = LotFacts("Applesauce", "qt", "2025-10-06", "6 Oct", "page 12")
        jar = PartFacts("Applesauce", "qt", DAY, "Fridge")
        write(book, NewEntry(DAY, "pull"), lambda _: [
            Line(lot, "N1", Fraction(-2), "pulled"), PartLine(jar, Fraction(1, 4), "pulled"),
            ServedLine(DAY, "supper", "Mush"), ServedLine(date(2025, 6, 1), "supper", "Long ago"),
        ])  # fmt: skip
    household = load_larder(folder, None, DAY)
    assert sum(x.count for x in household.lots if x.product == "Applesauce" and not x.state) == 3
    assert [(j.opened, j.left) for j in household.part_jars][1] == (
        DAY,
        household.products["Applesauce"].sizes[0].content / 4,
    )
    assert household.recent == ((DAY, "Mush"),)
    assert [(m.day, m.count, m.reason) for m in book_movements(folder, household)][-1] == (DAY, -2, "pulled")


def test_a_product_under_its_former_name_goes_by_its_new_one(folder: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        write(
            book, NewEntry(DAY, "put up"), lambda _: [Line(LotFacts("Apple mush", "qt"), "N1", Fraction(3), "put up")]
        )
    household = load_larder(folder, None, DAY)
    assert sum(x.count for x in household.lots if x.product == "Applesauce") == 10
    assert {m.product for m in book_movements(folder, household)} == {"Applesauce", "Bread flour"}


def test_a_product_no_longer_in_products_is_said_plainly(folder: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        write(
            book, NewEntry(DAY, "put up"), lambda _: [Line(LotFacts("Quince jam", "hp"), "N1", Fraction(3), "put up")]
        )
    with pytest.raises(PantryError, match=r"speaks of Quince jam, which is not in products\.csv; add it"):
        load_larder(folder, None, DAY)


def test_a_foreign_file_under_the_books_name_is_never_overwritten(folder: Path) -> None:
    (folder / BOOK_FILE).write_text("my own notes")
    for reading in (True, False):
        with pytest.raises(BookTrouble, match="something other than a put-up book"):
            on_hand(folder, reading)
    with pytest.raises(BookTrouble):
        load_larder(folder, None, DAY)
    assert (folder / BOOK_FILE).read_text() == "my own notes"


def test_the_demo_folder_reads_whole(tmp_path: Path) -> None:
    demo = Path(__file__).parents[3] / "demo"
    copy = tmp_path / "demo"
    shutil.copytree(demo, copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    household = load_larder(copy, None, DAY)
    assert household.name == "Tarrow"
    assert (copy / BOOK_FILE).exists()
    assert len(book_movements(copy, household)) > 7000


@pytest.mark.parametrize(
    "more", ["", "measures: metric\nlatitude: -38\npaper: a4\n", "altitude_ft: 2400\n"], ids=["plain", "south", "high"]
)
def test_the_book_is_told_the_same_of_a_household_read_whole_or_in_part(folder: Path, more: str) -> None:
    salt = (
        HOUSEHOLD.replace("born: 1980-01-01", "born: 1980-01-01, must_not: [salty]")
        if "altitude" in more
        else HOUSEHOLD
    )
    (folder / "household.yaml").write_text(salt + more)
    in_part, whole = read_pantry(folder, None, DAY), pantry_of(folder, as_written(folder, None, DAY))
    for told in ("today", "name", "places", "altitude_ft", "paper", "low_salt", "year_opens", "metric", "jar_sizes"):
        assert getattr(whole, told) == getattr(in_part, told), told
    assert [p.name for p in whole.known.by_name.values()] == [p.name for p in in_part.known.by_name.values()]
    assert in_part.metric is ("metric" in more)


def test_what_comes_in_by_itself_does_so_on_the_days_asked_for(folder: Path) -> None:
    (folder / "calendar.yaml").write_text(
        "coming_in:\n"
        "  - {product: Bread flour, amount: 50 lb, day: 2026-05-15}\n"
        "  - {product: Applesauce, amount: 1 qt, every: Sat, from: 2026-01-01, to: 2026-12-31}\n"
    )
    pantry = read_pantry(folder, None, DAY)
    assert pantry.comes_in(DAY, date(2026, 1, 23)) == {"Applesauce"}
    assert pantry.comes_in(date(2026, 5, 10), date(2026, 5, 16)) == {"Applesauce", "Bread flour"}
    (folder / "calendar.yaml").unlink()
    assert pantry.comes_in(DAY, date(2026, 12, 31)) == frozenset()


@pytest.mark.parametrize(
    ("season", "besides"),
    [
        ("jars: []\nin_jars_besides: [Bread flour]\nnotes: x\n", True),
        ("in_jars_besides:\n\n  # in half-gallons\n  - Bread flour\nlids: {regular: 3}\n", True),
        ("in_jars_besides:\n- Bread flour\n\nlids: {regular: 3}", True),
        ("in_jars_besides: [Bread flour]\r\nlids: {regular: 3}\r\n", True),
        ('"in_jars_besides": ["Bread flour"]\n', True),  # not as we write it: the whole file is read
        ("{lids: {regular: 3}, in_jars_besides: [Bread flour]}", True),
        ("in_jars_besides: [Bread\n  flour]\n", True),
        ("in_jars_besides:\nlids: {regular: 3}\n", False),
        ("in_jars_besides: Bread flour\n", False),
        ("other:\n  in_jars_besides: [Bread flour]\n", False),
        ("in_jars_besides: [Bread flour\n", False),
        ("", False),
    ],
)
def test_the_jars_besides_are_found_without_the_rest_of_the_season(folder: Path, season: str, besides: bool) -> None:
    (folder / "season.yaml").write_text(season, newline="")
    pantry = read_pantry(folder, None, DAY)
    flour = pantry.product("bread flour")
    assert flour is not None
    assert (pantry.jar_size(flour, "qt") == "qt") is besides


def test_no_book_is_begun_beside_one_that_was_set_aside(folder: Path) -> None:
    here = read_pantry(folder, None, DAY)
    with pantry_book(here):
        pass
    (folder / BOOK_FILE).rename(folder / "put-up-book.aside-2.sqlite")
    (folder / "put-up-book.aside-1.sqlite").write_bytes(b"older")
    assert has_book(folder), "so that no planner takes stock.csv for what is there"
    for reading in (True, False):
        refused = pytest.raises(BookTrouble, match=r"set aside: put-up-book\.aside-2\.sqlite.*book restore")
        with refused, pantry_book(here, reading=reading):
            pass
    assert not (folder / BOOK_FILE).exists()


def another(folder: Path) -> Pantry:
    return replace(read_pantry(folder, None, DAY), name="The Others")


def test_a_book_that_came_along_with_a_copied_folder_is_refused(folder: Path) -> None:
    here = read_pantry(folder, None, DAY)
    with pantry_book(here) as book:
        assert book.household() == "Tiny"
        assert book.served() == (), "it is no dish"
        twin = as_csv(book)
    refused = pytest.raises(
        BookTrouble, match=r"book of the household Tiny, and household\.yaml says The Others\. If the"
    )
    with refused, pantry_book(another(folder), reading=True):
        pass
    household = folder / "household.yaml"
    household.write_text(HOUSEHOLD.replace("household: Tiny", "household: The Others"))
    with pytest.raises(BookTrouble, match=r"your stock\.csv is the first count"):
        load_larder(folder, None, DAY)
    (folder / BOOK_FILE).unlink()
    (folder / TWIN_FILE).write_bytes(twin)
    with pytest.raises(BookTrouble, match="book of the household Tiny"):
        load_larder(folder, None, DAY)
    assert not (folder / BOOK_FILE).exists(), "no book is made of theirs"
    (folder / TWIN_FILE).unlink()
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        assert book.household() == "The Others"


def test_a_household_with_a_new_name_keeps_its_book(folder: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)):
        pass
    assert whose(folder, "", DAY) == "The book of the household Tiny."
    whose(folder, "The Others", DAY)
    with pantry_book(another(folder)) as book:
        assert book.household() == "The Others"


def test_a_copy_or_an_export_of_another_household_is_not_brought_back(folder: Path, tmp_path: Path) -> None:
    """Put in place, it would have shut the household out of its own book."""
    theirs = tmp_path / "theirs"
    shutil.copytree(folder, theirs)
    (theirs / "household.yaml").write_text(HOUSEHOLD.replace("household: Tiny", "household: The Others"))
    export, copy = tmp_path / "theirs.csv", tmp_path / "theirs.sqlite"
    with pantry_book(read_pantry(folder, None, DAY)) as mine, pantry_book(read_pantry(theirs, None, DAY)) as book:
        before = as_csv(mine)
        export.write_bytes(as_csv(book))
    backup(theirs, copy)
    with pytest.raises(PantryError, match=r"book of the household The Others, and household\.yaml says Tiny; nothing"):
        restore(folder, copy)
    with pantry_book(read_pantry(folder, None, DAY)) as mine:
        assert as_csv(mine) == before
    assert list(folder.glob("*aside*")) == []
    (folder / BOOK_FILE).unlink()
    with pytest.raises(PantryError, match=r"book of the household The Others, and household\.yaml says Tiny; nothing"):
        bring_back(folder, export)
    assert not (folder / BOOK_FILE).exists()


def test_a_copy_under_the_households_former_name_is_its_own(folder: Path, tmp_path: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)):
        pass
    backup(folder, tmp_path / "copy.sqlite")
    household = folder / "household.yaml"
    household.write_text(HOUSEHOLD.replace("household: Tiny", "household: Tinier"))
    whose(folder, "Tinier", DAY)
    assert "It has your former name, Tiny: 'book whose Tinier'" in restore(folder, tmp_path / "copy.sqlite")


def test_an_import_beside_a_book_that_was_set_aside_says_so(folder: Path, tmp_path: Path) -> None:
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        (tmp_path / "export.csv").write_bytes(as_csv(book))
    (folder / BOOK_FILE).rename(folder / "put-up-book.aside-1.sqlite")
    assert "beside it lies put-up-book.aside-1.sqlite" in bring_back(folder, tmp_path / "export.csv")


def test_a_book_from_before_books_said_whose_they_are_is_named_with_its_next_entry(folder: Path) -> None:
    """Looked at, it stays as it is; with the first thing entered it says whose it is, and is told from another's."""
    pantry = read_pantry(folder, DAY, DAY)
    with pantry_book(replace(pantry, name="")):
        pass  # the first count of a household without a name
    assert on_hand(folder, reading=True)
    assert whose(folder, "", DAY).endswith("(not written down).")
    line = Line(LotFacts("Applesauce", "qt", "2026"), "N1", Fraction(1), "bought")
    with pantry_book(pantry) as book:
        first = enter(pantry, book, "bring-in 1 qt applesauce", lambda _: [line]).said
        second = enter(pantry, book, "bring-in 1 qt applesauce", lambda _: [line]).said
    named = "this book did not say whose it is; now it does: the household Tiny"
    assert [sum(named in text for text in said) for said in (first, second)] == [1, 0]
    assert whose(folder, "", DAY) == "The book of the household Tiny."
    with pytest.raises(BookTrouble, match=r"the book of the household Tiny, and household\.yaml says Others"):
        pantry_book(replace(pantry, name="Others")).__enter__()


def test_two_jars_opened_alike_are_one_line_and_their_export_comes_back(folder: Path, tmp_path: Path) -> None:
    row = OPEN.splitlines()[1]
    (folder / "open.csv").write_text(f"{OPEN}{row}\n")
    with pantry_book(read_pantry(folder, None, DAY)) as book:
        parts = [part.left for part in book.part_jars() if part.part.product == row.split(",")[0]]
        export = as_csv(book)
    (tmp_path / "again").mkdir()
    for name in ("household.yaml", "products.csv"):
        shutil.copy(folder / name, tmp_path / "again" / name)
    (tmp_path / "again" / TWIN_FILE).write_bytes(export)
    with pantry_book(read_pantry(tmp_path / "again", None, DAY)) as again:
        assert [part.left for part in again.part_jars() if part.part.product == row.split(",")[0]] == parts
        assert as_csv(again) == export
