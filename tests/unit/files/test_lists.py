"""A stranger's list, in ten habits of writing: every number read as she meant it, and what is unsure asked."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.errors import PantryError
from pantrymeals.files.amounts import KnownProducts
from pantrymeals.files.lists.days import find_day, order_of
from pantrymeals.files.lists.names import meant
from pantrymeals.files.lists.rows import lines_of, read_list
from pantrymeals.files.lists.said import read_said
from pantrymeals.files.lists.understand import KnownHere, answers_of, understand
from pantrymeals.plans.first_count import FirstCount
from pantrymeals.records import Measures, StorePlace

PLACES = (
    StorePlace("N2", "north shelf", "pantry"),
    StorePlace("F1", "chest freezer", "freezer"),
    StorePlace("C", "root cellar", "cellar"),
    StorePlace("P", "kitchen press", "pantry"),
)


def read(text: str, measures: Measures = "us", answers: tuple[str, ...] = (), *, table: bool = False) -> FirstCount:
    kitchen = KnownHere(PLACES, KnownProducts.of(()), measures)
    return understand(lines_of(text, table=table), kitchen, None, answers_of(answers))


STRANGER = [
    # As she wrote it; what she meant: count, size, thing, put up, place. None: it must be asked, or left out.
    ("14 pts crushed tom, N2, 25/09/2025", ("14", "pt", "Tomatoes, crushed", "2025-09-25", "N2")),
    ("7 qts green beans, N2, 2/08/2025", ("7", "qt", "Green beans", "2025-08-02", "N2")),
    ("Sweet corn - 9 pts - 2025", ("9", "pt", "Sweet corn", "2025", "")),
    ("Beets, pickled: 6 pints", ("6", "pt", "Beets, pickled", "", "")),
    ("carrots (sliced) 5 pts", ("5", "pt", "Carrots, sliced", "", "")),
    ("1/2 pt strawberry jam - 11", ("11", "hp", "Strawberry jam", "", "")),
    ("8 half-pints apple jelly 2024", ("8", "hp", "Apple jelly", "2024", "")),
    ("6 1/2 pts raspberry jam", None),
    ("Peaches 12 quarts Aug 2025", ("12", "qt", "Peaches in syrup", "2025-08-01", "")),
    ("pears, qt, 9", ("9", "qt", "Pears in syrup", "", "")),
    ("21 qt apple sauce", ("21", "qt", "Applesauce", "", "")),
    ("two qts sauerkraut", ("2", "qt", "Sauerkraut", "", "")),
    ("dill pickles x 7", None),
    ("dills 7 qts", ("7", "qt", "Dill cucumbers", "", "")),
    ("B&B pickles, 10 pts", ("10", "pt", "Bread-and-butter cucumbers", "", "")),
    ("CHEST FREEZER", None),
    ("peas 8 pt bags", ("8", "pt bag", "Peas", "", "F1")),
    ("ground beef 12 lbs", ("12", "lb", "Ground beef, frozen", "", "F1")),
    ("4 lb bacon", ("4", "lb", "Bacon", "", "F1")),
    ("whole chickens x6", ("6", "bird", "Whole chicken", "", "F1")),
    ("3 packs of 4 pork chops", ("3", "pack of 4", "Pork chops", "", "F1")),
    ("2 beef roasts", ("2", "piece", "Beef roast", "", "F1")),
    ("venison 9lb", ("9", "lb", "Venison, frozen", "", "F1")),
    ("raspberries, 5 qt bags, 15 July 2025", ("5", "qt bag", "Raspberries", "2025-07-15", "F1")),
    ("bread 6 loaves", ("6", "loaf", "Bread, loaves", "", "F1")),
    ("lard 3 pts", ("3", "pt", "Lard", "", "F1")),
    ("Root cellar:", None),
    ("potatoes 80 lb", ("80", "lb", "Potatoes", "", "C")),
    ("1 1/2 lb garlic", ("3/2", "lb", "Garlic", "", "C")),
    ("20 heads garlic", ("20", "head", "Garlic", "", "C")),
    ("cabbage 7", ("7", "head", "Cabbage", "", "C")),
    ("butternut squash - 9", ("9", "each", "Squash, butternut", "", "C")),
    ("onions, 25 lbs.", ("25", "lb", "Onions", "", "C")),
    ("apples 2 bushels", None),
    ("Subtotal 145", None),
    ("", None),
    ("KITCHEN PRESS", None),
    ("flour 25 lb", ("25", "lb", "Plain flour", "", "P")),
    ("2.5 lb rolled oats", ("5/2", "lb", "Rolled oats", "", "P")),
    ("Rice, 10 lb", ("10", "lb", "Rice", "", "P")),
    ("honey 3 qts", ("3", "qt", "Honey", "", "P")),
    ("sugar: 15 lb", ("15", "lb", "Sugar", "", "P")),
    ("1 gal vinegar", ("1", "gal", "White vinegar", "", "P")),
    ("dry beans 6 lb", ("6", "lb", "Brown beans, dry", "", "P")),
    ("split peas 3 lb (2024)", ("3", "lb", "Split peas", "2024", "P")),
    ("chicken stock 14 qts, 10/12/2025, N2", ("14", "qt", "Chicken stock", "2025-12-10", "N2")),
    ("Beef chunks; 11 pts; N2; 15.11.25", ("11", "pt", "Beef chunks", "2025-11-15", "N2")),
    ("canned venison 9 pts in the north shelf", ("9", "pt", "Venison chunks", "", "N2")),
    ("salmon 6 pts, N2", ("6", "pt", "Salmon, canned", "", "N2")),
    ("tomatos, whole, 8 qts, N2", None),
    ("vegetable soup base * 7 qt, N2", ("7", "qt", "Vegetable soup base", "", "N2")),
    ("mystery jar 2, N2", None),
    ("zucchini relish 5 pts 3/9/25, N2", ("5", "pt", "Zucchini relish", "2025-09-03", "N2")),
    ("rhubarb 4 pts, N2", ("4", "pt", "Rhubarb, stewed", "", "N2")),
    ("baked beans, 8 pints, N2", ("8", "pt", "Baked beans", "", "N2")),
    ("grape juice 6 qt, N2, good one", ("6", "qt", "Grape juice", "", "N2")),
    ("Salsa 9pt N2", ("9", "pt", "Salsa", "", "N2")),
    ("5 pts. ketchup, N2", ("5", "pt", "Ketchup", "", "N2")),
    ("a dozen pts pear butter, N2", ("12", "pt", "Pear butter", "", "N2")),
    ("apple butter, N2", None),
    ("maple syrup 2 qts, P", ("2", "qt", "Maple syrup", "", "P")),
    ("Grand total: 611", None),
]


def test_sixty_lines_in_ten_habits_are_read_with_no_wrong_number() -> None:
    assert len(STRANGER) >= 60
    counted = read("\n".join(line for line, _ in STRANGER))
    by_number = {line.number: line for line in counted.lines}
    asked = {question.number for question in counted.questions}
    left = {line.number for line in counted.left_out}
    for number, (written, right) in enumerate(STRANGER, start=1):
        if right is None:
            assert number not in by_number, written
            assert not written or number in asked | left, written
            continue
        line = by_number.get(number)
        assert line is not None, (written, [q.asked for q in counted.questions if q.number == number])
        found = (line.count, line.size.partition("=")[0].strip(), line.thing, line.put_up, line.place)
        assert found == (Fraction(right[0]), *right[1:]), written
    assert not asked & set(by_number)
    assert not left & set(by_number)
    assert counted.order == "days first"  # 25/09/2025 tells it
    assert not counted.order_asked


def test_what_was_unsure_was_asked_and_totals_and_headings_were_left_out() -> None:
    counted = read("\n".join(line for line, _ in STRANGER))
    asked = {STRANGER[q.number - 1][0] for q in counted.questions}
    assert asked == {
        "6 1/2 pts raspberry jam", "tomatos, whole, 8 qts, N2", "dill pickles x 7",
        "apples 2 bushels", "mystery jar 2, N2", "apple butter, N2",
    }  # fmt: skip
    left = {STRANGER[line.number - 1][0] for line in counted.left_out}
    assert left == {"CHEST FREEZER", "Root cellar:", "Subtotal 145", "KITCHEN PRESS", "Grand total: 611"}


def test_an_office_programs_sheet_with_semicolons_bom_and_totals(tmp_path: Path) -> None:
    sheet = tmp_path / "list.csv"
    rows = "My larder;;;\r\nItem;Qty;Date;Where\r\nGreen beans;7 pts;12/09/2025;N2\r\nsub total 7;;;\r\nPeas;6 pt bags;25/09/2025;F1\r\nTOTAL;13;;\r\n"  # noqa: E501
    sheet.write_bytes(b"\xef\xbb\xbf" + rows.encode())
    counted = understand(read_list(sheet), KnownHere(PLACES, KnownProducts.of(()), "us"))
    assert [(n.thing, n.count, n.size.split(" =")[0], n.put_up, n.place) for n in counted.lines] == [
        ("Green beans", 7, "pt", "2025-09-12", "N2"),
        ("Peas", 6, "pt bag", "2025-09-25", "F1"),
    ]
    assert [left.why for left in counted.left_out] == ["above the heads", "heads of columns", "a total", "a total"]
    assert not counted.questions


def test_a_spreadsheet_with_days_as_days_and_numbers_as_numbers(tmp_path: Path) -> None:
    from datetime import datetime

    import openpyxl

    book = openpyxl.Workbook()
    page = book.active
    for row in (
        ["Product", "Count", "Size", "Put up"],
        ["Peaches", 12.0, "500ml", datetime(2026, 2, 14)],
        ["Spuds", 22.5, "kg", None],
        [None, 34.5, None, None],
    ):
        page.append(row)
    book.save(tmp_path / "list.xlsx")
    counted = understand(read_list(tmp_path / "list.xlsx"), KnownHere(PLACES, KnownProducts.of(()), "metric"))
    assert [(n.thing, n.count, n.size, n.put_up) for n in counted.lines] == [
        ("Peaches in syrup", 12, "500 ml jar", "2026-02-14"),
        ("Potatoes", Fraction("22.5"), "kg", ""),
    ]
    assert [left.why for left in counted.left_out] == ["heads of columns", "a total"]


def test_day_and_month_are_asked_once_where_no_line_tells() -> None:
    counted = read("7 pts green beans, 3/09/2025\n5 pts salsa, 4/08/2025")
    assert counted.order_asked
    assert not counted.lines
    told = understand(
        lines_of("7 pts green beans, 3/09/2025"), KnownHere(PLACES, KnownProducts.of(()), "us"), "months first"
    )
    assert told.lines[0].put_up == "2025-03-09"
    assert order_of(["25/12/2025", "12/25/2025", "3/4/2025"]) == (None, True)
    assert order_of(["3/3/2025"]) == (None, False)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("12 Sep 2025", "2025-09-12"),
        ("Sept 2025", "2025-09-01"),
        ("12.9.25", "2025-09-12"),
        ("2025-09-12", "2025-09-12"),
        ("sep 12, 2025", "2025-09-12"),
        ("9/2025", "2025-09-01"),
        ("'24", None),
        ("2024", "2024"),
        ("500 ml", None),
        ("31/02/2025", None),
    ],
)
def test_days_as_people_write_them(text: str, day: str | None) -> None:
    found = find_day(text, "days first")
    assert (found.as_written if found else None) == day


def test_metric_lists_keep_their_own_containers() -> None:
    counted = read(
        "tomatoes, crushed 32 x 500ml\n6 x 1L beef stock\n2 kg mince\n500 g pack sausages x 3\n5 l honey", "metric"
    )
    assert [(n.count, n.size) for n in counted.lines] == [
        (32, "500 ml jar"), (6, "1 l jar"), (4, "500 g pack"), (3, "500 g pack"), (5, "l"),
    ]  # fmt: skip
    assert counted.lines[2].guesses == ("2 kg is taken as 4 x 500 g pack",)


def test_an_answer_settles_a_line() -> None:
    text = "dill pickles x 7\nmystery jar 2\n6 1/2 pts plum jam\nthing in a tub 3 pts"
    assert len(read(text).questions) == 4
    counted = read(text, answers=("1=qt", "2=skip", "3=yes", "4=Salsa"))
    assert not counted.questions
    assert [(n.thing, n.count, n.size) for n in counted.lines] == [
        ("Dill cucumbers", 7, "qt"), ("Plum jam", 6, "hp"), ("Salsa", 3, "pt"),
    ]  # fmt: skip
    with pytest.raises(PantryError, match="is no answer"):
        answers_of(["pt"])


def test_the_place_decides_between_a_jar_and_a_bag() -> None:
    counted = read("peas 6 pts, N2\npeas 6 pt bags, F1\nhoney 2 pts, P\nbeets 5 pts, N2\nbeets 20 lb, C")
    assert [n.thing for n in counted.lines] == ["Peas, canned", "Peas", "Honey", "Beets, plain", "Beets"]


def test_a_place_by_its_name_at_the_end_of_a_line() -> None:
    """As nobody told her that a mark is wanted; what might be part of the thing's name is said to be guessed."""
    counted = read(
        "20 lb ground beef chest freezer\n12 lb butter Chest Freezer 2026\n30 qt salsa C 2025\n"
        "40 lb rice, kitchen press\n9 lb apples root cellar\n2 lb flour kitchen"
    )
    assert [(n.thing, n.place) for n in counted.lines] == [
        ("Ground beef, frozen", "F1"), ("Butter", "F1"), ("Salsa", "C"), ("Rice", "P"), ("Apples", "C"),
    ]  # fmt: skip
    assert [[g for g in n.guesses if "where it stands" in g] for n in counted.lines] == [
        ["'chest freezer' is taken as where it stands"], ["'Chest Freezer' is taken as where it stands"], [], [],
        ["'root cellar' is taken as where it stands"],
    ]  # fmt: skip
    assert [q.number for q in counted.questions] == [6], "a kitchen is no place here, and no kind of flour"


