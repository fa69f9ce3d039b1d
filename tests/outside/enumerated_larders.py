"""Random tiny larders for the outside judge: small enough that every menu can be tried.

Two sizes with arrivals, part jars, standing use, leavings, guests, occasions within and beyond the days, fixed nights,
thirds of a pound and half litres.
"""

from __future__ import annotations

from datetime import timedelta
from fractions import Fraction
from random import Random
from typing import Any

from pantrymeals.records import Dish, Household, Leaving, Occasion, Product
from tests.kitchens.tiny import (
    MONDAY,
    arrival,
    day,
    dish,
    jar,
    kitchen,
    loose,
    lot,
    meal_roles,
    part_jar,
    person,
    rules,
    standing,
)

CUPS = {False: ("1/2 qt", "1 qt", "1 pt", "2/3 qt"), True: ("500 ml", "1 l", "250 ml", "750 ml")}
POUNDS = {False: ("1/3 lb", "1/2 lb", "1 lb"), True: ("300 g", "500 g", "1 kg")}
SIZES = {
    False: (("qt",), ("pt", "qt"), ("qt", "pt")),
    True: (("litre jar=1 l",), ("half-litre jar=500 ml", "litre jar=1 l")),
}


def larder(seed: int) -> tuple[Household, int]:
    """A larder and how many days to plan."""
    rng = Random(seed)
    metric = rng.random() < 0.4
    days = rng.choice((2, 2, 3))
    goods = [_product(rng, name, metric) for name in ("Beans", "Corn", "Plums")[: rng.choice((2, 3))]]
    book = [_dish(rng, number, goods, metric) for number in range(rng.choice((3, 4)))]
    if rng.random() < 0.35:
        book[0] = _changed(book[0], leaves=Leaving("cold cuts", Fraction(rng.choice((1, 2, 3))), rng.choice((1, 2))))
        book[1] = _changed(book[1], needs_left="cold cuts")
    extra: dict[str, Any] = {
        "lots": [lot(p.name, rng.choice((0, 1, 2, 3)), size.name) for p in goods for size in p.sizes],
        "part_jars": tuple(_parts(rng, goods, metric)),
        "standing": tuple(_standing(rng, goods, metric)),
        "arrivals": tuple(_arrivals(rng, goods, metric, days)),
        "occasions": tuple(_occasions(rng, book, days)),
    }
    if rng.random() < 0.3:
        extra["recent"] = ((day(-1), rng.choice(book).name),)
    house = rules(
        days_between={"main": rng.choice((1, 2, 3)), "side": 1},
        at_most=rng.choice(({}, {"soup": 1})),
        not_running=rng.choice(((), ("soup",))),
        fixed=rng.choice(({}, {"Tue": "roast"}, {"Thu": "roast"}, {"Sun": "soup"})),
        stretch=Fraction(rng.choice((0, 1)), 4),
    )
    roles: Any = rng.choice((("main",), ("main",), ("main", "side")))
    people = [person("Ann"), person("Ben", rng.choice((1, Fraction(1, 2))), will_not=frozenset({"roast"}))]
    home = kitchen(
        products=goods, dishes=book, people=people, meals=[meal_roles(roles=roles)], rules=house, **extra
    )  # fmt: skip
    return home, days


def _changed(one: Dish, **changes: Any) -> Dish:
    from msgspec.structs import replace

    return replace(one, **changes)


def _product(rng: Random, name: str, metric: bool) -> Product:
    changes: dict[str, Any] = {
        "must_last_to": rng.choice((None, day(1), day(2), day(12), day(40))),
        "deadline_kind": rng.choice(("new crop", "keeps to")),
    }
    if name == "Corn" and rng.random() < 0.6:
        return loose(name, "kg" if metric else "lb", **changes)
    changes["opened_days"] = rng.choice((1, 2, 3, 30, None))
    if rng.random() < 0.25:
        changes |= {"kind": "freezer", "thaw_days": 1}
    return jar(name, sizes=rng.choice(SIZES[metric]), **changes)


def _amount(rng: Random, product: Product, metric: bool) -> str:
    return rng.choice(CUPS[metric] if product.whole else POUNDS[metric])


def _dish(rng: Random, number: int, goods: list[Product], metric: bool) -> Dish:
    uses = []
    for product in rng.sample(goods, rng.choice((1, 1, 2))):
        text = f"{_amount(rng, product, metric)} {product.name}"
        if rng.random() < 0.3:
            other = rng.choice(goods)
            mark = rng.choice(("", "~"))
            text += f" or {mark}{_amount(rng, other, metric)} {other.name}" if other is not product else ""
        uses.append(text)
    changes: dict[str, Any] = {
        "serves": rng.choice((1, 2, 4)),
        "tags": rng.sample(("soup", "roast"), rng.choice((0, 1, 1))),
        "liking": rng.choice((-2, 0, 2)),
        "hands_on_minutes": rng.choice((5, 15, 40)),
        "goes_with": rng.choice(((), (), ("soup",))),
        "days_between": rng.choice((None, None, 5)),
    }
    role = rng.choice(("main", "main", "main", "side"))
    return dish(f"dish {number}", uses, role=role, **changes)  # type: ignore[arg-type]


def _parts(rng: Random, goods: list[Product], metric: bool) -> list[Any]:
    out = []
    for product in goods:
        if product.whole and rng.random() < 0.4:
            for left in rng.sample(("250 ml", "500 ml") if metric else ("1/2 qt", "1/3 qt", "1/2 pt"), 2):
                out.append(
                    part_jar(product.name, left, MONDAY - timedelta(days=rng.choice((0, 1, 2))), product.sizes[0].name)
                )
    return out


def _standing(rng: Random, goods: list[Product], metric: bool) -> list[Any]:
    product = rng.choice(goods)
    weekly = {(True, True): "1 l", (True, False): "2 qt", (False, True): "650 g", (False, False): "8/5 lb"}
    return [standing(product.name, weekly[product.whole, metric])] if rng.random() < 0.4 else []


def _arrivals(rng: Random, goods: list[Product], metric: bool, days: int) -> list[Any]:
    amounts = {(True, True): "1 l", (True, False): "2 qt", (False, True): "700 g", (False, False): "2 lb"}
    return [
        arrival(p.name, amounts[p.whole, metric], day(rng.randrange(days + 2))) for p in goods if rng.random() < 0.4
    ]


def _occasions(rng: Random, book: list[Dish], days: int) -> list[Occasion]:
    out = []
    if rng.random() < 0.3:
        on = day(rng.randrange(days))
        out.append(Occasion(on, on, "company", guests=Fraction(rng.choice((1, 2, 4)))))
    if rng.random() < 0.5:
        on = day(days + rng.randrange(4))
        out.append(Occasion(on, on, "a feast to come", kind="feast", dish=rng.choice(book).name))
    if rng.random() < 0.15:
        on = day(rng.randrange(days))
        out.append(Occasion(on, on, "a feast", kind="feast", dish=rng.choice(book).name))
    return out
