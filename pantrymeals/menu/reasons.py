"""Why a dish stands where it stands, where that is worth saying: a promise, what is open, what spoils, what is oldest.

A reason is read off the finished menu and its lots, so that it is true of them; at most half of the dishes have one,
the strongest, and none is given twice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.larder.opened_life import life_of, untouched
from pantrymeals.larder.table import fixed_night, occasions_on
from pantrymeals.plans.menu import BegunUse, FromLot, MenuPlan, Opening, PlannedDish, PlannedMeal
from pantrymeals.records import Household
from pantrymeals.words import short_date, spoken, verb, weekday_name

VERY_SOON_DAYS = 21
SOON_DAYS = 50
"""Days before the day it keeps to: within the first it presses, within the second it is worth knowing."""
OPEN_SOON_DAYS = 7
"""What is open is a reason where it would be over within a week: lard that is open for months is none."""
OLD_DAYS = 730
LONG_WITHOUT_DAYS = 28


class _Chosen(Struct, frozen=True):
    """A dish in its place, and the whole menu around it."""

    household: Household
    plan: MenuPlan
    meal: PlannedMeal
    dish: PlannedDish

    @property
    def own(self) -> tuple[str, ...]:
        """The products of the dish itself: what only a noted alternative takes is no reason."""
        dish = self.household.dishes.get(self.dish.dish)
        its = {o.product for use in (dish.uses if dish else ()) for o in use.options}
        return tuple(use.product for use in self.dish.uses if use.product in its)

    def spoken(self, product: str) -> str:
        """'early red potatoes'."""
        return spoken(self.household.products[product])


def with_reasons(household: Household, plan: MenuPlan) -> MenuPlan:
    """The plan, with a reason for no more than half of its dishes. Its openings must say their lots."""
    places = [(meal, dish) for meal in plan.meals for dish in meal.dishes]
    found: list[tuple[int, int, str]] = []
    for number, (meal, dish) in enumerate(places):
        chosen = _Chosen(household, plan, meal, dish)
        said = ((rank, reason) for rank, say in enumerate(REASONS) for reason in say(chosen))
        found += [(rank, number, reason) for rank, reason in said]
    why: dict[int, str] = {}
    for _, number, reason in sorted(found):
        if len(why) < len(places) // 2 and number not in why and reason not in why.values():
            why[number] = reason
    numbers = iter(range(len(places)))
    meals = (
        replace(meal, dishes=tuple(replace(dish, why=why.get(next(numbers), "")) for dish in meal.dishes))
        for meal in plan.meals
    )
    return replace(plan, meals=tuple(meals))


def as_promised(chosen: _Chosen) -> Iterator[str]:
    """What was asked for, and an occasion's own dish."""
    if chosen.dish.pinned:
        yield "you asked for it"
    for occasion in occasions_on(chosen.household, chosen.meal.day):
        if occasion.dish == chosen.dish.dish:
            yield f"for {occasion.name}"


def from_leavings(chosen: _Chosen) -> Iterator[str]:
    """What another dish left."""
    dish = chosen.household.dishes.get(chosen.dish.dish)
    if dish is not None and dish.needs_left is not None:
        yield f"made from the {dish.needs_left}"


def is_open(chosen: _Chosen) -> Iterator[str]:
    """A part jar, a pack that was lifted out before, or what this menu opened on an earlier day, soon over."""
    day, plan = chosen.meal.day, chosen.plan
    as_it_comes = {a.product for a in chosen.household.arrivals if plan.first <= a.day <= plan.last}
    for begun in plan.begun:
        if begun.product in as_it_comes or begun.product not in chosen.own:
            continue
        if any(on == day for on, _ in begun.uses) and _soon_over(_last_day(chosen.household, begun), day):
            how = "lifted out" if _lifted(chosen.household, begun) else "opened"
            yield f"from the {chosen.spoken(begun.product)} {how} {short_date(begun.opened)}"
    for opening in plan.openings:
        spoils = opening.product not in as_it_comes and _soon_over(opening.eat_by, day)
        if (
            spoils
            and _in_jar_or_pack(chosen, opening)
            and opening.day < day
            and any(on == day for on, _ in opening.uses)
        ):
            yield f"from the {chosen.spoken(opening.product)} opened on {weekday_name(opening.day)}"