def test_what_a_comma_cuts_is_joined_again_or_said() -> None:
    counted = read("Beetroot, pickled - 10 pts\nGreen beans 7 pts, from Vera")
    assert counted.lines[0].thing == "Beets, pickled"
    assert counted.lines[1].note == "from Vera"
    assert "'from Vera' is kept as a note" in counted.lines[1].guesses


def test_misspelt_names_are_asked_about_or_said_to_be_guessed() -> None:
    counted = read("9 pts sasla")
    assert not counted.lines
    assert not meant("tomatos, crushed").sure
    assert read_said("7 pts tomatos, crushed", None).name == "tomatos"


ANOTHER = [
    # Another stranger, in habits of her own: strokes, dozens, '#', 'pkg', ranges, sums, ounces, list numbers, bullets.
    ("== TOP SHELF (N2) ==", None),
    ("Toms crushed  qt  IIII IIII", None),
    ("tomatoes, crushed -- 9 qts (aug '25)", ("9", "qt", "Tomatoes, crushed", "2025-08-01", "N2")),
    ("12 qt toms, whole, Sept 14 2025", ("12", "qt", "Tomatoes, whole", "2025-09-14", "N2")),
    ("Tomato Juice ......... 11 qts", ("11", "qt", "Tomato juice", "", "N2")),
    ("Green beans 2024: 4 qts", ("4", "qt", "Green beans", "2024", "N2")),
    ("Green beans 2025: 17 qts", ("17", "qt", "Green beans", "2025", "N2")),
    ("corn 23 pt", ("23", "pt", "Sweet corn", "", "N2")),
    ("Creamed corn, six pints", None),
    ("Carrots pts 8", ("8", "pt", "Carrots, sliced", "", "N2")),
    ("salsa, six pints", ("6", "pt", "Salsa", "", "N2")),
    ("3 doz pts dill pickles", ("36", "pt", "Dill cucumbers", "", "N2")),
    ("2 dz hp strawberry jam", ("24", "hp", "Strawberry jam", "", "N2")),
    ("strawberry jam, 1/2 pts, 5", ("5", "hp", "Strawberry jam", "", "N2")),
    ("peach jam (half pints) x 9", ("9", "hp", "Peach jam", "", "N2")),
    ("8 oz jars grape jelly: 7", ("7", "hp", "Grape jelly", "", "N2")),
    ("4 oz pepper jelly 6", None),
    ("16-oz salsa 12", None),
    ("pints of salsa verde (5)", None),
    ("~10 qt applesauce", None),
    ("about 12 pts applesauce", None),
    ("applesauce 7+5 qts", None),
    ("8-10 pts pear butter", None),
    ("Peaches: 14 qts + 3 pts", None),
    ("qts: 6 cherries, 4 plums", None),
    ("Sauerkraut (crock) 1", None),
    ("sauerkraut 5q", None),
    ("beef stew meat 9 pts 11-15-25", None),
    ("venison chunks ½ pt 6", ("6", "hp", "Venison chunks", "", "N2")),
    ("Chicken broth 18 quarts, pressure canned 10/12/25", ("18", "qt", "Chicken stock", "2025-10-12", "N2")),
    ("turkey broth 3qt (Thanksgiving)", ("3", "qt", "Turkey stock", "", "N2")),
    ("bone broth 4 pts, no salt, load 2", ("4", "pt", "Beef stock", "", "N2")),
    ("chili 6 qt. w/ beans", ("6", "qt", "Chili con carne", "", "N2")),
    ("ham & bean soup 4 qts - mom's recipe", ("4", "qt", "Bean and ham soup", "", "N2")),
    ("- 7 pts black beans", ("7", "pt", "Black beans, canned", "", "N2")),
    ("* pinto beans, 9 pts", ("9", "pt", "Pinto beans, canned", "", "N2")),
    ("[ ] kidney beans 4 pt", ("4", "pt", "Kidney beans, canned", "", "N2")),
    ("• garbanzos 3 pts", ("3", "pt", "Chickpeas, canned", "", "N2")),
    ("10) asparagus 2 pts", ("2", "pt", "Asparagus, canned", "", "N2")),
    ("11. pickled asparagus 3 pts", ("3", "pt", "Asparagus, pickled", "", "N2")),
    ("Golden Queen peaches 9 qts", None),
    ("FREEZER #1", None),
    ("hamburger 1# pkgs 14", None),
    ("14 1-lb pkgs hamburger", ("14", "lb", "Ground beef, frozen", "", "F1")),
    ("ground venison 22#", ("22", "lb", "Ground venison", "", "F1")),
    ("Chicken breasts 3 pkg", None),
    ("roaster chickens 4 ea", None),
    ("blueberries 2qt bags (4)", None),
    ("corn, 12 pt. bags", ("12", "pt bag", "Sweet corn, frozen", "", "F1")),
    ("rhubarb 3 gal. bags", ("3", "gal bag", "Rhubarb, cut", "", "F1")),
    ("Bread (white) - 4", ("4", "loaf", "Bread, loaves", "", "F1")),
    ("7 lbs. 8 oz. butter", ("15/2", "lb", "Butter", "", "F1")),
    ("1 turkey 14 lb", None),
    ("trout", None),
    ("ROOT CELLAR", None),
    ("Spuds (russet) 1 1/2 bu", None),
    ("onions 1 bag 50lb", None),
    ("carrots 30-35 lb", None),
    ("apples 3 boxes", None),
    ("cabbage 1 doz heads", ("12", "head", "Cabbage", "", "C")),
    ("squash: butternut 12, acorn 8", None),
    ("pumpkins three", None),
    ("dry goods", None),
    ("50# sugar", ("50", "lb", "Sugar", "", "")),
    ("Oats 10lb 6oz", ("83/8", "lb", "Rolled oats", "", "")),
    ("salt 4 26oz boxes", ("4", "26 oz box", "Salt", "", "")),
    ("TOTAL JARS 327", None),
]
ANOTHERS_HEADINGS = {"== TOP SHELF (N2) ==", "FREEZER #1", "ROOT CELLAR", "dry goods", "TOTAL JARS 327"}


