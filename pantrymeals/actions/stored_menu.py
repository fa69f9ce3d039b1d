"""Menus that `menu --json` wrote, read from their files."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from pantrymeals.errors import PantryError
from pantrymeals.files.gathering import Gathering, shown
from pantrymeals.files.text_files import text_of_file
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.records import Household, Product

if TYPE_CHECKING:
    from pantrymeals.reports.json.plan_pull import MenuToPull

MOST_BYTES = 50_000_000
"""A year of three meals a day is about 6 MB."""


def _text_of(path: Path) -> str:
    """The text of a menu's file. Raises PantryError for a folder, a pipe, or what is no text."""
    gathering = Gathering()
    text = text_of_file(path, str(path), gathering, MOST_BYTES)
    gathering.stop_if_any()
    return text or ""


def announced_in(path: Path, household: Household) -> MenuPlan:
    """The menu in a file. Raises PantryError when there is none, or it takes what this larder does not keep."""
    from pantrymeals.reports.json.plan import plan_in, read_menu_file

    plan = plan_in(read_menu_file(_text_of(path)))
    _refuse_unknown(plan, household.products.get, path)
    return plan


def menu_to_pull_in(path: Path, product: Callable[[str], Product | None]) -> MenuToPull:
    """What a pull needs of the menu in a file. product: one of products.csv by its name. Raises PantryError."""
    from pantrymeals.reports.json.plan_pull import menu_to_pull

    menu = menu_to_pull(_text_of(path))
    _refuse_unknown(menu, product, path)
    return menu


def _refuse_unknown(menu: MenuPlan | MenuToPull, product: Callable[[str], Product | None], path: Path) -> None:
    taken = {use.product for meal in menu.meals for dish in meal.dishes for use in dish.uses}
    for name in sorted(taken.union((o.product for o in menu.openings), (b.product for b in menu.begun))):
        if product(name) is None:
            said = f"{path}: this menu takes {shown(name)}, which is no product of this larder"
            raise PantryError(f"{said}; write it in products.csv, or plan anew with `menu --json`")
