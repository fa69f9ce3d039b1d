"""Published diet problems through our own model of rows and both solvers, with the published answers.

Sources: Fourer, Gay and Kernighan, AMPL: A Modeling Language for Mathematical Programming, chapter 2
(first data set read; second data set and answers from memory, recomputed from the data and equal to
every digit); G. J. Stigler, The Cost of Subsistence, Journal of Farm Economics 27 (1945) 303-314, data
as carried by the GLPK example stigler.mod (read). Both are written down in the handbook beside this file.
"""

from __future__ import annotations

import csv
import threading
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from pantrymeals.solving.cutting import holds
from pantrymeals.solving.linear_model import ANY, LinearModel, arrays
from pantrymeals.solving.solvers import Found, linear_relaxation, run_cp_sat, run_highs

HANDBOOK = Path(__file__).parent / "handbook"

# AMPL book, chapter 2: price in cents; percent of the daily need of A, C, B1, B2; sodium mg; kcal; a package.
FOODS = {
    "BEEF": (319, 60, 20, 10, 15, 938, 295),
    "CHK": (259, 8, 0, 20, 20, 2180, 770),
    "FISH": (229, 8, 10, 15, 10, 945, 440),
    "HAM": (289, 40, 40, 35, 10, 278, 430),
    "MCH": (189, 15, 35, 15, 15, 1182, 315),
    "MTL": (199, 70, 30, 15, 15, 896, 400),
    "SPG": (199, 25, 50, 25, 15, 1329, 370),
    "TUR": (249, 60, 20, 15, 10, 1397, 450),
}
NAMES = list(FOODS)


def diet(least: int, most: int, vitamin_most: int, sodium: int | None, whole: bool) -> LinearModel:
    """A week: each vitamin 700 percent or more; sodium and kcal only where sodium is given."""
    linear = LinearModel()
    cols = [linear.column(least, most, FOODS[name][0], implied=not whole) for name in NAMES]
    for number in range(1, 5):
        vitamin = [(col, FOODS[name][number]) for col, name in zip(cols, NAMES, strict=True)]
        linear.constrain("vitamins", vitamin, lo=700, hi=vitamin_most)
    if sodium is not None:
        linear.constrain("sodium", [(c, FOODS[n][5]) for c, n in zip(cols, NAMES, strict=True)], hi=sodium)
        linear.constrain("kcal", [(c, FOODS[n][6]) for c, n in zip(cols, NAMES, strict=True)], 16_000, 24_000)
    return linear


def test_a_nothing_but_macaroni() -> None:
    # (a): optimum 88.20 dollars, 46.6667 packages of MCH and nothing else (read).
    relaxation = linear_relaxation(arrays(diet(0, 100, ANY, None, whole=False)))
    cents, x = relaxation.cost, relaxation.x
    assert cents / 100 == pytest.approx(88.20, abs=0.005)
    amounts = dict(zip(NAMES, x, strict=True))
    assert amounts.pop("MCH") == pytest.approx(46.6667, abs=0.0001)
    assert max(amounts.values()) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize("solve", [run_highs, run_cp_sat])
@pytest.mark.parametrize(("sodium", "infeasible"), [(40_000, True), (50_000, False)])
def test_b_too_little_salt_allowed_cannot_be_done(solve, sodium: int, infeasible: bool) -> None:  # type: ignore[no-untyped-def]
    # (b): vitamins to 20,000, sodium to 40,000, 2 to 10 packages: infeasible; with 50,000 it is not (from memory).
    found = Found()
    linear = arrays(diet(2, 10, 20_000, sodium, whole=solve is run_cp_sat))
    solve(linear, found, threading.Event(), 30.0)
    assert found.infeasible is infeasible
    assert (found.x is None) is infeasible


def test_c_parts_of_packages() -> None:
    # (c): optimum 118.059403 (from memory).
    relaxation = linear_relaxation(arrays(diet(2, 10, 20_000, 50_000, whole=False)))
    cents, x = relaxation.cost, relaxation.x
    assert cents / 100 == pytest.approx(118.059403, abs=1e-6)
    published = (5.36061, 2, 2, 10, 10, 10, 9.30605, 2)
    assert x == pytest.approx(published, abs=1e-5)


@pytest.mark.parametrize("solve", [run_highs, run_cp_sat])
def test_d_whole_packages(solve) -> None:  # type: ignore[no-untyped-def]
    # (d): optimum 119.30; BEEF 9, CHK 2, FISH 2, HAM 8, MCH 10, MTL 10, SPG 7, TUR 2 (from memory).
    found = Found()
    solve(arrays(diet(2, 10, 20_000, 50_000, whole=True)), found, threading.Event(), 30.0)
    assert found.x is not None
    assert found.cost == pytest.approx(11_930, abs=1e-6)
    assert found.bound == pytest.approx(11_930, abs=1e-3)
    published = np.array((9, 2, 2, 8, 10, 10, 7, 2), float)
    whole = arrays(diet(2, 10, 20_000, 50_000, whole=True))
    assert holds(whole, published)
    assert holds(whole, found.x)
    assert float(whole.cost @ published) == 11_930


