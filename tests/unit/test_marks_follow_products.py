"""Marks follow the product into every dish and leaving, for planner and (written apart) checker; slips are told."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.actions.larder import load_larder
from pantrymeals.checking.marks import _AS_KEPT, _FOODS, marks_of
from pantrymeals.checking.marks import marks_of_dish as checked_marks
from pantrymeals.contents_told import TABLE, told_by
from pantrymeals.errors import MistakesInFiles
from pantrymeals.files.agreement import one_slip
from pantrymeals.larder.table import marks_of_dish, tables
from pantrymeals.menu.menu import marks_nothing_carries
from pantrymeals.menu.week.possible import _stands
from pantrymeals.records import Household
from tests.kitchens.own_rules import marks_with_leavings
from tests.unit.book.kitchen import TODAY, product

HOUSE = """household: Test
today: 2026-01-17
people:
  - {name: Edda, must_not: [%s]}
meals: {supper: {roles: [main]}}
places: [{code: K, name: press, kind: pantry}]
"""


def home(
    folder: Path, must_not: str, contents: str = "", more: dict[str, str] | None = None, rows: str = ""
) -> Household:
    (folder / "household.yaml").write_text(HOUSE % must_not, encoding="utf-8")
    products = f"product,family,kind,sizes,weight_g,contents\nCheese,,fridge,lb,,{contents}\n"
    products += "Cabbage,cabbage,cellar,head,908,\nSauerkraut,cabbage,jar,qt,,\nSausage,,freezer,lb,,\n"
    (folder / "products.csv").write_text(products + rows, encoding="utf-8")
    (folder / "stock.csv").write_text("product,size,count,place\n", encoding="utf-8")
    for name, text in (more or {}).items():
        (folder / "recipes").mkdir(exist_ok=True)
        (folder / "recipes" / name).write_text(text, encoding="utf-8")
    return load_larder(folder, None, TODAY)


@pytest.mark.parametrize(
    "name", ["Sausage", "Bacon", "Ham, half", "Sauerkraut", "Dill cucumbers", "Dilly beans", "Salt pork"]
)
def test_what_is_cured_or_brined_is_salty_wherever_it_goes(name: str) -> None:
    assert "salty" in told_by(name, "")
    assert "salty" in marks_of(product(name))


@pytest.mark.parametrize(
    "name", ["Olive oil", "Sausage, unsalted", "Bacon, no salt", "Hamburger", "Pork chops", "Cabbage", "Beets, pickled"]
)
def test_what_is_not_is_left_as_written(name: str) -> None:
    assert told_by(name, "") - {"pork"} == set()
    assert marks_of(replace(product(name), contents=frozenset({"Pork"}))) == {"pork"}


def test_a_household_that_marked_nothing_has_salty_sausage(tmp_path: Path) -> None:
    assert home(tmp_path, "salty").products["Sausage"].contents == {"salty"}


@pytest.mark.parametrize(("mark", "near"), [("mlik", "milk"), ("mil", "milk"), ("milkk", "milk"), ("milt", "milk")])
def test_a_mark_one_slip_from_a_must_not_is_a_mistake_with_its_line(tmp_path: Path, mark: str, near: str) -> None:
    if len(mark) < 4:
        assert not one_slip(mark, near)
        return
    with pytest.raises(MistakesInFiles, match=rf"products.csv:2: .*{mark}.*did you mean .*{near}"):
        home(tmp_path, "milk", mark)


@pytest.mark.parametrize(("word", "near"), [("mlik", "milk"), ("milkk", "milk"), ("saltly", "salty")])
def test_a_must_not_one_slip_from_what_several_things_carry_is_the_mistake(
    tmp_path: Path, word: str, near: str
) -> None:
    """'mlik' of a person was said of every product with milk in it, and never of the line where it stands."""
    rows = "Bacon,,freezer,lb,,salty\nHam,,freezer,lb,,salty\nCream,,fridge,pt,,milk\nButter,,fridge,lb,,milk\n"
    with pytest.raises(MistakesInFiles) as caught:
        home(tmp_path, word, "milk", rows=rows)
    (mistake,) = caught.value.mistakes
    assert mistake.place.file == "household.yaml"
    assert f"'{word}'" in mistake.wrong
    assert near in mistake.right


def test_the_mark_itself_and_another_word_are_no_slips(tmp_path: Path) -> None:
    assert home(tmp_path, "milk", "milk").products["Cheese"].contents == {"milk"}
    assert not one_slip("honey", "money box")
    assert one_slip("saltly", "salty")


def test_a_must_not_that_nothing_carries_is_said_until_it_is_settled(tmp_path: Path) -> None:
    said = marks_nothing_carries(home(tmp_path, "dairy", "milk"))
    assert len(said) == 1
    assert "Edda must not have 'dairy'" in said[0]
    assert "milk is marked here" in said[0]
    assert marks_nothing_carries(home(tmp_path, "milk", "milk")) == ()
    (half,) = marks_nothing_carries(home(tmp_path, "dairy", "dairy", rows="Butter,,fridge,lb,,\n"))
    assert "Cheese and Butter are marked milk alone" not in half
    assert "Butter is marked milk alone" in half


KRAUT = "name: Kraut\nbatch: yes\nuses: [6 head Cabbage]\nmakes: [{} qt Sauerkraut]\nminutes: 60\n"


def test_what_a_batch_day_makes_is_held_against_the_published_yield(tmp_path: Path) -> None:
    with pytest.raises(MistakesInFiles, match=r"kraut.yaml:1.* makes 10 qt Sauerkraut of 12 lb.*the tables fill 4"):
        home(tmp_path, "milk", "milk", {"kraut.yaml": KRAUT.format(10)})
    made = home(tmp_path, "milk", "milk", {"kraut.yaml": KRAUT.format(4)}).batch_days["Kraut"].makes
    assert [option.amount for option in made] == [Fraction(4) * made[0].amount / 4]


def test_a_batch_day_or_a_calendar_that_brings_what_no_process_is_tested_for_is_a_mistake(tmp_path: Path) -> None:
    calendar = "coming_in:\n  - {product: %s, amount: 1 pt, day: 2026-02-01}\n"
    (tmp_path / "calendar.yaml").write_text(calendar % "Canned butter", encoding="utf-8")
    untested = "name: Butter day\nbatch: yes\nuses: [1 lb Cheese]\nmakes: [4 pt Canned butter]\nminutes: 60\n"
    with pytest.raises(MistakesInFiles) as found:
        home(tmp_path, "milk", "milk", {"butter.yaml": untested}, "Canned butter,,jar,pt,,milk\n")
    said = str(found.value)
    assert "calendar.yaml:2" in said
    assert "butter.yaml:1" in said
    assert said.count("no tested process for Canned butter") == 2
    (tmp_path / "calendar.yaml").write_text(calendar % "Apple butter", encoding="utf-8")
    (tmp_path / "recipes" / "butter.yaml").write_text(untested.replace("Canned", "Apple"), encoding="utf-8")
    made = home(tmp_path, "milk", "milk", None, "Apple butter,,jar,pt,,\n")
    assert [arrival.product for arrival in made.arrivals] == ["Apple butter"]


@pytest.mark.parametrize(
    ("name", "marks"),
    [
        ("Butter", {"milk"}), ("Butter, frozen", {"milk"}), ("Goat cheese", {"milk"}), ("Sour cream", {"milk"}),
        ("Eggs, beaten", {"egg"}), ("Lemon curd", {"milk", "egg"}), ("Bread flour", {"wheat"}), ("Bread", {"wheat"}),
        ("Egg noodles", {"egg", "wheat"}), ("Black walnuts", {"tree nut"}), ("Peanut butter", {"peanut"}),
        ("Trout, canned", {"fish"}), ("Soy sauce", {"soy", "wheat", "salty"}), ("Lard", {"pork"}),
        ("Honey", {"honey"}), ("Tahini", {"sesame"}), ("Celeriac", {"celery"}), ("Hummus", {"sesame"}),
    ],
)  # fmt: skip
def test_a_name_tells_what_is_in_it(name: str, marks: set[str]) -> None:
    assert told_by(name) == marks


@pytest.mark.parametrize(
    "name",
    [
        "Apple butter", "Pear butter", "Butter beans", "Squash, butternut", "Bread-and-butter cucumbers", "Oat milk",
        "Damson cheese", "Cream style corn", "Creamed honey", "Coconut milk", "Buckwheat flour", "Flour, rice", "Peas",
        "Pasta sauce", "Eggplant", "Crab-apple jelly", "Oyster mushrooms", "Nutmeg", "Coconut", "Bread, gluten-free",
        "Olive oil", "Squash, spaghetti",
        "Hamburger", "Honeydew melon", "Sausage, no salt", "Bacon, vegetarian and unsalted", "Butter, dairy-free",
    ],
)  # fmt: skip
def test_what_only_looks_like_it_is_not_marked(name: str) -> None:
    assert told_by(name) - {"honey"} == set()


def test_a_name_by_which_it_is_also_called_tells_too_and_says_what_it_is_without() -> None:
    assert told_by("Spread", "", "peanut butter") == {"peanut"}
    assert told_by("Basil paste", "basil", "pesto; basil paste, no nuts") == set()
    assert told_by("Ham", "pork", "unsalted ham") == {"pork", "salty"}
    assert told_by("Ham, no salt", "pork", "ham") == {"pork"}


def test_a_household_that_writes_none_is_believed(tmp_path: Path) -> None:
    assert home(tmp_path, "honey", "none; honey").products["Cheese"].contents == {"honey"}


def test_the_second_eyes_never_see_a_mark_that_the_reader_does_not() -> None:
    """The checker's own words are fewer: it may miss one, but a menu is never called broken for what was not read."""
    for mark, foods in _FOODS.items():
        for name in (f"{food}, {kept}".strip(", ") for food in foods for kept in ("", *_AS_KEPT)):
            assert mark in marks_of(product(name)), name
            assert marks_of(product(name)) <= told_by(name), name


