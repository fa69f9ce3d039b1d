"""Energy and protein needs and food values against the published figures."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from pantrymeals.actions.food_tables import foods, needs
from pantrymeals.errors import PantryError
from pantrymeals.larder import nutrition
from tests.kitchens.tiny import loose, person, qty
from tests.outside.judged import agrees

HANDBOOK = Path(__file__).parent / "handbook"


def rows(name: str) -> list[dict[str, str]]:
    with (HANDBOOK / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


TABLE = [r for r in rows("energy_protein.csv") if r["record_type"] == "eer_2005_table"]


def test_there_are_forty_eight_printed_requirements() -> None:
    assert len(TABLE) == 48


@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"{r['sex']} {r['activity']} {r['quantity']}")
def test_printed_energy_requirements(row: dict[str, str]) -> None:
    # IOM 2002/2005, EER summary table (read), people aged 30; weights are printed rounded: within 1.4 kcal.
    height, weight = (float(part.split("=")[1]) for part in row["quantity"].split(";"))
    found = nutrition.energy_requirement(needs(), row["sex"], 30, row["activity"], height, weight)  # type: ignore[arg-type]
    agrees(
        f"energy, {row['sex']}, {row['activity']}, {row['quantity']}", "IOM 2002/2005, EER summary table",
        float(row["value"]), found, within=1.4, how="read",
    )  # fmt: skip


@pytest.mark.parametrize(("sex", "a_year"), [("male", 10), ("female", 7)])
def test_a_year_older_needs_so_much_less(sex: str, a_year: float) -> None:
    # The table's footnote (read): subtract 10 (men), 7 (women) kcal for each year above 30, rounded.
    at = [nutrition.energy_requirement(needs(), sex, age, "active", 1.7, 65) for age in (30, 31)]  # type: ignore[arg-type]
    assert round(at[0] - at[1]) == a_year


def test_worked_line_of_the_handbook() -> None:
    # man, 1.80 m, 81.0 kg, active: 662 - 285.9 + 1.25 (15.91 x 81.0 + 539.6 x 1.80) = 3201; printed 3,200.
    assert nutrition.energy_requirement(needs(), "male", 30, "active", 1.80, 81.0) == pytest.approx(3201, abs=0.5)


# Protein RDA, IOM 2005 (from memory), g a day at reference weight.
@pytest.mark.parametrize(
    ("born", "sex", "grams"),
    [(2023, "male", 13), (2019, "female", 19), (2014, "female", 34), (2010, "male", 52), (2010, "female", 46),
     (1980, "male", 56), (1980, "female", 46)],
)  # fmt: skip
def test_protein_rda(born: int, sex: str, grams: float) -> None:
    someone = person("Ann", born=date(born, 1, 1), sex=sex)
    found = nutrition.daily_need(someone, date(2026, 6, 1), needs()).protein_g
    agrees(f"protein a day, {sex}, born {born}", "IOM 2005, protein RDA", grams, found, within=0, how="from memory")


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


# Dietary Guidelines for Americans 2015-2020, Appendix 2 (from memory), rounded to 200 kcal; its reference
# adults are 5 ft 10 and 154 lb, 5 ft 4 and 126 lb, near ours: one rounding step of difference is allowed.
@pytest.mark.parametrize(
    "row",
    [r for r in rows("energy_protein.csv") if r["record_type"] == "calorie_need"],
    ids=lambda r: f"{r['sex']} {r['age_low']} {r['activity']}",
)
def test_estimated_calorie_needs_by_age(row: dict[str, str]) -> None:
    words = {"sedentary": "low", "moderately active": "moderate", "active": "active"}
    age = (int(row["age_low"]) + int(row["age_high"])) // 2
    someone = person("Ann", born=date(2026 - age, 1, 1), sex=row["sex"], activity=words[row["activity"]])
    found = nutrition.daily_need(someone, date(2026, 6, 1), needs()).kcal
    assert found == pytest.approx(float(row["value"]), abs=300)


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
