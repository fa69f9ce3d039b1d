"""Seeded made-up larders of any size, for measuring the solver: nobody's household."""

from __future__ import annotations

import random
from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.records import (
    Arrival,
    Dish,
    Household,
    HouseRules,
    Leaving,
    Lot,
    MealRoles,
    Option,
    Person,
    Product,
    Role,
    Size,
    StorePlace,
    Use,
)
from pantrymeals.units import unit_named

TODAY = date(2026, 1, 17)
EVERY_DAY = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
SUPPER: tuple[Role, ...] = ("main", "side")
SWEET_DAY: tuple[Role, ...] = ("main", "side", "sweet")
PROTEINS = ("beef", "pork", "chicken", "lamb", "fish", "venison")
VEGETABLES = ("beans", "carrots", "cabbage", "beets", "squash", "peas")
STARCHES = ("potato", "noodles", "rice", "bread")
DISHES_BY_ROLE = {"main": 0.42, "side": 0.22, "breakfast": 0.12, "lunch": 0.12, "sweet": 0.12}
FEWEST_EATERS = 5


class Largeness(Struct, frozen=True):
    """How many products and dishes, who eats, and the containers in hand over those of the fewest eaters."""

    products: int
    dishes: int
    eaters: int = FEWEST_EATERS
    fuller: Fraction = Fraction(1)


SIZES = {
    "S": Largeness(40, 40),
    "M": Largeness(120, 120),
    "L": Largeness(250, 300, 14, Fraction(7, 5)),
    "XL": Largeness(600, 400, 20, Fraction(10, 7)),
}
"""XL has some 10,000 containers. A pantry of M feeds each of its eaters from about as much as one of L."""


def of_size(size: str, seed: int, years: int = 1) -> Household:
    """A household of one of the sizes."""
    large = SIZES[size]
    return larder(seed, large.products, large.dishes, years, large.eaters, large.fuller)


def larder(
    seed: int, products: int = 120, dishes: int = 120, years: int = 1, eaters: int = FEWEST_EATERS,
    fuller: Fraction = Fraction(1),
) -> Household:  # fmt: skip
    """A household with so many products, dishes and eaters (two and the rest); the same seed makes the same one."""
    rng = random.Random(seed)
    goods = [_product(rng, number) for number in range(products)]
    book = _dishes(rng, goods, dishes)
    lots = tuple(lot for product in goods for lot in _lots(rng, product, fuller))
    arrivals = tuple(
        Arrival(p.name, fuller * _amount_put_up(rng, p), p.must_last_to + timedelta(days=365 * y))
        for p in goods
        for y in range(years)
        if p.must_last_to is not None
    )
    return Household(
        name=f"larder {seed}",
        today=TODAY,
        people=(
            Person("A", None, Fraction(1)),
            Person("B", None, Fraction(1)),
            Person("C", None, Fraction(eaters - 2)),
        ),
        meals=(
            MealRoles("breakfast", dict.fromkeys(EVERY_DAY, ("breakfast",)), {}),
            MealRoles("lunch", dict.fromkeys(EVERY_DAY, ("lunch",)), {}),
            MealRoles(
                "supper",
                {d: ("main", "side", *(("sweet",) if d in ("Wed", "Sat", "Sun") else ())) for d in EVERY_DAY},
                {},
            ),
        ),
        rules=_rules(),
        places=(StorePlace("P", "pantry"),),
        products={p.name: p for p in goods},
        lots=lots,
        part_jars=(),
        standing=(),
        arrivals=arrivals,
        occasions=(),
        dishes={d.name: d for d in book},
        batch_days={},
    )


def suppers_only(household: Household) -> Household:
    """The same household, planning nothing but suppers of main and side."""
    from msgspec.structs import replace

    roles = dict.fromkeys(EVERY_DAY, ("main", "side"))
    return replace(household, meals=(MealRoles("supper", roles, {}),))


def _rules() -> HouseRules:
    return HouseRules(
        days_between={"main": 6, "side": 3, "breakfast": 2, "lunch": 3, "sweet": 4},
        at_most={"tomato": 3, "beef": 3, "soup": 3, "beans": 4},
        at_least={"meatless": 1},
        not_running=frozenset(PROTEINS),
        not_twice=frozenset({*VEGETABLES, *STARCHES}),
        hands_on_minutes={"Mon": 100, "Tue": 100, "Wed": 140, "Thu": 100, "Fri": 110, "Sat": 150, "Sun": 180},
        longest_minutes={"Mon": 60, "Tue": 60, "Wed": 200, "Thu": 60, "Fri": 75, "Sat": 150, "Sun": 300},
    )


