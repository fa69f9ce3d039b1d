"""What is there of each product, in which size and state (base measure unless said)."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import date
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.larder.fresh import gone_by
from pantrymeals.larder.opened_life import lifted_out, parts_not_past
from pantrymeals.records import Household, Lot, LotState, Option, Product

if TYPE_CHECKING:
    from pantrymeals.plans.menu import ChosenUse

ON_THE_SHELF: frozenset[LotState] = frozenset({""})
"""Lots that may be used: held, suspect, promised and seed lots are not on the shelf."""


def amount_in(product: Product, lot: Lot) -> Fraction:
    """What a lot holds; nothing in a size that the product does not come in."""
    size = product.size(lot.size)
    return lot.count * size.content if size is not None else Fraction(0)


SUMMERS_END = (9, 1)
"""The day taken for a lot of which only the year is known."""


def put_up_about(lot: Lot) -> date | None:
    """The day a lot was put up; a year alone counts as its summer's end; None: not known."""
    return date(lot.put_up.year, *SUMMERS_END) if lot.put_up and lot.year_only else lot.put_up


def age(lot: Lot) -> tuple[bool, date]:
    """Sorts lots oldest first, those without a date last."""
    return lot.put_up is None, lot.put_up or date.max


def less(product: Product, lots: Iterable[Lot], amount: Fraction, size: str = "") -> tuple[Lot, ...]:
    """Lots less an amount of one product (base measure) from those on the shelf, the oldest first.

    size: of that size alone.
    """
    out = list(lots)
    for i in sorted(range(len(out)), key=lambda i: age(out[i])):
        lot, kept = out[i], product.size(out[i].size)
        if (lot.product, lot.state) == (product.name, "") and kept is not None and size in ("", lot.size):
            taken = min(lot.count * kept.content, amount)
            amount -= taken
            out[i] = replace(lot, count=lot.count - taken / kept.content)
    return tuple(lot for lot in out if lot.count > 0)


def in_lots(household: Household, name: str, states: Collection[LotState] = ON_THE_SHELF) -> Fraction:
    """What the lots of a product hold in those states, its reserve included."""
    product = household.products[name]
    lots = (lot for lot in household.lots if lot.product == name and lot.state in states)
    return sum((amount_in(product, lot) for lot in lots), Fraction(0))


def all_held(household: Household, name: str) -> bool:
    """Whether there is some of it, and all of it held or suspect."""
    return not in_lots(household, name) and in_lots(household, name, {"held", "suspect"}) > 0


def of_size(household: Household, product: Product, size: str) -> int:
    """Whole containers of one size on the shelf."""
    lots = (lot for lot in household.lots if (lot.product, lot.size, lot.state) == (product.name, size, ""))
    return floor(sum((lot.count for lot in lots), Fraction(0)))


def on_shelf(household: Household) -> dict[str, Fraction]:
    """What lies on the shelf above the reserve, by product; part jars apart."""
    shelf = dict.fromkeys(household.products, Fraction(0))
    for lot in household.lots:
        if lot.state in ON_THE_SHELF:
            shelf[lot.product] += amount_in(household.products[lot.product], lot)
    return {name: max(Fraction(0), amount - household.products[name].reserve) for name, amount in shelf.items()}


def usable(household: Household, day: date) -> dict[str, Fraction]:
    """What may be used from a day on, by product: on the shelf above the reserve, and open and not past its days.

    What is fresh and over by then is none of it.
    """
    there = on_shelf(household)
    for lot in household.lots:
        product = household.products[lot.product]
        if lot.state in ON_THE_SHELF and gone_by(household, product, lot, day):
            there[lot.product] -= amount_in(product, lot)
    for part, _ in parts_not_past(household, day):
        there[part.product] += part.left
    return there


def there_today(household: Household) -> dict[str, Fraction]:
    """What may be used today, by product: with what comes in today."""
    there = usable(household, household.today)
    for arrival in household.arrivals:
        if arrival.day == household.today:
            there[arrival.product] += arrival.amount
    return there


def covered(
    uses: Iterable[Collection[tuple[Option, Fraction]]], there: Mapping[str, Fraction]
) -> tuple[ChosenUse, ...] | None:
    """One option of each use, liked best first, of which there is enough for all of them; None where there is not."""
    from pantrymeals.plans.menu import ChosenUse

    uses = tuple(uses)
    if not uses:
        return ()
    for option, amount in uses[0]:
        if there[option.product] >= amount:
            rest = covered(uses[1:], {**there, option.product: there[option.product] - amount})
            if rest is not None:
                return ChosenUse(option.product, amount, option.stand_in), *rest
    return None


def thawed_by(household: Household, day: date) -> Mapping[str, Fraction]:
    """Of what cannot thaw from today until then, what is thawed already."""
    slow = [p.name for p in household.products.values() if lifted_out(p, day) < household.today]
    thawed = dict.fromkeys(slow, Fraction(0))
    for part, life in parts_not_past(household, day):
        if part.product in thawed and life.good(day):
            thawed[part.product] += part.left
    return thawed
