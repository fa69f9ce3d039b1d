"""A year's need as the menus have it, beside the book's: the menus on their days, the book on all others."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.larder.must_reach import season_days
from pantrymeals.larder.supply import going_by_day, used_by_day
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.season import LEAST_MENU_DAYS, Need, TwoNeeds
from pantrymeals.records import Household, Product
from pantrymeals.season_facts import ChosenNeed

DIFFERS = Fraction(1, 4)
LEAST_DIFFERENCE = 3
"""Book and menus differ where they are this share, and so many containers, apart. Common practice, no source."""


class MenusBeside(Struct, frozen=True):
    """The menus that are counted with, as they follow one another; none of them in days of fewer than eight weeks."""

    plans: tuple[MenuPlan, ...] = ()

    @property
    def days(self) -> int:
        """Days that they have in all."""
        return sum(plan.days for plan in self.plans)

    @property
    def speak(self) -> bool:
        """Whether they are long enough to tell of a year."""
        return self.days >= LEAST_MENU_DAYS

    def take(self, household: Household, product: Product) -> Fraction:
        """Containers that their dishes take, and standing use on their days."""
        total = Fraction(0)
        for plan in self.plans:
            total += sum(used_by_day(plan, product.name), Fraction(0))
            total += going_by_day(household, product, plan.first, plan.days)[-1] if plan.days else 0
        return total / product.sizes[0].content

    def need(self, household: Household, product: Product, book: Need) -> Fraction:
        """Containers a year: what the menus take on their days, the book's pace on the others, and what is given."""
        eaten_at = book.a_year - book.given
        year = season_days(product, date(2027, 1, 1), date(2028, 1, 1))
        on_their_days = sum(season_days(product, plan.first, _end(plan)) for plan in self.plans)
        share = min(Fraction(1), Fraction(on_their_days, year)) if year else Fraction(0)
        return eaten_at * (1 - share) + self.take(household, product) + book.given


def _end(plan: MenuPlan) -> date:
    return date.fromordinal(plan.first.toordinal() + plan.days)


def as_chosen(
    household: Household, product: Product, book: Need, menus: MenusBeside, chosen: ChosenNeed | None
) -> Need:
    """The need that the household counts with, where it chose; else the book's."""
    if chosen is None or chosen.by == "book":
        return book
    if chosen.by == "a year":
        return replace(book, a_year=chosen.a_year, basis="as you chose", note=_beside(book))
    if not menus.speak:
        return replace(book, note=f"by menus, as you chose, once {LEAST_MENU_DAYS // 7} weeks of them are announced")
    return replace(book, a_year=menus.need(household, product, book), basis="the menus", note=_beside(book))


def _beside(book: Need) -> str:
    return f"the book has {round(book.a_year)} a year"


def where_they_differ(
    household: Household, needs: Iterable[tuple[Product, Need]], menus: MenusBeside, chosen: frozenset[str]
) -> tuple[TwoNeeds, ...]:
    """Book and menus side by side, the widest apart in containers first. needs: the book's. chosen: already decided."""
    found = []
    for product, book in needs if menus.speak else ():
        other = menus.need(household, product, book)
        apart = abs(other - book.a_year)
        if apart >= LEAST_DIFFERENCE and apart >= DIFFERS * max(other, book.a_year):
            found.append(TwoNeeds(product.name, product.sizes[0].name, book.a_year, other, product.name in chosen))
    return tuple(sorted(found, key=lambda two: (-abs(two.by_menus - two.by_book), two.product)))
