"""What a menu puts on the plates: figures worked out by hand, and the sentences that say them."""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.larder.fed import fed
from pantrymeals.plans.fed import DayFed, Fed, MealFed
from pantrymeals.records import Household
from pantrymeals.reports.proof_words import fed_words
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.menu import plate_words
from tests.kitchens import tiny
from tests.kitchens.tiny import MONDAY, cooked, dish, jar, kitchen, lot, menu, qty, supper

QUART = qty("1 qt")
TUESDAY = MONDAY + timedelta(days=1)


def home(**changes: object) -> Household:
    """Two portions of 1,000 kcal and 25 g need each, of which supper is to give 900 and 22; a quart has 200 or 800."""
    one = kitchen(
        products=[jar("Broth"), jar("Beans"), jar("Rhubarb")],
        lots=[lot(name, 20) for name in ("Broth", "Beans", "Rhubarb")],
        dishes=[
            dish("Thin soup", ["1 qt Broth"], serves=2),
            dish("Bean pot", ["2 qt Beans"], serves=2),
            dish("Sour pot", ["1 qt Rhubarb"], serves=2),
        ],
    )
    eater = replace(one.people[0], portion=Fraction(2))
    return replace(
        one,
        people=(eater,),
        kcal={"Broth": Fraction(200) / QUART, "Beans": Fraction(800) / QUART},
        protein_g={"Broth": Fraction(6) / QUART, "Beans": Fraction(40) / QUART},
        needs_kcal={eater.name: 2000},
        needs_protein_g={eater.name: 50},
        **changes,  # type: ignore[arg-type]
    )


def told(household: Household, *dishes: str) -> Fed:
    meals = [supper(MONDAY + timedelta(days=n), cooked(household, name)) for n, name in enumerate(dishes)]
    return fed(household, menu(household, meals))


def test_each_meal_and_day_is_told_what_it_gives() -> None:
    # Supper is to give 900 of 2,000 kcal, 450 a portion, 225 of them at least; the day is right from 765 to 1,080.
    found = told(home(), "Thin soup", "Bean pot")
    assert found.meals == (
        MealFed(MONDAY, "supper", 100, 3, thin=True),
        MealFed(TUESDAY, "supper", 800, 40, thin=False),
    )
    assert found.days == (DayFed(MONDAY, 900, 200, 0, outside=True), DayFed(TUESDAY, 900, 1600, 0, outside=True))
    assert found.protein == (2 * 22, 6 + 80, 0)  # 50 x 9/20 = 22.5 a day: 11 a portion


def test_what_always_stands_on_the_table_is_told_apart() -> None:
    # A quart of beans a week: 800 / 7 kcal and 40 / 7 g a day, of which these suppers' part is 9/20.
    found = told(home(standing=(tiny.standing("Beans", "1 qt"),)), "Bean pot")
    assert found.days == (DayFed(MONDAY, 900, 1600, 51, outside=True),)
    assert found.protein == (22, 80, 3)


def test_a_dish_without_a_figure_is_named_and_its_protein_is_not_counted() -> None:
    found = told(home(), "Sour pot")
    assert found.meals == (MealFed(MONDAY, "supper", None, None, thin=False),)
    assert found.days == (DayFed(MONDAY, 900, 900, 0, outside=False),)
    assert (found.protein, found.unknown) == ((22, 0, 0), ("Sour pot",))
    assert told(replace(home(), kcal={}), "Sour pot") == Fed()


def words(household: Household, *dishes: str) -> list[str]:
    meals = [supper(MONDAY + timedelta(days=n), cooked(household, name)) for n, name in enumerate(dishes)]
    plan = menu(household, meals)
    sheet = MenuSheet(household, plan, (), None, None, fed=fed(household, plan))  # type: ignore[arg-type]
    assert fed_words(replace(sheet, fed=Fed())) == []
    return fed_words(sheet)


def test_a_sentence_says_the_week() -> None:
    (said,) = words(home(standing=(tiny.standing("Beans", "1 qt"),)), "Thin soup", "Bean pot", "Sour pot")
    # 200 + 1,600 + 900 of 2,700; 3 x 51 beside them.
    assert said.startswith(
        "On the plates: 106 in 100 parts of the energy needed, 100 by the menu and 6 by what always stands on the "
        "table, from 28 to 183 by the day. Too little or too much: Mon 5 (28), Tue 6 (183)."
    )
    # (6 + 80 + 3 x 3) / 66 is 1.44.
    assert said.endswith(
        " Of the protein needed 144 in 100 parts. No figure of Sour pot: taken at a part, its protein not counted."
    )


def test_a_meal_says_its_plate_and_that_it_is_thin() -> None:
    household = home()
    meals = [supper(MONDAY, cooked(household, name)) for name in ("Thin soup", "Sour pot")]
    found = fed(household, menu(household, meals[:1]))
    assert plate_words(found, meals[0]) == ["On each plate 100 kcal, 3 g protein; thin: bread and cheese beside it"]
    assert plate_words(fed(household, menu(household, meals[1:])), meals[1]) == ["On each plate not known"]
    assert plate_words(Fed(), meals[0]) == []
