"""How the dishes of both books are cooked: every dish can be cooked by one who never cooked it.

The files are read plainly (YAML), apart from the program's own reader.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml

ROOT = Path(__file__).resolve().parents[2]
FILES = sorted(p for folder in ("demo/recipes", "recipes") for p in (ROOT / folder).glob("*.yaml"))
RECIPES = {p: yaml.safe_load(p.read_text(encoding="utf-8")) for p in FILES}
DISHES = {p: d for p, d in RECIPES.items() if not d.get("batch")}

NOT_COOKING = re.compile(
    r"\d\s*(lb|pounds?)\b|\bpsi\b|pressure|process|\bcann(er|ing)\b|headspace|\bseal|water[- ]bath|\bsafe\b", re.I
)
TOO_COMMON = {"whole", "half", "rolled", "winter", "sweet", "each"}


def words_of(option: str) -> set[str]:
    """The words of a product's name that a cook would say for it, without endings: 'Eggs, beaten' is egg."""
    head = option.split(",")[0]
    found = re.findall(r"[A-Za-z]{3,}", head)
    return {re.sub(r"(ies|es|s|y|e)$", "", w.lower()) for w in found if w.lower() not in TOO_COMMON | {"tub", "loaf"}}


def options_of(use: str | dict[str, str]) -> list[str]:
    written = [use] if isinstance(use, str) else [use["use"], use["stand_in"]]
    return [o for text in written for o in text.split(" or ")]


@pytest.mark.parametrize("dish", DISHES.values(), ids=lambda d: d["name"])
def test_a_method_of_three_to_seven_steps_names_everything_it_takes(dish: dict[str, Any]) -> None:
    steps = dish["method"]
    assert 3 <= len(steps) <= 7
    assert all(isinstance(step, str) and len(step) <= 400 for step in steps)
    said = " ".join([dish["name"], *steps]).lower()
    for use in dish["uses"]:
        words = set().union(*(words_of(o) for o in options_of(use)))
        assert any(re.search(rf"\b{word}", said) for word in words), f"{dish['name']} never says {use}"
    if "needs_left" in dish:
        assert any(word in said for word in dish["needs_left"].split() if word != "cold")


@pytest.mark.parametrize("dish", DISHES.values(), ids=lambda d: d["name"])
def test_a_method_speaks_of_cooking_alone(dish: dict[str, Any]) -> None:
    assert not NOT_COOKING.search(" ".join(dish["method"]))


FROM_DRY = re.compile(r"\bbeans?, dry\b|\bdry beans?\b|\bdried beans?\b", re.I)
BOOKS = [*RECIPES.values(), *(yaml.safe_load(p.read_text()) for p in sorted((ROOT / "recipes/plain").glob("*.yaml")))]
FROM_DRY_DISHES = [
    d for d in BOOKS if not d.get("batch") and any(FROM_DRY.search(o) for u in d["uses"] for o in options_of(u))
]


def test_dishes_from_dried_beans_are_there_to_be_judged() -> None:
    assert {d["name"] for d in FROM_DRY_DISHES} >= {"Slow beans in apple juice", "Ham-bone bean soup"}


@pytest.mark.parametrize("dish", FROM_DRY_DISHES, ids=lambda d: d["name"])
def test_dried_beans_are_soaked_and_boiled_hard_before_anything_slow_or_sour(dish: dict[str, Any]) -> None:
    """FDA, Bad Bug Book, phytohaemagglutinin (from memory): soak, pour off, boil in fresh water; no low heat before."""
    assert any("soak" in ahead["what"] for ahead in dish["ahead"]), "they want a night in water"
    boiled = next(n for n, step in enumerate(dish["method"]) if re.search(r"boil them hard", step))
    assert re.search(r"fresh water", dish["method"][boiled])
    slow = [n for n, step in enumerate(dish["method"]) if re.search(r"oven|juice|tomato|vinegar|sour|slow", step, re.I)]
    assert boiled == 0
    assert boiled not in slow


HOURS = {"half an hour": 30, "an hour": 60, "an hour and a half": 90, "two hours": 120, "three hours": 180}
TENS = dict(zip(("ten", "fifteen", "twenty", "thirty", "forty", "fifty"), (10, 15, 20, 30, 40, 50), strict=True))


@pytest.mark.parametrize("dish", DISHES.values(), ids=lambda d: d["name"])
def test_no_single_step_takes_longer_than_the_dish(dish: dict[str, Any]) -> None:
    for step in dish["method"]:
        spans = [
            TENS[tens] + (5 if five else 0) for tens, five in re.findall(rf"({'|'.join(TENS)})(-five)? minutes", step)
        ]
        spans += [
            minutes for words, minutes in HOURS.items() if re.search(rf"(?<!of )(?<!half ){words}\b(?! and)", step)
        ]
        assert all(span <= dish["minutes"] for span in spans), (dish["name"], step)


def test_batch_days_have_no_method_for_they_defer_to_the_tested_process() -> None:
    batch_days = [d for d in RECIPES.values() if d.get("batch")]
    assert len(batch_days) >= 6
    assert [d["name"] for d in batch_days if "method" in d] == []


FRIED = re.compile(r"\b(fry|fries|griddle)\b", re.I)
OWN_FAT = re.compile(r"butter|lard|bacon|sausage|ground|cream|little fat|of fat|own fat|household", re.I)


@pytest.mark.parametrize("dish", DISHES.values(), ids=lambda d: d["name"])
def test_what_is_fried_has_its_fat(dish: dict[str, Any]) -> None:
    """'A little fat' to soften an onion is the household's own; a panful is among the uses."""
    said = " ".join(dish["method"])
    if FRIED.search(said):
        assert OWN_FAT.search(said + " ".join(map(str, dish["uses"]))), dish["name"]