LOAF = """name: Meat loaf
role: main
serves: 4
uses: [1 lb Sausage, %s]
leaves: {name: cold loaf, portions: 4, days: 3}
"""
COLD = "name: Cold loaf\nrole: main\nserves: 4\nuses: [1 head Cabbage]\nneeds_left: cold loaf\n"


@pytest.mark.parametrize(
    ("with_it", "barred"), [("1 lb Cheese", True), ("1 head Cabbage or 1 lb Cheese", True), ("1 head Cabbage", False)]
)
def test_what_is_made_from_a_leaving_has_in_it_what_that_had(tmp_path: Path, with_it: str, barred: bool) -> None:
    there = home(tmp_path, "milk", "milk", {"loaf.yaml": LOAF % with_it, "cold.yaml": COLD})
    cold = there.dishes["Cold loaf"]
    assert ("milk" in marks_of_dish(there, cold)) == barred
    assert ("milk" in checked_marks(there, cold)) == barred
    assert ("milk" in marks_with_leavings(there, cold)) == barred
    assert cold.contents == set()


@pytest.mark.parametrize(("must_not", "stands"), [("milk", False), ("egg", True)])
def test_a_dish_made_from_what_someone_must_not_have_is_not_theirs(tmp_path: Path, must_not: str, stands: bool) -> None:
    there = home(tmp_path, must_not, "milk", {"loaf.yaml": LOAF % "1 lb Cheese", "cold.yaml": COLD})
    (table,) = tables(there, TODAY, 1)
    assert (_stands(there, table, there.dishes["Cold loaf"], frozenset()) is not None) == stands


