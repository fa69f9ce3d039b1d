"""What is said of a spoilt household: every mistake, its place, and what would be right."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from pantrymeals.errors import Mistake, MistakesInFiles, Place

Told = Callable[..., list[str]]


def test_mistakes_of_all_files_are_told_in_one_go(told: Told) -> None:
    messages = told(
        {
            "household.yaml": "people: [{name: Wren, portion: lots}]\nmeals: {supper: {roles: [mian]}}\n",
            "stock.csv": "product,size,count\nGren beans,qt,1\nGreen beans,jar,-2\n",
            "calendar.yaml": "coming_in:\n  - {product: Kale, amount: 1 lb, day: 2026-02-30}\n",
            "recipes/potatoes.yaml": "name: Boiled potatoes\nrole: side\nserves: 0\nuses: [1 lb Spuds]\n",
        }
    )
    assert messages == [
        "calendar.yaml:2:29: Kale is kept in qt bag, not in lb; write an amount such as 1 qt bag",
        "calendar.yaml:2:40: there is no 2026-02-30; that month ends on 2026-02-28",
        "household.yaml: no day is given; write today: 2026-01-17 in this file",
        "household.yaml:1:32: 'lots' is not a number; write one such as 2, 1/2 or 0.5",
        "household.yaml:2:26: 'mian' will not do here; did you mean 'main'?",
        "recipes/potatoes.yaml:3:9: 0 is not more than 0; write a number more than 0",
        "recipes/potatoes.yaml:4:8: 'Spuds' is not in products.csv; correct the name, or add it to products.csv",
        "stock.csv:2:1: 'Gren beans' is not in products.csv; did you mean 'Green beans'?",
        "stock.csv:3:2: Green beans does not come in 'jar'; it comes in qt, pt; a new size goes in products.csv",
        "stock.csv:3:3: -2 is not more than 0; write a number more than 0",
    ]


def test_a_row_with_a_mistake_is_not_blamed_again_elsewhere(told: Told, hut: Path) -> None:
    text = (hut / "products.csv").read_text().replace("Green beans,bean,jar", "Green beans,bean,jra")
    assert told({"products.csv": text}) == ["products.csv:2:3: 'jra' will not do here; did you mean 'jar'?"]
    assert told({"products.csv": None}) == ["products.csv: this file is missing; write one row for each thing you keep"]


@pytest.mark.parametrize(
    ("cells", "message"),
    [
        ("X,,tin,,qt", "products.csv:2:3: 'tin' will not do here; write one of: jar, freezer, cellar, dry, fridge"),
        ("X,,jar,,qt; lb", "products.csv:2:5: 'qt' and 'lb' cannot be measured in each other; "
         "say what each holds: lb = 1 qt"),
        ("X,,jar,,bag = lots",
         "products.csv:2:5: what 'bag' holds is not clear: 'lots'; write it as bag = what one holds"),
        ("X,,jar,,qt; QT", "products.csv:2:5: the size 'QT' stands here twice; keep one"),
        ("X,,jar,,", "products.csv:2:5: there is no sizes; every row needs one"),
        ("X,,jar,,qt,,,,,,,2 lb", "products.csv:2:12: X is kept in qt, not in lb; write an amount such as 1 qt"),
        ("X,,jar,,qt,,,,,,,-2 qt", "products.csv:2:12: '-2 qt' is less than nothing; write an amount more than 0"),
        ("X,,jar,,qt,,,,,,new crop", "products.csv:2:11: there is a deadline (new crop) and no day; "
         "write the day in must_last_to"),
        ("X,,jar,,qt,,0", "products.csv:2:7: '0' will not do here; write a whole number from 1 to 3650"),
        ("X,,jar,,qt,,,,,,,,,,,,99999", "products.csv:2:17: there is no food '99999' in the food table; "
         "see pantrymeals/data/foods.csv, or leave it blank"),
        ("X,,jar,,qt\nx ,,jar,,pt", "products.csv:3:1: 'x' is already a name of X (line 2); "
         "give each product names of its own"),
        ("X,,jar,,qt\nY,,jar,,qt,,,,,,,,,,,X", "products.csv:3: 'x' is already a name of X (line 2); "
         "give each product names of its own"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_products(told: Told, hut: Path, cells: str, message: str) -> None:
    header = (hut / "products.csv").read_text().splitlines()[0]
    rest = "\n".join((hut / "products.csv").read_text().splitlines()[1:])
    messages = told({"products.csv": f"{header}\n{cells}\n{rest}\n"})
    assert messages == [message]


def test_a_price_under_both_its_names(told: Told, hut: Path) -> None:
    """Neither of two prices is taken in silence."""
    header, *rows = (hut / "products.csv").read_text().splitlines()
    table = [f"{header},price", "X,,jar,,qt,,,,,,,,,,,,,,3.60,,,4.10", *rows]
    assert told({"products.csv": "\n".join(table) + "\n"}) == [
        "products.csv:2:19: 'price_usd' and 'price' are the same; keep 'price'"
    ]


@pytest.mark.parametrize(
    ("name", "row", "message"),
    [
        ("stock.csv", "Green beans,qt,1.5", "stock.csv:2:3: Green beans is counted in whole qt, and this is "
         "1 1/2; write whole numbers here, and what is left of an opened one in open.csv"),
        ("stock.csv", "Green beans,qt,0", "stock.csv:2:3: 0 is not more than 0; write a number more than 0"),
        ("stock.csv", "Green beans,qt,1,2026-02-30", "stock.csv:2:4: there is no 2026-02-30; "
         "that month ends on 2026-02-28"),
        ("stock.csv", "Green beans,qt,1,,N2", "stock.csv:2:5: 'N2' is not a place of household.yaml; "
         "did you mean 'N1'?"),
        ("stock.csv", "Green beans,qt,1,,cave", "stock.csv:2:5: 'cave' is not a place of household.yaml; "
         "add it to the places of household.yaml"),
        ("stock.csv", "Green beans,qt,1,,,,,hold", "stock.csv:2:8: 'hold' will not do here; "
         "did you mean 'held'?"),
        ("stock.csv", "Green beans,qt,1,2024,N1\nKale,qt bag,1\nString beans,quarts,1,2024,n1",
         "stock.csv:4: this row says the same as line 2; if it stands here twice, take one out; if there are so many "
         "more, write one row with the sum"),
        ("stock.csv", ",qt,1", "stock.csv:2:1: there is no product; every row needs one"),
        ("open.csv", "Green beans,pt,1 qt,2026-01-15", "open.csv:2:3: more is left than one pt holds; "
         "write a row for each opened one"),
        ("open.csv", "Green beans,pt,some,2026-01-15", "open.csv:2:3: 'some' is not an amount; "
         "write one such as 1 qt"),
        ("standing.csv", "Green beans,1 lb,week", "standing.csv:2:2: Green beans is kept in qt, pt, not in lb; "
         "write an amount such as 1 qt"),
        ("standing.csv", "Green beans,1 qt,now and then", "standing.csv:2:3: 'now and then' does not say how "
         "often; write week, day, or a number such as 4 days"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_rows(told: Told, hut: Path, name: str, row: str, message: str) -> None:
    header = (hut / name).read_text().splitlines()[0]
    assert told({name: f"{header}\n{row}\n"}) == [message]


@pytest.mark.parametrize(
    ("cells", "messages"),
    [
        (",06-20,", ["standing.csv:2:5: this row says 'from' and no 'to'; write both days, such as 06-20 and 09-01"]),
        (",,09-01", ["standing.csv:2:6: this row says 'to' and no 'from'; write both days, such as 06-20 and 09-01"]),
        ("6-9,06-20,09-01", ["standing.csv:2:4: this row has both months and days; write the days alone, or a row for "
         "each"]),
        (",06-20,2026-09-01", ["standing.csv:2:6: '2026-09-01' is not a day of the year; write month and day, such as "
         "05-25"]),
        (",06-31,09-01", ["standing.csv:2:5: '06-31' is not a day of the year; write month and day, such as 05-25"]),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_days_of_standing_use(told: Told, cells: str, messages: list[str]) -> None:
    header = "product,amount,every,months,from,to,note"
    assert told({"standing.csv": f"{header}\nGreen beans,1 qt,week,{cells},\n"}) == messages


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("occasions: [{name: Fair}]", "calendar.yaml:1:13: this line says no day; "
         "write day: 2026-04-05, every: Sun, or from and to"),
        ("occasions: [{name: Fair, day: 2026-04-05, every: Sun}]", "calendar.yaml:1:50: this line has both "
         "'day' and 'every'; keep one"),
        ("occasions: [{name: Fair, from: 2026-04-05, to: 2026-04-04}]", "calendar.yaml:1:48: 2026-04-04 comes "
         "before 2026-04-05; let 'to' be the later day"),
        ("occasions: [{name: Fair, every: Sun, away: [Tom]}]", "calendar.yaml:1:45: 'tom' is nobody at this "
         "table; did you mean 'Tam'?"),
        ("occasions: [{name: Fair, every: Sun, dish: Bean stew}]", "calendar.yaml:1:44: there is no dish "
         "'bean stew'; did you mean 'Bean soup'?"),
        ("occasions: [{name: Fair, every: Sun, dish: Beets and kale}]", "calendar.yaml:1:44: 'beets and kale' "
         "takes what this larder does not keep: Beets, Beetroot, Kale in lb; name another dish"),
        ("occasions: [{name: Fair, every: Sun, gusts: 2}]", "calendar.yaml:1:38: 'gusts' is not known for an "
         "occasion; did you mean 'guests'?"),
        ("coming_in: [{product: Kail, amount: 1 qt bag, every: Sun}]", "calendar.yaml:1:23: 'Kail' is not in "
         "products.csv; did you mean 'Kale'?"),
        ("coming_in: [{product: Kale, amount: 1 qt bag, every: now and then}]", "calendar.yaml:1:54: 'now and "
         "then' does not say how often; write every: Sun, [Mon, Wed], week, or a number such as 4 days"),
        ("just words", "calendar.yaml:1:1: the calendar is written as 'name: value' lines; "
         "see how the others stand"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_calendar(told: Told, line: str, message: str) -> None:
    assert told({"calendar.yaml": line + "\n"}) == [message]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("fixed: {Fri: soup}", "fixed: {Fri: suop}", "household.yaml:16:16: no dish carries the tag 'suop'; "
         "did you mean 'soup'?"),
        ("fixed: {Fri: soup}", "fixed: {Fri: wedding}", "household.yaml:16:16: no dish carries the tag 'wedding'; "
         "write this tag under 'tags' of a dish"),
        ("fixed: {Fri: soup}", "fixed: {Fri: none}", "household.yaml:16:16: no dish carries the tag 'none'; "
         "write this tag under 'tags' of a dish"),
        ("at_most_in_7_days: {soup: 3}", "at_most_in_7_days: {soups: 3}", "household.yaml:14:23: no dish carries "
         "the tag 'soups'; did you mean 'soup'?"),
        ("must_not: [tree nut]", "must_not: [tree nuts]", "household.yaml:7:47: no product or dish carries the "
         "mark 'tree nuts'; did you mean 'tree nut'?"),
        ("name: Tam", "name: wren", "household.yaml:8:12: two people are called wren; "
         "give each a name of their own"),
        ("code: Bin 1", "code: n1", "household.yaml:22:12: two places have the code n1; give each a code of its own"),
        ("portion: 0.1", "portion: -1", "household.yaml:8:44: -1 is less than 0; write 0 or more"),
        ("last_frost: 05-25", "last_frost: 25 May", "household.yaml:4:13: '25 May' is not a day of the year; "
         "write month and day, such as 05-25"),
        ("altitude_ft: 2750", "altitude: 2750", "household.yaml:3:1: 'altitude' is not known for a household; "
         "did you mean 'altitude_m'?"),
        ("stretch: 1/4", "stretch: 4", "household.yaml:19:12: '4' would stretch a dish to more than twice; "
         "write a part, such as 0.25"),
        ("{Mon-Fri: 60, Sun: 120}", "{Mon-Fry: 60}", "household.yaml:17:22: 'Fry' is not a day of the week; "
         "the days are Mon, Tue, Wed, Thu, Fri, Sat, Sun"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_household(told: Told, hut: Path, old: str, new: str, message: str) -> None:
    text = (hut / "household.yaml").read_text()
    assert old in text
    messages = told({"household.yaml": text.replace(old, new)})
    assert [m for m in messages if m.startswith("household.yaml")] == [message]


@pytest.mark.parametrize(
    ("lines", "message"),
    [
        ("role: side\nserves: 2", "recipes/new.yaml:1:1: this dish uses nothing; "
         "list what it takes, such as '- 1 qt Green beans'"),
        ("role: side\nserves: 2\nuses: [0 qt Green beans]", "recipes/new.yaml:4:8: '0 qt Green beans' is nothing; "
         "write an amount more than 0"),
        ("role: side\nserves: 2\nuses: [1 qt Gren beans]", "recipes/new.yaml:4:8: 'Gren beans' is not in "
         "products.csv; did you mean 'Green beans'?"),
        ("role: side\nserves: 2\nuses: [1 lb Green beans]", "recipes/new.yaml:4:8: Green beans is kept in qt, pt, "
         "not in lb; write an amount such as 1 qt"),
        ("role: side\nserves: 2\nuses: [{use: 1 qt bag Kale, insted: 1 qt Kale}]", "recipes/new.yaml:4:29: "
         "'insted' is not known for a use; a use has: use, or, stand_in, note"),
        ("serves: 2\nuses: [1 qt bag Kale]", "recipes/new.yaml:1:1: a dish needs 'role'; write 'role: ...'"),
        ("role: side\nserves: 2\nuses: [1 qt bag Kale]\nminutes: 10\nhands_on_minutes: 20",
         "recipes/new.yaml:6:19: 20 minutes of work do not fit in 10; minutes is the whole time"),
        ("role: side\nserves: 2\nuses: [1 qt bag Kale]\nnot_with: [bean]", "recipes/new.yaml:5:12: 'bean' is "
         "neither a dish nor a tag of one; did you mean 'beans'?"),
        ("role: side\nserves: 2\nuses: [1 qt bag Kale]\nneeds_left: cold sup", "recipes/new.yaml:5:13: no dish "
         "leaves 'cold sup'; did you mean 'cold soup'?"),
        ("role: side\nserves: 2\nuses: [1 qt bag Kale]\ninstead: [{for: Wern, what: none}]", "recipes/new.yaml:5:11: "
         "'wern' is nobody at this table; did you mean 'wren'?"),
        ("role: side\nserves: 2\nuses: [1 qt bag Kale]\nliking: 3", "recipes/new.yaml:5:9: '3' will not do here; "
         "write a whole number from -2 to 2"),
        ("batch: yes\nuses: [1 qt bag Kale]", "recipes/new.yaml:1:1: a batch day needs 'makes'; write 'makes: ...'"),
        ("batch: yes\nuses: [1 qt bag Kale]\nmakes: [1 qt Kraut]", "recipes/new.yaml:4:9: 'Kraut' is not in "
         "products.csv; correct the name, or add it to products.csv"),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_recipe(told: Told, lines: str, message: str) -> None:
    assert told({"recipes/new.yaml": f"name: New dish\n{lines}\n"}) == [message]


def test_two_dishes_of_one_name(told: Told) -> None:
    text = "name: bean  SOUP\nrole: side\nserves: 2\nuses: [1 qt bag Kale]\n"
    assert told({"recipes/new.yaml": text}) == [
        "recipes/new.yaml:1:7: 'bean SOUP' is already a dish at recipes/bean-soup.yaml:1:7; "
        "give one of them another name"
    ]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (b"product,size,count\nW\xfcrze,qt,1\n", ":2:2: this file is not UTF-8 text; "
         "save it again with the encoding UTF-8"),
        ("product,size,count\n".encode("utf-16"), ":1:1: this file is not UTF-8 text; "
         "save it again with the encoding UTF-8"),
        (b"product,size\x00,count\n", ":1:13: there is a character that is not text (U+0000); "
         "delete it, or save the file again as plain text"),
        (b"x" * 10_000_000, ": this file is 10.0 MB; a household's file is at most 2 MB"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("name", ["stock.csv", "calendar.yaml"])
def test_files_that_are_no_text(told: Told, name: str, content: bytes, message: str) -> None:
    assert told({name: content}) == [name + message]


def test_files_that_are_no_files(told: Told, hut: Path) -> None:
    (hut / "stock.csv").unlink()
    (hut / "stock.csv").mkdir()
    (hut / "open.csv").unlink()
    os.mkfifo(hut / "open.csv")
    (hut / "standing.csv").unlink()
    (hut / "standing.csv").symlink_to(hut / "nowhere")
    for path in (hut / "recipes").iterdir():
        path.unlink()
    (hut / "recipes").rmdir()
    (hut / "recipes").write_text("Bean soup\n")
    (hut / "household.yaml").write_text((hut / "household.yaml").read_text().replace("fixed: {Fri: soup}", ""))
    assert told({"calendar.yaml": ""}) == [
        "open.csv: this is not an ordinary file; put a plain file in its place",
        "recipes: this cannot be read as a folder (Not a directory); keep recipes in it",
        "standing.csv: this is not an ordinary file; put a plain file in its place",
        "stock.csv: this is a folder; a file named stock.csv belongs here",
    ]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("weekdays: [Sun, Mondy]", "recipes/fry.yaml:5:17: 'Mondy' is not a day of the week; "
         "the days are Mon, Tue, Wed, Thu, Fri, Sat, Sun"),
        ("not_for: tin", "recipes/fry.yaml:5:10: 'tin' will not do here; did you mean 'tins'?"),
        ("not_for: Joss", "recipes/fry.yaml:5:10: 'Joss' will not do here; write one of: tins, feast"),
        ("weekday: Sun", "recipes/fry.yaml:5:1: 'weekday' is not known for a dish; did you mean 'weekdays'?"),
    ],
)  # fmt: skip
def test_where_a_dish_may_stand(told: Told, line: str, message: str) -> None:
    recipe = f"name: Fry\nrole: lunch\nserves: 4\nuses: [1 qt Green beans]\n{line}\n"
    assert told({"recipes/fry.yaml": recipe}) == [message]


def test_a_rule_of_the_day_with_a_slip_of_the_pen(told: Told, hut: Path) -> None:
    rules = "house_rules: {not_twice_in_a_day: [soupp]}\n"
    text = (hut / "household.yaml").read_text()
    assert "house_rules" in text
    spoilt = re.sub(r"(?ms)^house_rules:.*?(?=^\S)", rules, text)
    assert [m for m in told({"household.yaml": spoilt}) if "soupp" in m] == [
        f"household.yaml:{1 + spoilt[: spoilt.index('soupp')].count(chr(10))}:36: no dish carries the tag 'soupp'; "
        "did you mean 'soup'?"
    ]


def test_mistakes_of_one_habit_are_one_line_with_a_count_and_the_first_places() -> None:
    days = [
        Mistake(Place("stock.csv", line, 4), f"'{line}/09/2025' is not a day", "write it year first")
        for line in range(2, 14)
    ]
    three = [Mistake(Place("open.csv", line, 4), f"'{line}' is not a day", "write it year first") for line in (2, 3, 4)]
    other = Mistake(Place("stock.csv", 5, 1), "'Tomatos' is not in products.csv")
    told = MistakesInFiles([*days, *three, other])
    assert len(told.mistakes) == 16
    assert str(told).splitlines() == [
        "open.csv:2:4: '2' is not a day; write it year first",
        "open.csv:3:4: '3' is not a day; write it year first",
        "open.csv:4:4: '4' is not a day; write it year first",
        "stock.csv:2:4: '2/09/2025' is not a day; write it year first "
        "(12 of this kind in stock.csv, first on lines 2, 3, 4)",
        "stock.csv:5:1: 'Tomatos' is not in products.csv",
    ]
