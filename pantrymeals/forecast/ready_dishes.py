"""Which dishes can be cooked from what is there, and which of them use what must go."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date
from fractions import Fraction

from pantrymeals.larder.opened_life import parts_not_past
from pantrymeals.records import Dish, Household, Option, Person

MOST_DISHES = 2


def usable(household: Household) -> dict[str, Fraction]:
    """What may be used of each product (base measure): lots on the shelf less reserve, and part jars not past."""
    out = dict.fromkeys(household.products, Fraction(0))
    for lot in household.lots:
        if lot.state == "":
            product = household.products[lot.product]
            out[lot.product] += lot.count * (product.size(lot.size) or product.sizes[0]).content
    for name, product in household.products.items():
        out[name] = max(Fraction(0), out[name] - product.reserve)
    for jar, _ in parts_not_past(household, household.today):
        out[jar.product] += jar.left
    return out


def chosen_options(
    household: Household, dish: Dish, there: Mapping[str, Fraction], banned: Collection[str] = ()
) -> tuple[Option, ...] | None:
    """The first option of each use that the shelf covers for one batch; None when some use has none."""
    chosen = []
    for use in dish.uses:
        option = next((o for o in use.options if _covered(household, o, there, banned)), None)
        if option is None:
            return None
        chosen.append(option)
    return tuple(chosen)


def _covered(household: Household, option: Option, there: Mapping[str, Fraction], banned: Collection[str]) -> bool:
    product = household.products[option.product]
    eaten = not product.eaten_in or household.today.month in product.eaten_in
    return product.on_menus and eaten and option.product not in banned and there[option.product] >= option.amount


def can_be_cooked(
    household: Household,
    dish: Dish,
    there: Mapping[str, Fraction],
    banned: Collection[str] = (),
) -> bool:
    """Whether one batch can be cooked today: season, shelf, and not one that is made from a leaving."""
    in_season = not dish.season or household.today.month in dish.season
    return (
        in_season
        and dish.needs_left is None
        and bool(dish.uses)
        and chosen_options(household, dish, there, banned) is not None
    )


def not_for(household: Household, dish: Dish, options: Collection[Option]) -> list[str]:
    """The people a dish is not for, who have no noted alternative: 'Linnet (tree nut)'."""
    marks = set(dish.contents)
    for option in options:
        marks |= household.products[option.product].contents
    out = []
    for person in household.people:
        noted = {i.whom for i in dish.instead}
        barred = (marks & must_not(person, household.today)) - noted
        if barred and person.name not in noted and not ("low salt" in noted and barred == {"salty"}):
            out.append(f"{person.name} ({', '.join(sorted(barred))})")
    return out


def must_not(person: Person, today: date) -> set[str]:
    """Marks a person must not have today; honey for everyone before the first birthday."""
    marks = set(person.must_not)
    if person.born and today < _birthday(person.born, 1):
        marks.add("honey")
    return marks


def _birthday(born: date, years: int) -> date:
    try:
        return born.replace(year=born.year + years)
    except ValueError:
        return date(born.year + years, 3, 1)


def dishes_for(household: Household, products: Collection[str]) -> dict[str, tuple[str, ...]]:
    """For each product, up to two dishes that use it and can be cooked today; those that use most first."""
    there = usable(household)
    ranked = []
    for dish in household.dishes.values():
        if dish.only_for or not can_be_cooked(household, dish, there):
            continue
        options = chosen_options(household, dish, there) or ()
        taken = {o.product for o in options} & set(products)
        barred = not_for(household, dish, options)
        if taken:
            ranked.append((len(barred), -len(taken), -dish.liking, dish.minutes, dish.name, taken, barred))
    out: dict[str, tuple[str, ...]] = {}
    for *_, name, taken, barred in sorted(ranked, key=lambda r: r[:5]):
        words = name + (f" (not for {', '.join(barred)})" if barred else "")
        for product in taken:
            if len(out.get(product, ())) < MOST_DISHES:
                out[product] = (*out.get(product, ()), words)
    return out