@pytest.mark.parametrize(
    ("named", "tags", "wrong"),
    [
        ("Dairy-free cabbage", "[]", "without 'milk', and Cheese has it"), ("Cabbage", "[milk-free]", "without 'milk'"),
        ("Cabbage, no salt", "[]", "without 'salty', and Sausage has it"), ("Cabbage with sausage", "[meatless]", ""),
        ("Egg-free cabbage", "[]", ""),
    ],
)  # fmt: skip
def test_a_dish_that_says_it_is_without_what_it_has_is_a_mistake(
    tmp_path: Path, named: str, tags: str, wrong: str
) -> None:
    text = f"name: {named}\nrole: main\nserves: 4\nuses: [1 lb Cheese, 1 lb Sausage]\ntags: {tags}\n"
    if not wrong:
        assert home(tmp_path, "milk", "milk", {"own.yaml": text}).dishes[named].contents == set()
        return
    with pytest.raises(MistakesInFiles, match=rf"own.yaml:1.*{named} is said to be {wrong}"):
        home(tmp_path, "milk", "milk", {"own.yaml": text})


def test_each_word_of_the_table_is_found_by_its_first_letters() -> None:
    """The letters only spare the search: no word of a mark may be without its own."""
    for row in TABLE:
        patterns = re.split(r"\|(?![^()]*\))", row.words.removeprefix(r"\b(").removesuffix(r")\b"))
        for written in (*row.alone, *filter(None, patterns)):
            shortest = re.sub(r"\[- \]\?| \?|[a-z]\?", "", re.sub(r"\(([^()|]*)[^()]*\)\??", r"\1", written))
            assert row.mark in told_by(f"Some {shortest}") or re.search(row.not_meant, shortest), shortest
