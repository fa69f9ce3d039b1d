"""Menus that `menu --json` wrote, read from their files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from pantrymeals.errors import PantryError
from pantrymeals.files.gathering import Gathering, fold, shown
from pantrymeals.files.text_files import text_of_file

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan
    from pantrymeals.records import Household, Product
    from pantrymeals.reports.json.plan import MenuFile
    from pantrymeals.reports.json.plan_pull import MenuToPull

MOST_BYTES = 50_000_000
"""A year of three meals a day is about 6 MB."""


def text_of(path: Path) -> str:
    """The text of a menu's file. Raises PantryError for a folder, a pipe, or what is no text."""
    gathering = Gathering()
    text = text_of_file(path, str(path), gathering, MOST_BYTES)
    gathering.stop_if_any()
    return text or ""


def announced_in(path: Path, household: Household) -> MenuPlan:
    """The menu in a file. Raises PantryError when there is none, or it is not for this larder."""
    from pantrymeals.reports.json.plan import plan_in, read_menu_file

    file = read_menu_file(text_of(path))
    why = a_strangers(file, household.name, household.products.get, "plan the menu anew")
    if why:
        raise PantryError(f"{path}: {why}")
    return plan_in(file)


def menu_to_pull_in(path: Path) -> MenuToPull:
    """What a pull needs of the menu in a file. Raises PantryError when there is none."""
    from pantrymeals.reports.json.plan_pull import menu_to_pull

    return menu_to_pull(text_of(path))


def a_strangers(
    menu: MenuFile | MenuToPull, household: str, product: Callable[[str], Product | None], mend: str
) -> str:
    """Why a menu is not for this larder, and what to do; '' where it is.

    product: one of products.csv by its name. mend: what to do where it takes one that is not there.
    """
    if menu.household and household and fold(menu.household) != fold(household):
        return (
            f"this menu was made for the household {shown(menu.household)}, and this is {household}'s larder; "
            "name the other folder with --larder"
        )
    taken = {use.product for meal in menu.meals for dish in meal.dishes for use in dish.uses}
    taken |= {opening.product for opening in menu.openings} | {begun.product for begun in menu.begun}
    taken |= {later.product for later in menu.for_later}
    unknown = sorted(name for name in taken if product(name) is None)
    if not unknown:
        return ""
    return f"this menu takes what is not in products.csv: {', '.join(map(shown, unknown))}; {mend}"
