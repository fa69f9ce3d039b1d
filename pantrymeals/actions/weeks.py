"""Several weeks, each planned from what the week before left on the shelf."""

from __future__ import annotations

from pantrymeals.actions.menu import Asked, lay_out, make_menu
from pantrymeals.errors import PantryError
from pantrymeals.planning.request import Watch
from pantrymeals.records import Household
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet

MOST_WEEKS = 52


def make_weeks(
    household: Household, number: int, seed: int, seconds: float, watch: Watch | None = None
) -> WeeksSheet:
    """``number`` weekly menus, one after another; the cook's 'enough' ends them early.

    Raises NoMenuFits when one of them cannot be planned.
    """
    from pantrymeals.planning.pull import household_after
    from pantrymeals.planning.run_out_first import first_run_out

    if not 1 <= number <= MOST_WEEKS:
        raise PantryError(f"--weeks should be 1 to {MOST_WEEKS}, not {number}")
    sheets: list[MenuSheet] = []
    for _ in range(number):
        plan = make_menu(household, Asked(days=7, seed=seed, seconds=seconds), watch)
        sheets.append(lay_out(household, plan))
        household = household_after(household, plan)
        if watch is not None and watch.stopped():
            break
    return WeeksSheet(tuple(sheets), household.today, tuple(first_run_out(household)))
