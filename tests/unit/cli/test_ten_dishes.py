"""Ten dishes in cups, ounces, pounds, grams and jars, pasted in a metric kitchen: what is made of each.

The dishes are invented. Amounts are reckoned by hand: a pound is 453.59237 g (NIST); cups are of 250 ml, weighed by the
grams of a US cup (USDA Standard Reference, Release 26, file WEIGHT) to the nearest 5 g.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals.actions.dish_add import read_dish, told_in, with_dish
from pantrymeals.actions.larder import load_larder
from pantrymeals.records import Household
from tests.unit.cli.test_dish_add import DAY, KITCHENS, LB, OZ, begun
from tests.unit.cli.test_first_evening import say

TEN = (KITCHENS / "ten-dishes.txt").read_text(encoding="utf-8").split("\n====\n")
US = re.compile(r"\d[\d /.]* ?(qt|pt|hp|lb|oz|gal)\b|\b(quarts?|pints?|pounds?|ounces?)\b")
CUP = Fraction("236.5882365")

MADE = (
    # (what is taken, base amounts), the lines that are asked about, how many lines are notes
    ({"Mince": LB, "Peas": 140, "Butter": 4 * OZ, "Onions": 110}, "4", 1),
    ({"Lentils": 305, "Carrots": 8 * OZ}, "5 7", 1),
    ({"Pumpkin": Fraction(1, 2), "Oil": Fraction(125, 2), "Honey": 30}, "", 1),
    ({"Spuds": LB, "Oil": 30}, "3 4", 0),
    ({"Flour": 6 * OZ, "Butter": 4 * OZ, "Sugar": 105, "Oats": 85}, "3", 0),
    ({"Bread": 1, "Cheese": 8 * OZ}, "3", 0),
    ({"Fish fillets": 2 * LB, "Spuds": LB * 5 / 2, "Milk": 250, "Eggs": 3}, "6", 0),
    ({"Kidney beans": LB, "Mince": 12 * OZ, "Onions": 220}, "4 5", 0),
    ({"Feijoas": 500, "Flour": 150, "Sugar": 150, "Butter": 125, "Eggs": 2}, "", 0),
    ({"Silverbeet": 10 * OZ, "Rice": 390}, "5", 1),
)
WEIGHED = {"Peas": 134, "Lentils": 192, "Sugar": 200, "Oats": 81, "Rice": 185}
"""Grams of a US cup."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return begun(tmp_path_factory.mktemp("ten") / "south", "southern.txt", "southern-list.txt", "2=Tomatoes, crushed")


@pytest.fixture(scope="module")
def home(folder: Path) -> Household:
    return load_larder(folder, None, DAY)


def test_there_are_ten() -> None:
    assert len(TEN) == len(MADE) == 10


def test_the_weights_above_are_those_of_the_cups() -> None:
    cups = {"Peas": 1, "Lentils": Fraction(3, 2), "Sugar": Fraction(1, 2), "Oats": 1, "Rice": 2}
    for made, _, _ in MADE:
        for product, grams in made.items():
            if product in cups and grams not in (150,):
                assert abs(grams - WEIGHED[product] * cups[product] * 250 / CUP) <= Fraction(5, 2), product


@pytest.mark.parametrize("number", range(10))
def test_what_is_made_of_each(number: int, home: Household, folder: Path, tmp_path: Path) -> None:
    made, asked, notes = MADE[number]
    file = tmp_path / "dish.txt"
    file.write_text(TEN[number], encoding="utf-8")
    told = told_in(file)
    read = read_dish(home, told, {})
    assert [q.key for q in read.questions if q.key.isdigit()] == asked.split()
    assert len(read.noted) == notes
    rest = {"role": ["main"], "serves": ["4"], "minutes": ["60"], "hands-on": ["20"]}
    answers = {q.key: rest.get(q.key, ["note"]) for q in read.questions}
    _, dish = with_dish(home, read_dish(home, told, answers))
    assert {option.product: option.amount for use in dish.uses for option in use.options} == made
    shown = say("dish", "add", str(file), "--larder", str(folder), "--plain")
    own = [line.strip() for line in file.read_text(encoding="utf-8").splitlines()]
    for line in shown.splitlines():
        said = next((line.partition(f"{text}: ")[2] for text in own if text and f"{text}: " in line), line)
        words = re.sub(r"^ *\d+  .*|guessed: .*|Whose (qt|pt|hp) is that.*", "", said)  # quoted from the dish
        assert not US.search(words), line


def test_an_answer_that_is_no_amount_is_asked_again_in_the_kitchens_measure(home: Household, tmp_path: Path) -> None:
    file = tmp_path / "dish.txt"
    for said, offered in (("2 barrels moon dust", "500 g"), ("some spuds", "500 g")):
        file.write_text(f"Odd pot\n\n{said}\n1 kg onions\n", encoding="utf-8")
        told = told_in(file)
        read = read_dish(home, told, {"3": ["4 barrels"]})
        question = next(q for q in read.questions if q.key == "3")
        assert question.choices[0] == offered, question
