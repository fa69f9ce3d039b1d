"""Reading what comes in fresh: its days and what waits for it, and lines of calendar.yaml that speak of every year."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.household import read_household
from pantrymeals.records import Household

PRODUCTS = """product,family,kind,sizes,loose,fresh_days,eaten_before,must_last_to,deadline
Beans,bean,jar,qt,,,,2026-08-01,new crop
Bean bags,bean,freezer,qt bag = 1 qt,,,,,
"Beans, fresh",bean,fridge,lb,yes,5,beans; Bean bags,,
"""
HOUSE = """household: Tiny
today: 2026-07-01
people: [{name: Ann, born: 1980-05-01}]
meals: {supper: {roles: [main]}}
"""
CALENDAR = """coming_in:
  - {product: "Beans, fresh", amount: 2 lb, every: [Mon, Thu], from: 07-15, to: 09-20}
occasions:
  - {day: 12-25, name: Christmas, guests: 2}
  - {from: 12-20, to: 01-06, name: away, guests: 1}
"""


def folder(path: Path, products: str = PRODUCTS, calendar: str = CALENDAR) -> Path:
    (path / "products.csv").write_text(products)
    (path / "household.yaml").write_text(HOUSE)
    (path / "calendar.yaml").write_text(calendar)
    (path / "stock.csv").write_text("product,size,count\nBeans,qt,3\n")
    return path


def read(path: Path, **files: str) -> Household:
    (path / "no recipes").mkdir()
    return read_household(folder(path, **files), starter=path / "no recipes")


def mistakes(path: Path, **files: str) -> list[str]:
    with pytest.raises(MistakesInFiles) as found:
        read(path, **files)
    return [str(mistake) for mistake in found.value.mistakes]


def test_a_fresh_thing_comes_every_year_and_its_jars_wait(tmp_path: Path) -> None:
    home = read(tmp_path)
    fresh = home.products["Beans, fresh"]
    assert (fresh.fresh_days, fresh.eaten_before) == (5, ("Beans", "Bean bags"))
    came = [a.day for a in home.arrivals]
    assert came[0] == date(2026, 7, 16)
    assert date(2027, 7, 15) in came
    assert {d.weekday() for d in came} == {0, 3}
    waits = home.products["Beans"].waits_on
    assert home.products["Bean bags"].waits_on == waits
    assert date(2026, 7, 15) not in waits
    assert date(2026, 7, 16) in waits
    assert date(2026, 9, 21) in waits
    assert date(2026, 9, 22) not in waits
    assert date(2025, 8, 1) in waits


def test_a_feast_of_every_year_falls_in_each_and_a_run_goes_over_the_new_year(tmp_path: Path) -> None:
    home = read(tmp_path)
    days = {(o.name, o.first, o.last) for o in home.occasions}
    assert {("Christmas", date(y, 12, 25), date(y, 12, 25)) for y in (2025, 2026, 2027)} <= days
    assert ("away", date(2026, 12, 20), date(2027, 1, 6)) in days


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("lb,yes,5", "lb,,5", "what is fresh is not opened whole"),
        ("bean,fridge,lb,yes,5,", "bean,fridge,lb,yes,,", "eaten_before is said, and no fresh_days"),
        ("beans; Bean bags,,", "beans; Bean bags,2026-09-01,new crop", "no day to last to and no reserve"),
        ("beans; Bean bags", "Baens", "'Baens' is not in products.csv"),
        ("yes,5,", "yes,0,", "products.csv:4"),
    ],
)
def test_mistakes_have_their_line(tmp_path: Path, old: str, new: str, said: str) -> None:
    found = mistakes(tmp_path, products=PRODUCTS.replace(old, new))
    assert any(said in line and line.startswith("products.csv:4") for line in found), found


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{product: Beans, amount: 1 qt, from: 07-15, to: 2026-09-20}", "is not a day of the year"),
        ("{product: Beans, amount: 1 qt, from: 07-15}", "'to'"),
        ("{product: Beans, amount: 1 qt, day: 07-15, to: 09-20}", "both 'day' and 'to'"),
    ],
)
def test_a_line_of_every_year_says_both_its_days(tmp_path: Path, line: str, said: str) -> None:
    found = mistakes(tmp_path, calendar=f"coming_in:\n  - {line}\n")
    assert any(said in text and text.startswith("calendar.yaml:2") for text in found), found


def test_rules_of_some_days_and_days_without_tins_are_read(tmp_path: Path) -> None:
    more = """house_rules:
  during:
    - {name: canning, from: 12-20, to: 01-06, fixed: {Wed: none}, hands_on_minutes: {Mon-Tue: 20},
       longest_minutes: {Sat: 30}}
    - {name: hot, from: 06-15, to: 09-15, without: [Porridge, soup]}
"""
    path = folder(tmp_path, calendar="occasions:\n  - {day: 12-25, name: Christmas, no_tins: all}\n")
    (path / "household.yaml").write_text(HOUSE + more)
    (path / "no recipes").mkdir()
    home = read_household(path, starter=path / "no recipes")
    row, hot = home.rules.during
    assert hot.without == frozenset({"porridge", "soup"})
    assert (row.name, row.first, row.last, row.fixed) == ("canning", (12, 20), (1, 6), {"Wed": ""})
    assert (row.hands_on_minutes, row.longest_minutes) == ({"Mon": 20, "Tue": 20}, {"Sat": 30})
    assert {o.no_tins for o in home.occasions} == {frozenset({"Ann"})}


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("{name: x, from: 13-01, to: 01-06, fixed: {Mon: none}}", "is not a day of the year"),
        ("{name: x, from: 12-01, to: 01-06}", "nothing is otherwise in these days"),
        ("{from: 12-01, to: 01-06, fixed: {Mon: none}}", "needs 'name'"),
        ("{name: x, from: 12-01, to: 01-06, fixed: {Mon: soup}}", "no dish carries the tag 'soup'"),
        ("{name: x, from: 12-01, to: 01-06, hands_on_minutes: {Mon: few}}", "few"),
    ],
)
def test_mistakes_of_such_rows_have_their_line(tmp_path: Path, row: str, said: str) -> None:
    path = folder(tmp_path)
    (path / "household.yaml").write_text(HOUSE + f"house_rules:\n  during:\n    - {row}\n")
    (path / "no recipes").mkdir()
    with pytest.raises(MistakesInFiles) as found:
        read_household(path, starter=path / "no recipes")
    assert [line for line in map(str, found.value.mistakes) if said in line and line.startswith("household.yaml:7")]


def test_someone_unknown_carries_no_tin(tmp_path: Path) -> None:
    found = mistakes(tmp_path, calendar="occasions:\n  - {day: 12-25, name: Christmas, no_tins: [Anne]}\n")
    assert any("'Anne' is nobody at this table" in line or "'anne'" in line for line in found), found