def test_another_strangers_list_has_no_wrong_number_and_nothing_is_left_out_but_headings() -> None:
    counted = read("\n".join(line for line, _ in ANOTHER))
    by_number = {line.number: line for line in counted.lines}
    assert {ANOTHER[line.number - 1][0] for line in counted.left_out} == ANOTHERS_HEADINGS
    asked = {ANOTHER[question.number - 1][0] for question in counted.questions}
    assert asked == {written for written, right in ANOTHER if right is None} - ANOTHERS_HEADINGS
    for number, (written, right) in enumerate(ANOTHER, start=1):
        if right is not None:
            line = by_number[number]
            found = (line.count, line.size.partition("=")[0].strip(), line.thing, line.put_up, line.place)
            assert found == (Fraction(right[0]), *right[1:]), written
    assert counted.order == "months first"  # 11-15-25 tells it


@pytest.mark.parametrize(
    ("line", "answer", "right"),
    [
        ("applesauce 7+5 qts", "12", ("12", "qt")),
        ("Peaches: 14 qts + 3 pts", "yes", ("14", "qt")),
        ("apples 2 bushels", "bushel = 48 lb", ("96", "lb")),
        ("salt 2 boxes", "box = 26 oz", ("13/4", "lb")),
        ("~10 qt applesauce", "yes", ("10", "qt")),
        ("pumpkins three", "3", ("3", "each")),
    ],
)
def test_numbers_that_nothing_read_are_settled_by_an_answer(line: str, answer: str, right: tuple[str, str]) -> None:
    assert read(line).questions
    counted = read(line, answers=(f"1={answer}",))
    assert [(n.count, n.size) for n in counted.lines] == [(Fraction(right[0]), right[1])]


