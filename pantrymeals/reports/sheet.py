"""All that a menu report may show, gathered beforehand: reports compute nothing."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from msgspec import Struct, field

from pantrymeals.plans.fed import Fed
from pantrymeals.plans.left_over import LeftOver
from pantrymeals.plans.menu import MenuPlan, PullList, WhatClashes
from pantrymeals.plans.outlook import Forecast, LarderCover
from pantrymeals.plans.trip import NO_TRIP, Trip
from pantrymeals.records import Household, MealName


class MenuSheet(Struct, frozen=True):
    """A menu with everything that goes beside it.

    broken: what the checker finds wrong with the plan, in plain sentences; empty is well.
    unreachable: products that no dish and no standing use can take, with the reason.
    at_table: how many eat, in words, by day ('6 at table'). who_eats: whose a meal is where it is not all's, in words;
        at_home: a sentence on those left at home by a meal in tins.
    trip: the pull list drawn together, for one walk.
    clash: why the menu is not whole, when that was asked; None for a whole menu.
    cover: how long the food lasts, from the household's day; None: not asked.
    reckoned_from: the day of the count that its shelf is reckoned from; None: the shelf was counted.
    """

    household: Household
    plan: MenuPlan
    broken: tuple[str, ...]
    pull: PullList
    forecast: Forecast
    unreachable: tuple[tuple[str, str], ...] = ()
    at_table: Mapping[date, str] = field(default_factory=dict)
    who_eats: Mapping[tuple[date, MealName], str] = field(default_factory=dict)
    at_home: tuple[str, ...] = ()
    trip: Trip = NO_TRIP
    left_over: tuple[LeftOver, ...] = ()
    fed: Fed = field(default_factory=Fed)
    clash: WhatClashes | None = None
    reckoned_from: date | None = None
    cover: LarderCover | None = None


class WeeksSheet(Struct, frozen=True):
    """Several menus, each planned from what the one before left; and how the stores stand after them.

    ended: why there are fewer of them than were asked for; '': there are not.
    """

    weeks: tuple[MenuSheet, ...]
    after: Forecast
    ended: str = ""
