"""Energy and protein needs and food values: how the equations are used. Their published results: ``judges.py``."""

from __future__ import annotations

import csv
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.food_tables import foods, needs
from pantrymeals.actions.larder import weighed
from pantrymeals.errors import PantryError
from pantrymeals.larder import nutrition
from pantrymeals.larder.plate import portion_holds
from tests.kitchens.tiny import dish, kitchen, loose, person, qty

HANDBOOK = Path(__file__).parent / "handbook"


def rows(name: str) -> list[dict[str, str]]:
    with (HANDBOOK / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(("sex", "a_year"), [("male", 10), ("female", 7)])
def test_a_year_older_needs_so_much_less(sex: str, a_year: float) -> None:
    # The table's footnote (read): subtract 10 (men), 7 (women) kcal for each year above 30, rounded.
    at = [nutrition.energy_requirement(needs(), sex, age, "active", 1.7, 65) for age in (30, 31)]  # type: ignore[arg-type]
    assert round(at[0] - at[1]) == a_year


def test_worked_line_of_the_handbook() -> None:
    # man, 1.80 m, 81.0 kg, active: 662 - 285.9 + 1.25 (15.91 x 81.0 + 539.6 x 1.80) = 3201; printed 3,200.
    assert nutrition.energy_requirement(needs(), "male", 30, "active", 1.80, 81.0) == pytest.approx(3201, abs=0.5)


def test_protein_rda_agrees_with_grams_a_kilogram_at_reference_weight() -> None:
    # The same publication prints g a kg (from memory); the two must agree to a gram and a half.
    per_kg = {
        (r["sex"], int(r["age_low"])): float(r["value"])
        for r in rows("energy_protein.csv")
        if r["record_type"] == "protein_rda" and r["quantity"] == "g_per_kg" and r["sex"] in ("both", "male")
    }
    for (sex, age), grams in per_kg.items():
        weight = needs().bodies["male", age][1]
        assert needs().protein_g["male", age] == pytest.approx(grams * weight, abs=1.5), (sex, age)


def test_a_baby_needs_a_few_hundred() -> None:
    # 89 x 9 kg - 100 + 22 (7-12 months) = 723 kcal (IOM 2002/2005, from memory).
    odo = person("Odo", born=date(2025, 4, 20), sex="male")
    assert nutrition.daily_need(odo, date(2026, 1, 17), needs()).kcal == pytest.approx(723)


def test_unknown_sex_is_the_mean_of_both() -> None:
    both = [nutrition.daily_need(person("A", sex=s), date(2026, 1, 5), needs()).kcal for s in ("male", "female")]
    unknown = nutrition.daily_need(person("A"), date(2026, 1, 5), needs()).kcal
    assert unknown == pytest.approx(sum(both) / 2)


def test_food_values_are_those_of_the_nutrient_table() -> None:
    # USDA SR27 (read): potatoes 77 kcal and 2.02 g protein in 100 g eaten, a quarter of them peel.
    potatoes = loose("Potatoes", food="11352")
    found = nutrition.amount_nutrition(potatoes, qty("1 kg"), foods())
    assert found is not None
    assert (found.kcal, found.protein_g) == (pytest.approx(577.5), pytest.approx(15.15))


def test_a_food_number_that_is_none_is_named() -> None:
    with pytest.raises(PantryError, match="99999"):
        nutrition.amount_nutrition(loose("Ghosts", food="99999"), qty("1 lb"), foods())


def test_energy_and_protein_of_a_plate_are_those_of_the_printed_rows() -> None:
    """A kilogram of potatoes and 100 g of oats for four: USDA SR27 (read), rows 11352 and 08120 of the handbook."""
    printed = {r["ndb_no"]: r for r in rows("foods.csv")}
    oats, potatoes = printed["08120"], printed["11352"]
    eaten = 10 * (1 - float(potatoes["refuse_pct"]) / 100)
    by_hand = {
        column: (float(oats[column]) + eaten * float(potatoes[column])) / 4 for column in ("kcal_100g", "protein_g")
    }
    products = [loose("Potatoes", food="11352"), loose("Oats", food="08120")]
    home = weighed(kitchen(products=products, lots=[], dishes=[dish("Cakes", ["1 kg Potatoes", "100 g Oats"])]))
    cakes = home.dishes["Cakes"]
    for held, column in ((home.kcal, "kcal_100g"), (home.protein_g, "protein_g")):
        on_plate = portion_holds(home, cakes, Fraction(1), Fraction(4), held)
        assert on_plate is not None
        assert float(on_plate) == pytest.approx(by_hand[column], abs=0.01)
    assert float(by_hand["protein_g"]) == pytest.approx((7.5 * 2.02 + 13.15) / 4)
