"""Tiny households for the season's rules: built from a few words, so that each test shows what matters."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction

import pytest

from pantrymeals.actions.season import question_of
from pantrymeals.actions.with_book import Larder
from pantrymeals.records import Dish, Household, HouseRules, Lot, Movement, Person, Product, Size
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.units import UNITS
from tests.kitchens.seasons import season_of

TODAY = date(2026, 1, 17)


def product_of(name: str, size: str = "qt", **more: object) -> Product:
    """A product in one size; ``family`` is its first word, unless said."""
    measure, content = UNITS.get(size, ("each", Fraction(1)))
    known: dict[str, object] = {"family": name.split()[0].lower(), "kind": "jar", "acid": "high"}
    known |= more
    known.setdefault("must_last_to", date(2026, 9, 1))
    return Product(name=name, measure=measure, sizes=(Size(size, content),), **known)  # type: ignore[arg-type]


def household_of(
    *products: Product,
    lots: tuple[Lot, ...] = (),
    dishes: tuple[Dish, ...] = (),
    rules: HouseRules | None = None,
    season: Mapping[str, object] | None = None,
    today: date = TODAY,
    people: tuple[Person, ...] = (Person("Ann", None, Fraction(4)),),
) -> Household:
    return Household(
        "Tiny", today, people, (), rules or HouseRules(), (), {p.name: p for p in products}, lots, (), (),
        (), (), {d.name: d for d in dishes}, {}, altitude_ft=500, season=season_of(season or {}, products),
    )  # fmt: skip


def question(household: Household, movements: tuple[Movement, ...] = ()) -> SeasonQuestion:
    return question_of(Larder(household, movements))


def year(product: str, season: int, over: int, made: int, used: int, gone: int = 0) -> dict[str, object]:
    return {
        "product": product,
        "season": str(season),
        "carried_over": str(over),
        "put_up": str(made),
        "given_or_lost": str(gone),
        "used": str(used),
    }


@pytest.fixture
def a_product() -> Callable[..., Product]:
    return product_of


@pytest.fixture
def a_household() -> Callable[..., Household]:
    return household_of


@pytest.fixture
def asked() -> Callable[..., SeasonQuestion]:
    return question


@pytest.fixture
def book_year() -> Callable[..., dict[str, object]]:
    return year