def _soon_over(last: date | None, day: date) -> bool:
    return last is not None and (last - day).days < OPEN_SOON_DAYS


def _last_day(household: Household, begun: BegunUse) -> date | None:
    """The last day on which what was begun is good; None where no clock runs."""
    product = household.products[begun.product]
    same = (p for p in household.part_jars if (p.product, p.opened) == (begun.product, begun.opened))
    return next((life_of(product, part).last for part in same), None)


def _in_jar_or_pack(chosen: _Chosen, opening: Opening) -> bool:
    return opening.product in chosen.own and chosen.household.products[opening.product].kind in ("jar", "freezer")


def _lifted(household: Household, begun: BegunUse) -> bool:
    """Whether what was begun is a pack that has been thawing whole since then."""
    product = household.products[begun.product]
    same = (p for p in household.part_jars if (p.product, p.opened) == (begun.product, begun.opened))
    return product.thaw_days > 0 and any(untouched(product, part) for part in same)


def _keeps_only_to(chosen: _Chosen, most: int) -> Iterator[str]:
    soon = []
    for name in chosen.own:
        product = chosen.household.products[name]
        keeps = product.must_last_to
        if product.deadline_kind == "keeps to" and keeps and 0 <= (keeps - chosen.meal.day).days <= most:
            soon.append((keeps, name))
    for keeps, name in sorted(soon):
        said = chosen.spoken(name)
        yield f"{said} {verb(said, 'keep')} only to {short_date(keeps)}"


def will_not_wait(chosen: _Chosen) -> Iterator[str]:
    """What keeps only to a day that presses."""
    yield from _keeps_only_to(chosen, VERY_SOON_DAYS)


def is_the_oldest(chosen: _Chosen) -> Iterator[str]:
    """A jar or pack of more than two years that is opened for this dish."""
    day = chosen.meal.day
    lots: dict[str, FromLot | None] = {o.product: o.lot for o in chosen.plan.openings if o.day == day}
    lots |= {got.product: got.lot for got in chosen.plan.fetched if got.day == day and not got.work}
    for name in chosen.own:
        lot = lots.get(name)
        if lot is not None and lot.put_up is not None and _over_two_years(lot, day):
            yield f"{chosen.spoken(name)} put up in {lot.put_up.year}"


def _over_two_years(lot: FromLot, day: date) -> bool:
    assert lot.put_up is not None
    latest = date(lot.put_up.year, 12, 31) if lot.year_only else lot.put_up
    return (day - latest).days > OLD_DAYS


def the_night(chosen: _Chosen) -> Iterator[str]:
    """The weekday's own kind of supper."""
    tag = fixed_night(chosen.household, chosen.meal.meal, chosen.meal.day)
    dish = chosen.household.dishes.get(chosen.dish.dish)
    if tag and dish and tag in dish.tags and chosen.dish.role == "main":
        yield f"the {weekday_name(chosen.meal.day)} {tag}"


def keeps_not_long(chosen: _Chosen) -> Iterator[str]:
    """What keeps only to a day that is near."""
    yield from _keeps_only_to(chosen, SOON_DAYS)


def long_without(chosen: _Chosen) -> Iterator[str]:
    """What nobody ate for four weeks, where all that was eaten is known, and standing use takes none."""
    household, day = chosen.household, chosen.meal.day
    since = day - timedelta(days=LONG_WITHOUT_DAYS)
    eaten = {t.product for t in household.taken if since <= t.day < day}
    eaten |= {use.product for use in household.standing if use}
    eaten |= {u.product for m in chosen.plan.meals if m.day < day for d in m.dishes for u in d.uses}
    for name in chosen.own:
        known = household.known_since.get(name)
        if name not in eaten and known is not None and known <= since:
            yield f"the first {chosen.spoken(name)} in four weeks"


REASONS: tuple[Callable[[_Chosen], Iterator[str]], ...] = (
    as_promised,
    from_leavings,
    is_open,
    will_not_wait,
    is_the_oldest,
    long_without,
    keeps_not_long,
    the_night,
)
"""What is worth saying of a dish, the strongest first."""
