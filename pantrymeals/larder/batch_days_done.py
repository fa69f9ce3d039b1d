"""What a household has once the batch days of a plan are done: what they took is gone, what they made is there.

What is made stands on the shelf from the evening of its day, as a lot of its own without a tested source:
who puts it up writes that down. A product that must last to its next batch has it: what the calendar hoped
for on that day is this batch, and does not come in again; and it must now last to what comes in next of it,
or to the day on which that batch day's season opens again where that is sooner (a year on without a season).
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction
from math import floor
from typing import TYPE_CHECKING

from msgspec.structs import replace

from pantrymeals.larder.on_hand import less
from pantrymeals.records import Arrival, BatchDay, Household, Lot, Product

if TYPE_CHECKING:
    from pantrymeals.plans.menu import BatchWork, MenuPlan

ZERO = Fraction(0)
YEAR = timedelta(days=365)


def made_by(household: Household, batch: BatchDay) -> dict[str, Fraction]:
    """What one go makes, in containers of the first size; of jars and packs, whole ones."""
    out: dict[str, Fraction] = {}
    for option in batch.makes:
        product = household.products[option.product]
        count = option.amount / product.sizes[0].content
        out[product.name] = out.get(product.name, ZERO) + (Fraction(floor(count)) if product.whole else count)
    return out


def in_season(batch: BatchDay, day: date) -> bool:
    """Whether the batch day is done in that month."""
    return not batch.season or day.month in batch.season


def works_within(household: Household, plan: MenuPlan) -> tuple[tuple[BatchWork, BatchDay], ...]:
    """The plan's batch days that lie within its days, with what the household says of each."""
    end = plan.first + timedelta(days=plan.days)
    return tuple(
        (work, household.batch_days[work.name])
        for work in plan.batch_work
        if plan.first <= work.day < end and work.name in household.batch_days
    )


def lots_made(household: Household, work: BatchWork, batch: BatchDay) -> tuple[Lot, ...]:
    """What a batch day puts on the shelf, where such things usually stand."""
    out = []
    for name, each in made_by(household, batch).items():
        where = next((lot.where for lot in household.lots if lot.product == name), "")
        size = household.products[name].sizes[0].name
        out.append(Lot(name, size, each * work.times, work.day, where=where, note=f"from {work.name}"))
    return tuple(lot for lot in out if lot.count)


def products_after(household: Household, plan: MenuPlan) -> Mapping[str, Product]:
    """The products, with a later day for those whose next batch the plan makes."""
    products = dict(household.products)
    for _, batch in works_within(household, plan):
        for name in made_by(household, batch):
            product = household.products[name]
            if product.deadline_kind == "next batch" and product.must_last_to is not None:
                comes = [a.day for a in household.arrivals if a.product == name and a.day > product.must_last_to]
                opens = _season_opens(batch, product.must_last_to)
                products[name] = replace(product, must_last_to=min([*comes, opens]))
    return products


def arrivals_after(household: Household, plan: MenuPlan) -> tuple[Arrival, ...]:
    """What still comes in: not the next batch that the calendar hoped for, where the plan makes it."""
    made = {name for _, batch in works_within(household, plan) for name in made_by(household, batch)}
    due = {
        (name, product.must_last_to)
        for name in made
        if (product := household.products[name]).deadline_kind == "next batch"
    }
    return tuple(a for a in household.arrivals if (a.product, a.day) not in due)


def _season_opens(batch: BatchDay, due: date) -> date:
    """The first day of the batch day's next season after ``due``; a year on where it has none."""
    if not batch.season or len(batch.season) == 12:
        return due + YEAR
    day = due
    while in_season(batch, day):
        day += timedelta(days=1)
    while not in_season(batch, day):
        day += timedelta(days=1)
    return day


def with_batches_done(household: Household, plan: MenuPlan) -> Household:
    """The household as if the plan's batch days had been done already: the oldest lots taken, new ones there."""
    works = works_within(household, plan)
    if not works:
        return household
    lots = household.lots
    for use in (use for work, _ in works for use in work.uses):
        product = household.products[use.product]
        lots = less(product, lots, use.amount, product.sizes[0].name if product.whole else "")
    made = [lot for work, batch in works for lot in lots_made(household, work, batch)]
    return replace(
        household,
        lots=(*lots, *made),
        products=products_after(household, plan),
        arrivals=arrivals_after(household, plan),
    )
