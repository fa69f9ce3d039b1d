"""Each caution of a pull list where it is due and nowhere else; what is opened frozen, or keeps four days at most."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace

from pantrymeals.cautions import BOIL_BEANS, CAUTIONS, HEAT_FIRST
from pantrymeals.files.gathering import Gathering
from pantrymeals.files.products import read_products
from pantrymeals.plans.menu import PullLine
from pantrymeals.pull.cautions import pull_cautions
from pantrymeals.records import MealRoles, Occasion, Person, Product
from tests.kitchens.tiny import kitchen
from tests.unit.book.kitchen import TODAY, product

ANN = Person("Ann", date(1985, 5, 1), Fraction(1))
SUPPER = MealRoles("supper", dict.fromkeys(("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"), ("main",)), {})


class Plan:
    """What the cautions ask of a plan: its days."""

    first = TODAY
    days = 7


def said(goods: Product, *people: Person, kind: str = "jar", occasions: tuple[Occasion, ...] = ()) -> tuple[str, ...]:
    home = kitchen(products=(goods,), lots=(), dishes=(), people=people or (ANN,), meals=(SUPPER,), occasions=occasions)
    line = PullLine(TODAY, "K", kind, goods.name, goods.sizes[0].name, Fraction(1), "2025", TODAY, "x", None)  # type: ignore[arg-type]
    return pull_cautions(home, Plan(), [line])  # type: ignore[arg-type]


SAUCE = product("Applesauce", acid="high")


def test_low_acid_jars_are_heated_before_they_are_tasted() -> None:
    assert HEAT_FIRST.words in said(product("Green beans", acid="low"))
    assert HEAT_FIRST.words not in said(SAUCE)


def test_dried_beans_are_boiled_and_peas_are_not_named() -> None:
    assert BOIL_BEANS.words in said(product("Brown beans, dry", "lb", kind="dry", whole=False), kind="loose")
    assert BOIL_BEANS.words not in said(product("Split peas", "lb", kind="dry", whole=False), kind="loose")
    assert BOIL_BEANS.words not in said(product("Green beans", acid="low"))


@pytest.mark.parametrize(("name", "family", "boiled"), [
    ("Kidney beans", "", True), ("Borlotti", "", True), ("Runners", "dry bean", True), ("Navy", "", True),
    ("Coffee beans", "coffee", False), ("Chickpeas", "dry bean", False), ("Peanut butter", "dry bean", False),
    ("Red lentils", "lentil", False),
])  # fmt: skip
def test_which_dried_goods_are_such_beans(name: str, family: str, boiled: bool) -> None:
    goods = replace(product(name, "kg", kind="dry", whole=False), family=family)
    assert (BOIL_BEANS.words in said(goods, kind="loose")) == boiled


@pytest.mark.parametrize(("born", "care"), [
    (date(2021, 1, 23), True), (date(2021, 1, 17), False), (date(2025, 6, 1), True), (date(1990, 1, 1), False),
])  # fmt: skip
def test_extra_care_for_the_very_young_up_to_the_fifth_birthday(born: date, care: bool) -> None:
    assert (CAUTIONS["C26"].words in said(SAUCE, replace(ANN, born=born))) == care


@pytest.mark.parametrize(("born", "honey"), [(date(2025, 2, 1), True), (date(2025, 1, 17), False)])
def test_honey_until_the_first_birthday(born: date, honey: bool) -> None:
    assert (CAUTIONS["C19"].words in said(SAUCE, replace(ANN, born=born))) == honey


@pytest.mark.parametrize(("born", "care"), [(1961, True), (1962, False)])
def test_extra_care_for_the_very_old(born: int, care: bool) -> None:
    assert (CAUTIONS["C26"].words in said(SAUCE, replace(ANN, born=date(born, 1, 1)))) == care


def test_hot_food_hot_where_more_eat_than_usual() -> None:
    crew = Occasion(TODAY, TODAY, "sugaring crew", Fraction(4), kind="crew")
    assert CAUTIONS["C28"].words in said(SAUCE, occasions=(crew,))
    assert CAUTIONS["C28"].words not in said(
        SAUCE, occasions=(replace(crew, first=date(2026, 3, 1), last=date(2026, 3, 1)),)
    )


def test_wild_food_is_named() -> None:
    assert any(CAUTIONS["C29"].words in words and "Venison" in words for words in said(product("Venison chunks")))
    assert not any(CAUTIONS["C29"].words in words for words in said(product("Beef chunks")))


def test_an_opened_bag_goes_back_to_the_freezer_and_is_not_sent_to_the_fridge() -> None:
    bag = said(product("Raspberries", "qt bag = 1 qt", kind="freezer", opened_days=60))
    assert any("back into the freezer" in words for words in bag)
    assert not any(words.startswith("Once opened: into the fridge") for words in bag)
    short = said(product("Chard", "qt bag = 1 qt", kind="freezer", opened_days=3))
    assert any(words.startswith("Once opened: into the fridge") for words in short)


@pytest.mark.parametrize(
    ("row", "wrong"),
    [
        ("Basil paste,freezer,,pt,5", True), ("Basil paste,freezer,,pt,4", False),
        ("Garlic in oil,fridge,,pt,14", True),
        ("Green beans,jar,low,pt,5", True), ("Green beans,jar,low,pt,4", False), ("Applesauce,jar,high,pt,7", False),
        ("Chard,freezer,low,pt,7", False),
    ],
)  # fmt: skip
def test_what_keeps_four_days_once_opened_cannot_be_written_longer(tmp_path: Path, row: str, wrong: bool) -> None:
    file = tmp_path / "products.csv"
    file.write_text(f"product,kind,acid,sizes,opened_days\n{row}\n", encoding="utf-8")
    gathering = Gathering()
    read_products(file, gathering)
    assert [str(m.place) for m in gathering.found] == (["products.csv:2:5"] if wrong else [])


@pytest.mark.parametrize(
    ("row", "days", "who"),
    [
        ("Applesauce,jar,high,pt,7", 4, "USDA FSIS), in place of 7"), ("Jam,jar,high,hp,30", 4, "in place of 30"),
        ("Jam,jar,high,hp,3", 3, ""), ("Jam,jar,high,hp,4", 4, ""), ("Dills,jar,acidified,qt,", 4, "USDA FSIS)"),
        ("Green beans,jar,low,pt,", 4, "home-canned low-acid food"), ("Amber,jar,,qt,9", 4, "any opened home-canned"),
        ("Garlic in oil,fridge,,pt,", 4, "herbs or garlic in oil"), ("Jam from the store,jar,high,hp,30", 30, ""),
        ("Jam,jar,high,tin = 1 hp,30", 30, ""), ("Peas,freezer,low,qt,7", 7, ""), ("Milk,fridge,,gal,", None, ""),
    ],
)  # fmt: skip
def test_the_careful_days_count_for_every_opened_home_canned_jar(
    tmp_path: Path, row: str, days: int | None, who: str
) -> None:
    """USDA FSIS, Shelf-Stable Food Safety, 'Home canned foods': three to four days in the fridge after opening."""
    file = tmp_path / "products.csv"
    file.write_text(f"product,kind,acid,sizes,opened_days\n{row}\n", encoding="utf-8")
    gathering = Gathering()
    (read,) = read_products(file, gathering).by_name.values()
    assert not gathering.found
    assert read.opened_days == days
    assert who in read.opened_source
    assert bool(read.opened_source) == bool(who)