def test_a_kind_of_a_thing_keeps_its_own_name_beside_the_plain_one() -> None:
    counted = read("Golden Queen peaches 9 qts\npeaches 3 qts\nalmond butter 2 pts, P", answers=("1=Peaches in syrup",))
    assert [(n.product, n.thing, n.count) for n in counted.lines] == [
        ("Golden Queen peaches", "Peaches in syrup", 9), ("Peaches", "Peaches in syrup", 3),
    ]  # fmt: skip
    assert [q.number for q in counted.questions] == [3]  # no butter, for somebody who must not have nuts
    merged = read("passata 2 qt\ntomato sauce 3 qt").lines[1]
    assert (merged.product, merged.guesses) == (
        "Passata", ("'tomato sauce' is counted as Passata, another name of the same",),
    )  # fmt: skip


def test_a_table_says_more_than_its_count_only_where_it_is_asked() -> None:
    heads = "What,No.,Bottled on,Shelf\n"
    counted = read(f"{heads}Salsa,7 pts,12 Sep 2025,N2\nKetchup,7 pts + 2 hp,,N2\nLime pickle,~4 pts,,N2", table=True)
    assert [(n.count, n.put_up) for n in counted.lines] == [(7, "2025-09-12")]
    assert [q.number for q in counted.questions] == [3, 4]
