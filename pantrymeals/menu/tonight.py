"""What can be cooked today as it stands: nothing to thaw, nothing that wanted doing yesterday."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.larder.lately import left_lately
from pantrymeals.larder.on_hand import age, covered, thawed_by, there_today
from pantrymeals.larder.table import Table, days_between, refusals, table_for
from pantrymeals.menu.week.possible import Possible, possible_dishes
from pantrymeals.plans.evening import CanCook, Tonight
from pantrymeals.records import Dish, Household, MealName

if TYPE_CHECKING:
    from pantrymeals.plans.menu import ChosenUse

LONGER, THAW, AHEAD, LATELY, LEFT, SHORT, BARRED = (
    "that would take longer",
    "with something to thaw first",
    "with something to do the day before",
    "eaten too lately",
    "made from a leaving that is not there",
    "for which too little is there",
    "that somebody at table must not have",
)


def tonight(household: Household, meal: MealName, minutes: int | None = None) -> Tonight:
    """What could be cooked today for a meal by rules 3, 7, 10, 11 and 13, each dish by itself; fixed nights apart.

    minutes: at most so many in all for a dish; None: as the house rules have it.
    """
    today = household.today
    laid = next(
        (t for roles in household.meals if roles.meal == meal and (t := table_for(household, roles, today))), None
    )
    if laid is None:
        return Tonight(today, meal, None, minutes, (), (), {}, None)
    there = there_today(household)
    ready = {**there, **thawed_by(household, today)}
    stocked = frozenset(name for name, amount in there.items() if amount > 0)
    waits: Counter[str] = Counter()
    found, slow = [], []
    possible = possible_dishes(household, (laid,), (0,), stocked)
    for each in possible:
        chosen = covered(each.uses, ready)
        if why := _waits(household, laid, each.dish) or _lacks(each, there, chosen):
            waits[why] += 1
        elif chosen is not None and minutes is not None and each.dish.minutes > minutes:
            waits[LONGER] += 1
            slow.append(each.dish)
        elif chosen is not None:
            found.append(_can_cook(household, laid, each, chosen))
    for_anybody = possible_dishes(household, (replace(laid, eaters=()),), (0,), stocked)
    if barred := len({each.dish.name for each in for_anybody} - {each.dish.name for each in possible}):
        waits[BARRED] = barred
    found.sort(key=lambda c: (len(c.refused), -c.dish.liking, c.dish.minutes, c.dish.name))
    quickest = min((d for d in slow if d.role == laid.roles[0]), key=lambda d: (d.minutes, d.name), default=None)
    return Tonight(today, meal, laid.portions, minutes, laid.roles, tuple(found), waits, quickest)


def _waits(household: Household, table: Table, dish: Dish) -> str:
    """Why a dish cannot stand today whatever the shelf holds; '' where it can."""
    if any(step.days_before for step in dish.ahead):
        return AHEAD
    gap = days_between(household, dish)
    if any(name == dish.name and 0 <= (table.day - day).days < gap for day, name in household.recent):
        return LATELY
    if dish.needs_left is not None:
        before = [((day - table.day).days, name) for day, name in household.recent if day < table.day]
        if not any(left.serves(0, table.portions) for left in left_lately(household, before, dish.needs_left)):
            return LEFT
    return ""


def _lacks(each: Possible, there: Mapping[str, Fraction], chosen: tuple[ChosenUse, ...] | None) -> str:
    if chosen is not None:
        return ""
    return SHORT if covered(each.uses, there) is None else THAW


def _can_cook(household: Household, table: Table, each: Possible, chosen: tuple[ChosenUse, ...]) -> CanCook:
    refused = refusals(each.dish, table.eaters)
    places = dict(_places(household, {use.product for use in chosen}))
    return CanCook(each.dish.role, each.dish, each.batches, chosen, places, each.instead, refused)


def _places(household: Household, names: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Where what is eaten first of each product stands: what is open, else the oldest lot on the shelf."""
    for name in names:
        begun = [part.where for part in household.part_jars if part.product == name]
        lots = sorted((lot for lot in household.lots if lot.product == name and lot.state == ""), key=age)
        where = next((place for place in [*begun, *(lot.where for lot in lots)] if place), "")
        if where:
            yield name, where
