"""Why a dish stands where it stands, in one plain sentence."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.planning.problem import Candidate, Goods, MenuProblem
from pantrymeals.planning.table import weekday
from pantrymeals.plans import ChosenUse
from pantrymeals.units import as_words

LONG_NAMES = {"Mon": "Monday", "Tue": "Tuesday", "Wed": "Wednesday", "Thu": "Thursday",
              "Fri": "Friday", "Sat": "Saturday", "Sun": "Sunday"}  # fmt: skip
SOON_DAYS = 50


def short_date(day: date) -> str:
    """'15 Feb'."""
    return f"{day.day} {day:%b}"


def why(
    problem: MenuProblem,
    candidate: Candidate,
    uses: tuple[ChosenUse, ...],
    pace: Fraction,
    pinned: bool,
) -> str:
    """The strongest reason for a planned dish."""
    table = problem.tables[candidate.table]
    if pinned:
        return "you asked for it"
    for occasion in table.occasions:
        if occasion.dish == candidate.dish.name:
            return f"for {occasion.name}"
    if candidate.dish.needs_left is not None:
        return f"from the {candidate.dish.needs_left}"
    goods = {g.name: g for g in problem.goods}
    return (
        _uses_part_jar(problem, candidate, uses, goods)
        or _will_not_wait(problem, uses, table.day)
        or _much_of_it(problem, uses, goods, pace)
        or _the_night(problem, candidate)
        or _liked(candidate)
        or _at_its_pace(uses, goods)
    )


def _uses_part_jar(
    problem: MenuProblem, candidate: Candidate, uses: tuple[ChosenUse, ...], goods: dict[str, Goods]
) -> str:
    for use in uses:
        good = goods.get(use.product)
        if good is not None and any(p.ready <= candidate.day <= p.last < 8 for p in good.parts):
            opened = min(p.opened for p in problem.household.part_jars if p.product == use.product)
            product = problem.household.products[use.product]
            word = "lifted out" if product.thaw_days else "opened"
            return f"uses what is left of the {use.product.lower()} {word} {short_date(opened)}"
    return ""


def _will_not_wait(problem: MenuProblem, uses: tuple[ChosenUse, ...], day: date) -> str:
    soonest: tuple[date, str] | None = None
    for use in uses:
        product = problem.household.products[use.product]
        keeps = product.must_last_to
        waits = product.deadline_kind == "keeps to" and keeps is not None
        if waits and keeps is not None and (keeps - day).days <= SOON_DAYS and (soonest is None or keeps < soonest[0]):
            soonest = (keeps, use.product)
    return f"{soonest[1].lower()} keep only to {short_date(soonest[0])}" if soonest else ""


def _much_of_it(
    problem: MenuProblem, uses: tuple[ChosenUse, ...], goods: dict[str, Goods], pace: Fraction
) -> str:
    best: tuple[Fraction, str] | None = None
    for use in uses:
        good = goods.get(use.product)
        if good is not None and good.averaged and good.whole:
            weight = good.share * pace
            if weight >= 1 and (best is None or weight > best[0]):
                best = (weight, use.product)
    if best is None:
        return ""
    product = problem.household.products[best[1]]
    good = goods[best[1]]
    count = as_words(Fraction(good.shelf // good.container))
    return f"{count} {product.sizes[0].name} of {product.name.lower()} to get through"


def _the_night(problem: MenuProblem, candidate: Candidate) -> str:
    table = problem.tables[candidate.table]
    tag = problem.household.rules.fixed.get(weekday(table.day))
    if tag and tag in candidate.dish.tags and candidate.role == "main" and table.meal == "supper":
        return f"{LONG_NAMES[weekday(table.day)]} is {tag}"
    return ""


def _liked(candidate: Candidate) -> str:
    return "asked for at this table" if candidate.dish.liking >= 2 else ""


def _at_its_pace(uses: tuple[ChosenUse, ...], goods: dict[str, Goods]) -> str:
    ranked = sorted(
        (goods[u.product] for u in uses if u.product in goods and goods[u.product].averaged),
        key=lambda g: -g.share,
    )
    return f"keeps the {ranked[0].name.lower()} moving evenly" if ranked else "fits the day"
