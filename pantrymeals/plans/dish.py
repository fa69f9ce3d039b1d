"""One dish as it would be cooked for one table."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec import Struct

from pantrymeals.plans.left_over import LeftOver
from pantrymeals.plans.menu import ChosenUse, PullList
from pantrymeals.records import Dish, Instead, MealName, Option


class DishSheet(Struct, frozen=True):
    """A dish, the table it is laid out for, and what that takes.

    meal: None where no table of the fortnight has its role; then it is one batch for whom it serves.
    uses: for each use its options with their amounts for all batches, liked best first. taken: of each product, what is
    counted on: the first option of which enough is there, and what is served beside it.
    barred: (person, mark) that nothing noted helps. only_without: (person, mark, products that carry it), where another
    option is there. beside: what is noted for somebody at the table. refused: who will not eat it.
    too_late: (product, day on which it is ready, lifted out today) of what is not thawed for this table. no_sooner: the
        same of the next table, where this is a later one, for which all is thawed.
    over: portions that it feeds beyond this table.
    left_by: dishes that leave what it is made from. becomes: dishes made from what it leaves.
    """

    dish: Dish
    day: date
    meal: MealName | None
    portions: Fraction
    batches: Fraction
    uses: tuple[tuple[Option, ...], ...]
    taken: tuple[ChosenUse, ...]
    barred: tuple[tuple[str, str], ...]
    only_without: tuple[tuple[str, str, tuple[str, ...]], ...]
    beside: tuple[Instead, ...]
    refused: tuple[str, ...]
    too_late: tuple[tuple[str, date], ...]
    no_sooner: tuple[tuple[str, date], ...]
    left_by: tuple[str, ...]
    becomes: tuple[str, ...]
    pull: PullList
    over: LeftOver | None = None
