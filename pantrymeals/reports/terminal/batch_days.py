"""Proposed batch days in words: what they take, what they make, why, and the cautions that belong to them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from pantrymeals.cautions import BATCH_DAY, CAUTIONS, THAWED
from pantrymeals.plans.menu import BatchWork, MenuPlan
from pantrymeals.records import Household, wants_little_salt
from pantrymeals.reports.terminal.cautions import write_marked
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import amount_and_name
from pantrymeals.words import listed, long_day, sentence


def heading_of(work: BatchWork) -> str:
    """'Sauce the wrinkled apples, 2 times'."""
    return work.name + (f", {work.times} times" if work.times > 1 else "")


def takes_and_makes(household: Household, work: BatchWork) -> str:
    """'from 40 lb Apples, mid-season; makes 14 qt Applesauce'; '' where nothing is told of it."""
    said = []
    if work.uses:
        taken = "; ".join(amount_and_name(household, use.product, use.amount) for use in work.uses)
        said.append(f"from {taken}")
    batch = household.batch_days.get(work.name)
    made: dict[str, Fraction] = {}
    for option in batch.makes if batch else ():
        made[option.product] = made.get(option.product, Fraction(0)) + option.amount * work.times
    if made:
        names = listed(amount_and_name(household, name, amount) for name, amount in made.items())
        said.append(f"makes {names}")
    return "; ".join(said)


def batch_cautions(household: Household, plan: MenuPlan) -> tuple[str, ...]:
    """One line each, where a batch day fills jars: a tested process; low-acid food; what was frozen."""
    jars, low, frozen = False, False, False
    for work in plan.batch_work:
        batch = household.batch_days.get(work.name)
        products = [household.products[o.product] for o in (batch.makes if batch else ())]
        canned = [p for p in products if p.kind == "jar"]
        jars = jars or bool(canned)
        low = low or any(p.acid == "low" for p in canned)
        taken = [household.products[u.product] for u in work.uses]
        frozen = frozen or (bool(canned) and any(p.kind == "freezer" for p in taken))
    low_salt = wants_little_salt(household.people)
    said = (
        (jars, BATCH_DAY.words),
        (low, CAUTIONS["C2"].words),
        (jars and low_salt, CAUTIONS["C24"].words),
        (frozen, f"Thaw in the fridge. {THAWED.words}"),
    )
    return tuple(words for shown, words in said if shown)


def batch_lines(household: Household, plan: MenuPlan) -> Iterator[tuple[str, str, str]]:
    """(day and batch day, what it takes and makes, why) for each, in order."""
    for work in plan.batch_work:
        day = long_day(work.day)
        yield f"{day} · {heading_of(work)}", takes_and_makes(household, work), sentence(work.why)


def write_batch_days(paper: Paper, household: Household, plan: MenuPlan) -> None:
    """Days that turn stock into stock, when the plan proposes any."""
    if not plan.batch_work:
        return
    paper.heading("Batch days")
    for work in plan.batch_work:
        paper.line((long_day(work.day), "bold"), f" · {heading_of(work)}")
        takes = takes_and_makes(household, work)
        if takes:
            paper.line(takes, indent=2, hang=2)
        if work.why:
            paper.line((sentence(work.why), "dim"), indent=2, hang=2)
    write_marked(paper, batch_cautions(household, plan))