def _product(rng: random.Random, number: int) -> Product:
    kind = rng.choices(("jar", "freezer", "cellar", "dry"), (0.55, 0.2, 0.12, 0.13))[0]
    whole = kind in ("jar", "freezer")
    unit = rng.choice(("qt", "pt", "pt", "hp")) if kind == "jar" else "lb"
    measure, content = unit_named(unit) or ("g", Fraction(1))
    opened = rng.choice((4, 4, 7, 7, 30)) if kind == "jar" else 3 if kind == "freezer" else None
    return Product(
        name=f"product {number}",
        family=rng.choice((*PROTEINS, *VEGETABLES, *STARCHES, "fruit", "tomato")),
        kind=kind,
        measure=measure,
        sizes=(Size(unit, content),),
        whole=whole,
        opened_days=opened,
        thaw_days=rng.choice((0, 1, 1, 2)) if kind == "freezer" else 0,
        must_last_to=TODAY + timedelta(days=rng.randrange(120, 330)),
        deadline_kind="new crop",
        reserve=content * rng.choice((0, 0, 0, 1, 2)),
    )


def _containers(rng: random.Random, product: Product) -> int:
    if product.kind in ("cellar", "dry"):
        return rng.randrange(15, 120)
    return max(2, round(rng.lognormvariate(2.5, 0.6)))


def _lots(rng: random.Random, product: Product, fuller: Fraction) -> list[Lot]:
    count = int(fuller * _containers(rng, product)) + int(product.reserve / product.sizes[0].content)
    old = rng.randrange(0, count // 2 + 1)
    out = [Lot(product.name, product.sizes[0].name, Fraction(count - old), TODAY - timedelta(days=120), where="P")]
    if old:
        out.append(Lot(product.name, product.sizes[0].name, Fraction(old), TODAY - timedelta(days=480), where="P"))
    return out


def _amount_put_up(rng: random.Random, product: Product) -> Fraction:
    return product.sizes[0].content * 2 * _containers(rng, product)


def _use(rng: random.Random, product: Product, others: list[Product]) -> Use:
    def option(p: Product) -> Option:
        if p.whole:
            count = rng.choice((Fraction(1, 2), Fraction(1), Fraction(1), Fraction(1), Fraction(2)))
        else:
            count = Fraction(rng.choice((1, 2, 4, 6, 8)), 2)
        return Option(p.name, count * p.sizes[0].content, f"{count} {p.sizes[0].name}")

    options = [option(product)]
    alike = [p for p in others if p.family == product.family and p is not product]
    if alike and rng.random() < 0.25:
        options.append(option(rng.choice(alike)))
    return Use(tuple(options))


def _leaving(rng: random.Random, role: str, number: int) -> Leaving | None:
    if role == "main" and rng.random() < 0.08:
        return Leaving(f"left {number}", Fraction(5), 2)
    return None


def _dishes(rng: random.Random, goods: list[Product], dishes: int) -> list[Dish]:
    out: list[Dish] = []
    unused = list(goods)
    rng.shuffle(unused)
    for role, part in DISHES_BY_ROLE.items():
        for _ in range(max(5, round(dishes * part))):
            count = rng.choice((2, 3, 3, 4)) if role == "main" else rng.choice((1, 1, 2))
            takes = []
            for _ in range(count):
                pick = unused.pop() if unused and rng.random() < 0.6 else rng.choice(goods)
                if pick not in takes:
                    takes.append(pick)
            tags = {t.family for t in takes}
            if role == "main":
                tags.add(rng.choice((*PROTEINS, "meatless")))
                if rng.random() < 0.3:
                    tags.add("soup")
            minutes = rng.choice((20, 30, 45, 60, 75, 150))
            out.append(
                Dish(
                    name=f"dish {len(out)}",
                    role=role,  # type: ignore[arg-type]
                    serves=Fraction(6),
                    uses=tuple(_use(rng, p, goods) for p in takes),
                    covers=frozenset({"side"}) if role == "main" and rng.random() < 0.35 else frozenset(),
                    minutes=minutes,
                    hands_on_minutes=min(minutes, rng.choice((10, 15, 20, 30))),
                    tags=frozenset(tags),
                    liking=rng.choice((-1, 0, 0, 0, 1, 1, 2)),
                    leaves=Leaving(f"left {len(out)}", Fraction(5), 2)
                    if role == "main" and rng.random() < 0.08
                    else None,
                )
            )
    return out