# Stigler's least amounts a day (read), in the units of the file's columns, a dollar's worth each.
NEEDS = {
    "kcal_thousands_per_dollar": Fraction(3),
    "protein_g_per_dollar": Fraction(70),
    "calcium_g_per_dollar": Fraction(8, 10),
    "iron_mg_per_dollar": Fraction(12),
    "vitamin_a_kiu_per_dollar": Fraction(5),
    "thiamine_mg_per_dollar": Fraction(18, 10),
    "riboflavin_mg_per_dollar": Fraction(27, 10),
    "niacin_mg_per_dollar": Fraction(18),
    "ascorbic_acid_mg_per_dollar": Fraction(75),
}


def stigler_rows() -> list[dict[str, str]]:
    with (HANDBOOK / "stigler_1939.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


FOOD_1939 = stigler_rows()


def stigler(parts_of_a_dollar: int, whole: bool) -> LinearModel:
    """One day for one man; a column is what is spent on a food, in such parts of a dollar.

    Every figure has at most one decimal, so rows are scaled by ten, exactly.
    """
    linear = LinearModel()
    cols = [linear.column(0, ANY if not whole else parts_of_a_dollar, 1, implied=not whole) for _ in FOOD_1939]
    for nutrient, need in NEEDS.items():
        terms = [(col, int(Decimal(row[nutrient]) * 10)) for col, row in zip(cols, FOOD_1939, strict=True)]
        linear.constrain(nutrient, terms, lo=int(need * 10 * parts_of_a_dollar))
    return linear


def test_stigler_has_seventy_seven_foods_of_one_decimal() -> None:
    assert len(FOOD_1939) == 77
    assert all(Decimal(row[n]) * 10 % 1 == 0 for row in FOOD_1939 for n in NEEDS)


def test_stigler_optimum() -> None:
    # Published: 39.66 dollars a year of 365 days, 39.69 of 365.25 (the GLPK print-out); five foods (read).
    relaxation = linear_relaxation(arrays(stigler(1, whole=False)))
    dollars, x = relaxation.cost, relaxation.x
    assert dollars == pytest.approx(0.10866227820675685, rel=1e-9)
    assert round(dollars * 365, 2) == 39.66
    assert round(dollars * 365.25, 2) == 39.69
    spent = {row["commodity"]: 365.25 * v for row, v in zip(FOOD_1939, x, strict=True) if v > 1e-9}
    # What GLPK prints for the five (read).
    published = {"Wheat Flour": 10.78, "Liver (Beef)": 0.69, "Cabbage": 4.10, "Spinach": 1.83, "Navy Beans": 22.29}
    assert len(spent) == 5
    for name, value in published.items():
        (own,) = [v for food, v in spent.items() if name in food]
        assert own == pytest.approx(value, abs=0.006), name


def test_stigler_in_whole_hundredths_of_a_cent() -> None:
    # Whole parts of a dollar can cost no less than the published optimum, and at most a part more for each row.
    parts = 10_000
    found = Found()
    run_cp_sat(arrays(stigler(parts, whole=True)), found, threading.Event(), 30.0, gap=0.0005)
    optimum = 0.10866227820675685 * parts
    assert found.x is not None
    assert optimum - 1e-6 <= found.cost <= optimum + len(NEEDS)
    assert found.bound <= found.cost + 1e-6


def test_stiglers_own_diet_is_near_enough_and_dearer() -> None:
    # His hand-made diet, 39.93 dollars a year (read): 2,994 kcal of 3,000, from rounding; the other eight are met.
    own = {
        "Wheat Flour": "13.33",
        "Evaporated Milk": "3.84",
        "Cabbage": "4.11",
        "Spinach": "1.85",
        "Navy Beans": "16.80",
    }
    linear = arrays(stigler(1, whole=False))
    x = np.zeros(len(FOOD_1939))
    for name, dollars in own.items():
        (number,) = [i for i, row in enumerate(FOOD_1939) if name in row["commodity"]]
        x[number] = float(Decimal(dollars)) / 365
    assert sum(Decimal(d) for d in own.values()) == Decimal("39.93")
    row_of = np.repeat(np.arange(len(NEEDS)), np.diff(linear.starts))
    reached = np.bincount(row_of, linear.coefs * x[linear.cols]) / linear.row_lo
    assert reached[0] == pytest.approx(2994 / 3000, abs=0.0005)
    assert (reached[1:] >= 1).all()
    assert not holds(linear, x)
    assert 365 * float(linear.cost @ x) > 39.66
