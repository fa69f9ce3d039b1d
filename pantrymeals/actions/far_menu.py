"""A menu that begins far ahead of its count: the household it is cooked from."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path

from msgspec.structs import replace

from pantrymeals.actions.announced import still_to_come
from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.reckoned import reckoned
from pantrymeals.menu.changes import part_of
from pantrymeals.menu.menu import FAR_AHEAD_DAYS
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household
from pantrymeals.words import listed


def on_its_first_day(folder: Path, household: Household, first: date | None, pace: BookPace) -> tuple[Household, str]:
    """The household that a menu from ``first`` is cooked from, the announced menu eaten on the way; and what is so."""
    if first is None or not far_ahead(household, first):
        return household, ""
    told = [one for one in still_to_come(folder, household) if one[1].first < first]
    words = f"Until then: {listed(menu.words for menu, _ in told)}, and usual use." if told else ""
    return household_for(household, first, pace, [plan for _, plan in told]), words


def far_ahead(household: Household, first: date | None) -> bool:
    """Whether a menu that begins then is too far from the count to be cooked from what was counted."""
    return first is not None and (first - household.today).days > FAR_AHEAD_DAYS


def household_for(
    household: Household, first: date | None, pace: BookPace, announced: Sequence[MenuPlan] = ()
) -> Household:
    """The household that a menu from ``first`` is cooked from: as counted, or reckoned where that day is far ahead.

    announced: the menus that are eaten on their days before then; usual use goes on around them.
    """
    if first is None or not far_ahead(household, first):
        return household
    counted = household.today
    for plan in announced:
        eaten = part_of(plan, plan.first, min(first, plan.last + timedelta(days=1)))
        household = household_after(reckoned(household, eaten.first, pace), eaten)
    return replace(reckoned(household, first, pace), reckoned_from=counted)
