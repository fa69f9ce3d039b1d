"""A menu that begins far ahead of its count: the household it is cooked from."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from pantrymeals.actions.announced import still_to_come
from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.reckoned import reckoned
from pantrymeals.menu.changes import part_of
from pantrymeals.menu.menu import FAR_AHEAD_DAYS
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.pull.pull import household_after
from pantrymeals.records import Household


def on_its_first_day(folder: Path, household: Household, first: date | None, pace: BookPace) -> tuple[Household, str]:
    """The household that a menu from ``first`` is cooked from, the announced menu eaten on the way; and what is so."""
    told = still_to_come(folder, household) if far_ahead(household, first) else None
    if told is None:
        return household_for(household, first, pace), ""
    return household_for(household, first, pace, told[1]), f"Until then: {told[0].words}, and usual use."


def far_ahead(household: Household, first: date | None) -> bool:
    """Whether a menu that begins then is too far from the count to be cooked from what was counted."""
    return first is not None and (first - household.today).days > FAR_AHEAD_DAYS


def household_for(
    household: Household, first: date | None, pace: BookPace, announced: MenuPlan | None = None
) -> Household:
    """The household that a menu from ``first`` is cooked from: as counted, or reckoned where that day is far ahead.

    announced: the menu that is eaten on its days before then; usual use goes on around it.
    """
    if first is None or not far_ahead(household, first):
        return household
    counted = household.today
    if announced is not None and announced.first < first:
        eaten = part_of(announced, announced.first, min(first, announced.last + timedelta(days=1)))
        household = household_after(reckoned(household, eaten.first, pace), eaten)
    return replace(reckoned(household, first, pace), reckoned_from=counted)
