"""Tiny invented households and menus for tests, written as Python.

``kitchen()`` alone gives two grown-ups, one supper with a main a day, eight quarts of
beans, four pounds of carrots and two dishes. Every part can be given instead:

    kitchen(
        products=[jar("Beans", opened_days=4), loose("Carrots")],
        lots=[lot("Beans", 8), lot("Carrots", 4, "lb")],
        dishes=[dish("Bean soup", ["1 qt Beans"]), dish("Stew", ["1 lb Carrots or 1 qt Beans"])],
    )

``menu(household, [supper(day, cooked(household, "Bean soup")), ...])`` writes a plan by hand.
Monday 5 January 2026 is the first day everywhere unless given.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

from msgspec.structs import replace

from pantrymeals.larder.taking import with_lots
from pantrymeals.plans.menu import (
    BegunUse,
    ChosenUse,
    DayUse,
    MenuPlan,
    Opening,
    PlannedDish,
    PlannedMeal,
    ShareRow,
    Waste,
)
from pantrymeals.records import (
    WEEKDAYS,
    Arrival,
    Dish,
    Household,
    HouseRules,
    Instead,
    Lot,
    MealName,
    MealRoles,
    PartJar,
    Person,
    Product,
    Role,
    Size,
    StandingUse,
    StorePlace,
    Use,
)
from pantrymeals.records import Option as UseOption
from pantrymeals.units import UNITS, parse_amount, take_number, unit_named

MONDAY = date(2026, 1, 5)


def day(number: int, first: date = MONDAY) -> date:
    """The day so many days after the first Monday (0 = that Monday)."""
    return first + timedelta(days=number)


def qty(text: str) -> Fraction:
    """An exact amount in its base measure: '1/2 qt'."""
    return parse_amount(text).quantity


def jar(name: str, *, sizes: Sequence[str] = ("qt",), **changes: Any) -> Product:
    """A product in whole jars; sizes are units, or written 'pack=6 each'."""
    read = tuple(_size(text) for text in sizes)
    fields: dict[str, Any] = {"name": name, "family": name.lower(), "kind": "jar"}
    fields |= {"measure": read[0][1], "sizes": tuple(size for size, _ in read)} | changes
    return Product(**fields)


def _size(text: str) -> tuple[Size, Any]:
    name, _, content = text.partition("=")
    amount = parse_amount(content or f"1 {name}")
    return Size(name.strip(), amount.quantity), amount.measure


def loose(name: str, unit: str = "lb", **changes: Any) -> Product:
    """A product dipped into: a bin or a sack."""
    measure, content = UNITS[unit]
    fields: dict[str, Any] = {"name": name, "family": name.lower(), "kind": "cellar", "whole": False}
    fields |= {"measure": measure, "sizes": (Size(unit, content),)} | changes
    return Product(**fields)


def lot(product: str, count: int | str, size: str = "qt", **changes: Any) -> Lot:
    """Containers of one product; put up on 1 September 2025 in the pantry unless given."""
    fields: dict[str, Any] = {"put_up": date(2025, 9, 1), "where": "P"} | changes
    return Lot(product, size, Fraction(count), **fields)


def part_jar(product: str, left: str, opened: date, size: str = "qt", where: str = "K") -> PartJar:
    """An opened jar with so much left."""
    return PartJar(product, size, qty(left), opened, where)


def standing(
    product: str,
    weekly: str,
    months: Iterable[int] = range(1, 13),
    within: tuple[tuple[int, int], tuple[int, int]] | None = None,
) -> StandingUse:
    """Standing use a week, in the months named, or on the days of the year from one to another alone."""
    eaten = set() if within else set(months)
    days = ((*within, qty(weekly)),) if within else ()
    return StandingUse(product, tuple(qty(weekly) if m in eaten else Fraction(0) for m in range(1, 13)), within=days)


def arrival(product: str, amount: str, when: date, note: str = "") -> Arrival:
    """Something coming in."""
    return Arrival(product, qty(amount), when, note)


def use(text: str) -> Use:
    """One use of a dish: '1 qt Beans or 1 lb Carrots'; a leading '~' marks an option as a stand-in."""
    options = []
    for written in text.split(" or "):
        stand_in = written.startswith("~")
        taken = take_number(written.lstrip("~"))
        assert taken is not None, written
        unit, _, product = taken[1].partition(" ")
        measure = unit_named(unit)
        assert measure is not None, written
        options.append(UseOption(product, taken[0] * measure[1], written, stand_in))
    return Use(tuple(options))


def dish(name: str, uses: Sequence[str] = (), role: Role = "main", serves: int = 4, **changes: Any) -> Dish:
    """A dish that takes those uses, made whole unless said otherwise; tags, contents and the like may be lists."""
    changes.setdefault("whole_batches", True)
    for key in ("tags", "contents", "not_with", "goes_with", "covers", "season", "weekdays", "not_for"):
        if key in changes:
            changes[key] = frozenset(changes[key])
    return Dish(name, role, Fraction(serves), tuple(use(text) for text in uses), **changes)


def instead(whom: str, what: str, uses: Sequence[str] = ()) -> Instead:
    """A noted alternative."""
    return Instead(whom, what, tuple(use(text) for text in uses))


def person(name: str, portion: int | str = 1, must_not: Iterable[str] = (), **changes: Any) -> Person:
    """Someone at the table, born in 1980 unless given."""
    changes.setdefault("born", date(1980, 5, 1))
    return Person(name=name, portion=Fraction(portion), must_not=frozenset(must_not), **changes)


def meal_roles(meal: MealName = "supper", roles: Sequence[Role] = ("main",), eaters: Any = "all") -> MealRoles:
    """A meal with the same roles and eaters every day."""
    return MealRoles(meal, {d: tuple(roles) for d in WEEKDAYS}, dict.fromkeys(WEEKDAYS, eaters))


def rules(**changes: Any) -> HouseRules:
    """House rules: none but those given."""
    for key in ("not_running", "not_twice", "not_twice_a_day"):
        if key in changes:
            changes[key] = frozenset(changes[key])
    return HouseRules(**changes)


_PLACES = (
    StorePlace("K", "kitchen press", "fridge"),
    StorePlace("P", "pantry", "pantry"),
    StorePlace("C", "cellar", "cellar"),
    StorePlace("F", "freezer", "freezer"),
)


def kitchen(
    *,
    products: Iterable[Product] | None = None,
    lots: Iterable[Lot] | None = None,
    dishes: Iterable[Dish] | None = None,
    people: Iterable[Person] | None = None,
    meals: Iterable[MealRoles] | None = None,
    today: date = MONDAY,
    **changes: Any,
) -> Household:
    """A tiny household; anything of Household can be given by name."""
    if products is None:
        products = [jar("Beans", opened_days=4), loose("Carrots")]
    if lots is None:
        lots = [lot("Beans", 8), lot("Carrots", 4, "lb", where="C")]
    if dishes is None:
        dishes = [dish("Bean soup", ["1 qt Beans"]), dish("Carrot stew", ["1/2 lb Carrots", "1/2 qt Beans"])]
    fields: dict[str, Any] = {
        "name": "Tiny",
        "today": today,
        "people": tuple(people) if people is not None else (person("Ann"), person("Ben")),
        "meals": tuple(meals) if meals is not None else (meal_roles(),),
        "rules": HouseRules(),
        "places": _PLACES,
        "products": {p.name: p for p in products},
        "lots": tuple(lots),
        "part_jars": (),
        "standing": (),
        "arrivals": (),
        "occasions": (),
        "dishes": {d.name: d for d in dishes},
        "batch_days": {},
    }
    return Household(**(fields | changes))


def cooked(
    household: Household,
    name: str,
    batches: int | Fraction = 1,
    *,
    options: Mapping[int, int] | None = None,
    instead: Sequence[int] = (),
    **changes: Any,
) -> PlannedDish:
    """A dish planned with the first option of each use, or those given by number; and noted alternatives."""
    planned = household.dishes[name]
    chosen = []
    for number, written in enumerate(planned.uses):
        option = written.options[(options or {}).get(number, 0)]
        chosen.append(ChosenUse(option.product, option.amount * batches, option.stand_in))
    notes = []
    for number in instead:
        note = planned.instead[number]
        notes.append(f"{note.whom}: {note.what}")
        chosen += [ChosenUse(u.options[0].product, u.options[0].amount) for u in note.uses]
    return PlannedDish(planned.role, name, Fraction(batches), tuple(chosen), tuple(notes), **changes)


def supper(
    when: date, *dishes: PlannedDish, portions: int | str = 2, meal: MealName = "supper", **changes: Any
) -> PlannedMeal:
    """A planned meal of two portions."""
    return PlannedMeal(when, meal, Fraction(portions), tuple(dishes), **changes)


def menu(
    household: Household,
    meals: Sequence[PlannedMeal],
    openings: Iterable[Opening] = (),
    waste: Iterable[Waste] = (),
    shares: Iterable[ShareRow] = (),
    **changes: Any,
) -> MenuPlan:
    """A plan of those meals, from the household's today to the last meal; openings are not worked out."""
    first = household.today
    plan = MenuPlan(
        first=first,
        days=(max(m.day for m in meals) - first).days + 1,
        meals=tuple(meals),
        openings=tuple(openings),
        waste=tuple(waste),
        shares=tuple(shares),
        batch_work=(),
        pace=Fraction(1),
        cost=0.0,
        bound=0.0,
        gap=0.0,
        seconds=0.1,
        seed=1,
        ended="proven",
        open_roles=sum(len(m.open_roles) for m in meals),
    )
    return replace(plan, **changes)


