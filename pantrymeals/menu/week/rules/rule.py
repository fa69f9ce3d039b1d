"""What an entry of the table of house rules is, and what relaxing one changes."""

from __future__ import annotations

from collections.abc import Callable, Container
from datetime import date, timedelta
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.larder.table import weekday
from pantrymeals.menu.request import MenuRequest
from pantrymeals.menu.week.model import MenuModel, Rule
from pantrymeals.menu.week.problem import Candidate, MenuProblem
from pantrymeals.records import Dish, Household
from pantrymeals.words import long_day


class HouseholdAsked(Struct, frozen=True):
    """A household and what is asked of it: what a mending changes."""

    household: Household
    request: MenuRequest

    def having(self, **changes: Any) -> HouseholdAsked:
        """With these fields of the household changed."""
        return replace(self, household=replace(self.household, **changes))

    def ruled(self, **changes: Any) -> HouseholdAsked:
        """With these house rules changed."""
        return self.having(rules=replace(self.household.rules, **changes))

    def cooking(self, *dishes: Dish) -> HouseholdAsked:
        """With these dishes in the place of those of their names."""
        return self.having(dishes={**self.household.dishes, **{d.name: d for d in dishes}})

    def asking(self, **changes: Any) -> HouseholdAsked:
        """With another request."""
        return replace(self, request=replace(self.request, **changes))


class Shown(Struct, frozen=True):
    """A menu found when some rules gave way, from which mendings are read. chosen: the dishes cooked."""

    problem: MenuProblem
    chosen: tuple[Candidate, ...]

    def on(self, day: int) -> list[Dish]:
        """The dishes of a day."""
        return [c.dish for c in self.chosen if c.day == day]

    def main_on(self, day: int, meals: Container[str] = ("supper",)) -> str:
        """The main dish (a lunch's own counts) of a day's supper, or of the first of these meals; '' where none is."""
        tables = self.problem.tables
        mains = (
            c.dish.name
            for c in self.chosen
            if c.day == day and c.role in ("main", "lunch") and tables[c.table].meal in meals
        )
        return next(mains, "")


Constrain = Callable[[MenuModel], None]
"""Adds a rule's constraints, each with the ``Rule`` that it keeps."""

Said = Callable[[Household, MenuProblem, Rule], str]
"""The rule as the house keeps it: 'Friday 23 January is flat bread'."""

Relax = Callable[[HouseholdAsked, Shown, Rule, int], tuple[HouseholdAsked, str]]
"""The kitchen in which the rule gives way by so much, as the menu shown needs it, and that in words: 'let ...'."""


class HouseRule(Struct, frozen=True):
    """One rule of the house.

    twins: the checker's functions of the same meaning, or the reason why there is none.
    relax: or the reason why it never gives way; then nothing is said of it.
    field: of ``HouseRules``, that it keeps; '' for what is no rule of the household's own.
    unit_price: what each unit by which it gives way costs beside the rule itself; 0: it has no amount.
    by_week: asked of each week as far as its dishes can stand there, and relaxed for all weeks at once.
    scarce: shares out over a long menu what there is too little of, so that its price guides the rolling horizon.
    """

    kind: str
    constrain: Constrain
    twins: tuple[str, ...] | str
    relax: Relax | str
    said: Said | None = None
    field: str = ""
    unit_price: int = 0
    by_week: bool = False
    scarce: bool = False


def day_of(problem: MenuProblem, number: int) -> date:
    """The day of that number."""
    return problem.request.first + timedelta(days=number)


def weekday_of(problem: MenuProblem, number: int) -> str:
    """'Mon' to 'Sun'."""
    return weekday(day_of(problem, number))


def on_day(problem: MenuProblem, number: int) -> str:
    """'Friday 23 January'."""
    return long_day(day_of(problem, number))
