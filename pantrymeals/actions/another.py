"""The menu that another dish is asked of: a file's, or the announced one that has the day."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from pantrymeals.actions.announced import current_or_say, from_today, that_stand
from pantrymeals.actions.asking import plate_meant
from pantrymeals.actions.book.as_if_back import around_what_is_up
from pantrymeals.actions.replan import after_what_is_pulled, eaten_so_far
from pantrymeals.actions.stored_menu import announced_in
from pantrymeals.errors import PantryError
from pantrymeals.menu.changes import part_of
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household
from pantrymeals.words import short_day

_TAKE_BACK = "; 'undo' takes a pull back"


def menu_with(folder: Path, household: Household, file: Path | None, place: str) -> tuple[Household, MenuPlan]:
    """The menu of a file; else the announced one that has the place's day, from the first day that can be planned anew.

    With it the household as it will be on the first of those days, the jars that are up for later ones on its shelf.

    Raises PantryError where none is announced, none has that day, its jars are up already, or it is bound by some
    that are (see `around_what_is_up`).
    """
    if file is not None:
        return household, announced_in(file, household)
    current_or_say(folder, household.today)
    trouble: PantryError | None = None
    for _, told in that_stand(folder, household):
        plan = from_today(household, told)
        end = plan.first + timedelta(days=plan.days)
        try:
            day, _, _ = plate_meant(place, plan.first, plan.days)
        except PantryError as error:
            trouble = error
            continue
        to_plan = around_what_is_up(folder, household, told)
        begin, _ = after_what_is_pulled(to_plan.pulled, plan.first, end)
        if day in to_plan.kept or day in to_plan.pulled.again:
            raise PantryError(f"what {short_day(day)} takes has been pulled already", _TAKE_BACK)
        if day < begin:
            raise PantryError(
                f"what days after it take has been pulled already, so {short_day(day)} stays as announced", _TAKE_BACK
            )
        return eaten_so_far(to_plan.household, to_plan.pulled.plan, begin), part_of(plan, begin, end)
    assert trouble is not None  # current_or_say has found a menu
    raise trouble