def told(household: Household, plan: MenuPlan) -> MenuPlan:
    """A plan written by hand, saying what its dishes take of each container that is open, and from which lots."""
    return with_lots(household, with_uses(household, plan))


def with_uses(household: Household, plan: MenuPlan) -> MenuPlan:
    """A plan written by hand, saying of its openings their days, and what its dishes take of each that is open.

    The oldest opened first, within its days; worked out here and not by the planner.
    """
    kept: list[tuple[date, date, list[Fraction], list[DayUse], PartJar | Opening]] = []
    for part in sorted(household.part_jars, key=lambda p: p.opened):
        product = household.products[part.product]
        thaw = timedelta(days=product.thaw_days)
        size = product.size(part.size)
        assert size is not None
        kept.append((part.opened + (thaw if part.left == size.content else 0 * thaw),
                     part.opened + thaw + _days(product), [part.left], [], part))  # fmt: skip
    for o in sorted(plan.openings, key=lambda o: o.day):
        product = household.products[o.product]
        size = product.size(o.size)
        assert size is not None
        last = o.day + _days(product)
        lifted = o.day - timedelta(days=product.thaw_days) if product.thaw_days else None
        known = replace(o, lifted=lifted, eat_by=last if product.opened_days else None)
        kept.append((o.day, last, [o.count * size.content], [], known))
    for meal in sorted(plan.meals, key=lambda m: m.day):
        for taken in (u for d in meal.dishes for u in d.uses):
            need = taken.amount
            for ready, last, left, uses, thing in kept:
                if thing.product == taken.product and ready <= meal.day <= last and min(need, left[0]):
                    part = min(need, left[0])
                    left[0], need = left[0] - part, need - part
                    uses.append((meal.day, part))
    openings = tuple(replace(x, uses=tuple(uses)) for *_, uses, x in kept if isinstance(x, Opening))
    begun = tuple(
        BegunUse(x.product, x.size, x.opened, tuple(uses)) for *_, uses, x in kept if isinstance(x, PartJar) and uses
    )
    return replace(plan, openings=openings, begun=begun)


def _days(product: Product) -> timedelta:
    return timedelta(days=(product.opened_days or 1000) - 1)
