"""The cautions of a menu's pull list, each in full, once, and only where it is due."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from pantrymeals.cautions import BACK_TO_THE_FREEZER, BOIL_BEANS, CAUTIONS, HEAT_FIRST
from pantrymeals.jar_doubts import needs_advice
from pantrymeals.larder.nutrition import age_in_years
from pantrymeals.larder.opened_life import goes_back_frozen
from pantrymeals.larder.table import Table, is_baby, tables
from pantrymeals.records import Household, Person, Product

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan, PullLine

OLD_YEARS = 65
"""From this age on C26's extra care is said (CDC, older adults; from memory)."""
YOUNG_YEARS = 5
"""Up to this birthday it is said too (CDC, children younger than five; from memory)."""
_BEANS = re.compile(r"\b(beans?|borlottis?|cannellinis?|haricots?|kidneys?|navy|pintos?)\b", re.IGNORECASE)
_NO_SUCH_BEANS = re.compile(
    r"\b(chick-?peas?|chick peas|cocoa|cacao|coffee|cowpeas?|garbanzos?|jelly|peanuts?|vanilla|soya?)\b", re.IGNORECASE
)


def pull_cautions(household: Household, plan: MenuPlan, lines: Iterable[PullLine]) -> tuple[str, ...]:
    """Before a jar is opened, once it is; what thaws; who is at the table, and how many; beans and wild food."""
    products = [(line, household.products[line.product]) for line in lines]
    jars = [p for line, p in products if p.kind == "jar" and line.kind in ("jar", "part jar")]
    laid = tables(household, plan.first, plan.days)
    return (*_of_goods(products, jars), *_of_the_table(laid))


def _of_goods(products: list[tuple[PullLine, Product]], jars: list[Product]) -> list[str]:
    said = []
    if jars:
        said.append(CAUTIONS["C11"].words)
    if any(product.acid == "low" for product in jars):
        said.append(HEAT_FIRST.words)
    opened = [p for line, p in products if line.kind != "loose" and p.opened_days is not None]
    if any(not goes_back_frozen(product) for product in opened):
        said.append(CAUTIONS["C15"].words.removesuffix(".") + "; the last day stands beside each line.")
    if any(goes_back_frozen(product) for product in opened):
        said.append(BACK_TO_THE_FREEZER)
    if any(line.kind == "lift out" for line, _ in products):
        said.append(CAUTIONS["C17"].words)
    if any(dried_beans(product) for _, product in products):
        said.append(BOIL_BEANS.words)
    wild = sorted({product.name for _, product in products if needs_advice(product)})
    if wild:
        said.append(f"{'; '.join(wild)}: {CAUTIONS['C29'].words}")
    return said


def _of_the_table(laid: Iterable[Table]) -> list[str]:
    laid = tuple(laid)
    seated = [(person, table.day) for table in laid for person in table.eaters]
    said = []
    if any(is_baby(person, day) for person, day in seated):
        said.append(CAUTIONS["C19"].words)
    if any(age_in_years(person, day) < YOUNG_YEARS or _is_old(person, day) for person, day in seated):
        said.append(CAUTIONS["C26"].words)
    if any(table.tins or any(o.guests > 0 for o in table.occasions) for table in laid):
        said.append(CAUTIONS["C28"].words)
    return said


def _is_old(person: Person, day: date) -> bool:
    return person.born is not None and day.year - person.born.year >= OLD_YEARS


def dried_beans(product: Product) -> bool:
    """Dried beans of the kidney kind: brown, white, red. Peas and lentils are none, nor what is only called beans."""
    names = " ".join((product.family, product.name, *product.also_called))
    return product.kind == "dry" and bool(_BEANS.search(names)) and not _NO_SUCH_BEANS.search(names)
