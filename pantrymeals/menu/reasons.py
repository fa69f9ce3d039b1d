"""Why a dish stands where it stands, in one plain sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from zlib import crc32

from pantrymeals.larder.table import weekday
from pantrymeals.menu.week.problem import Candidate, MenuProblem
from pantrymeals.plans.menu import ChosenUse
from pantrymeals.records import Lot
from pantrymeals.units import as_words
from pantrymeals.words import counted, short_date, spoken, verb, weekday_name

SOON_DAYS = 50
VERY_SOON_DAYS = 21
OLD_DAYS = 730
QUICK_MINUTES = 15
"""Hands-on minutes that a cook calls hardly any."""

Chosen = tuple[MenuProblem, Candidate, tuple[ChosenUse, ...], Fraction]


def why(
    problem: MenuProblem,
    candidate: Candidate,
    uses: tuple[ChosenUse, ...],
    pace: Fraction,
    pinned: bool,
) -> str:
    """The strongest reason for a planned dish; what only a noted alternative takes is no reason."""
    table = problem.tables[candidate.table]
    if pinned:
        return "you asked for it"
    for occasion in table.occasions:
        if occasion.dish == candidate.dish.name:
            return f"for {occasion.name}"
    if candidate.dish.needs_left is not None:
        return f"made from the {candidate.dish.needs_left}"
    own = {option.product for use in candidate.dish.uses for option in use.options}
    chosen = (problem, candidate, tuple(u for u in uses if u.product in own), pace)
    return next(reason for reason in (say(chosen) for say in REASONS) if reason)


def _one_of(chosen: Chosen, *ways: str) -> str:
    """One of several ways to say it, always the same for the same dish on the same day."""
    _, candidate, _, _ = chosen
    return ways[crc32(f"{candidate.dish.name} {candidate.day} {candidate.table}".encode()) % len(ways)]


def uses_what_is_open(chosen: Chosen) -> str:
    """A part jar that still keeps, or a pack that is thawing."""
    problem, candidate, uses, _ = chosen
    stock = {g.name: g for g in problem.stocks}
    for use in uses:
        good = stock.get(use.product)
        if good is not None and any(p.ready <= candidate.day <= p.last < 8 for p in good.parts):
            part = min((p for p in problem.household.part_jars if p.product == use.product), key=lambda p: p.opened)
            product = problem.household.products[use.product]
            if product.thaw_days and part.left >= product.sizes[0].content:
                return f"the {spoken(product)} was lifted out {short_date(part.opened)}"
            return f"uses the rest of the {spoken(product)} opened {short_date(part.opened)}"
    return ""


def will_not_wait(chosen: Chosen) -> str:
    """What keeps only to a day that is near."""
    problem, candidate, uses, _ = chosen
    day = problem.tables[candidate.table].day
    soon: list[tuple[date, str]] = []
    for use in uses:
        product = problem.household.products[use.product]
        keeps = product.must_last_to
        if product.deadline_kind == "keeps to" and keeps is not None and (keeps - day).days <= SOON_DAYS:
            soon.append((keeps, use.product))
    if not soon:
        return ""
    keeps, product_name = min(soon)
    name, until = spoken(problem.household.products[product_name]), short_date(keeps)
    if (keeps - day).days <= VERY_SOON_DAYS:
        return _one_of(chosen, f"{name} will not wait past {until}", f"eats up the {name}, by {until}")
    return _one_of(chosen, f"{name} {verb(name, 'keep')} only to {until}", f"eats down the {name}, good to {until}")


def has_sat(chosen: Chosen) -> str:
    """The oldest jars and packs, when they have been passed over for more than two years."""
    problem, _, uses, _ = chosen
    today, wanted = problem.household.today, {use.product for use in uses}
    since = {
        lot.product: lot.put_up.year
        for lot in sorted(problem.household.lots, key=lambda lot: lot.put_up or today, reverse=True)
        if lot.product in wanted and lot.state == "" and lot.count > 0 and _over_two_years(lot, today)
        if lot.put_up is not None
    }
    if not since:
        return ""
    product = min(since, key=lambda name: (since[name], name))
    name = spoken(problem.household.products[product])
    return _one_of(
        chosen,
        f"{name} put up in {since[product]}",
        f"some of the {name} {verb(name, 'date')} from {since[product]}",
    )


def _over_two_years(lot: Lot, today: date) -> bool:
    if lot.put_up is None:
        return False
    latest = date(lot.put_up.year, 12, 31) if lot.year_only else lot.put_up
    return (today - latest).days > OLD_DAYS


def much_of_it(chosen: Chosen) -> str:
    """The jars and packs of which most should be drawn in these days."""
    problem, _, uses, pace = chosen
    stock = {g.name: g for g in problem.stocks if g.averaged and g.whole and g.share * pace >= 1}
    most = max((stock[u.product] for u in uses if u.product in stock), key=lambda g: g.share, default=None)
    if most is None:
        return ""
    product = problem.household.products[most.name]
    many = counted(product, most.shelf // most.container)
    if product.must_last_to is None:
        return f"{many} to get through"
    until = short_date(product.must_last_to)
    return _one_of(chosen, f"{many} to get through by {until}", f"plenty to eat by {until}: {many}")


def the_night(chosen: Chosen) -> str:
    """The weekday's own kind of supper."""
    problem, candidate, _, _ = chosen
    table = problem.tables[candidate.table]
    tag = problem.household.rules.fixed.get(weekday(table.day))
    if tag and tag in candidate.dish.tags and candidate.role == "main" and table.meal == "supper":
        return f"the {weekday_name(table.day)} {tag}"
    return ""


def well_liked(chosen: Chosen) -> str:
    """What this table asks for."""
    return "a favourite at this table" if chosen[1].dish.liking >= 2 else ""


def was_passed_over(chosen: Chosen) -> str:
    """What a whole step less was eaten of, these four weeks, than an even hand would have."""
    problem, _, uses, pace = chosen
    stock = {g.name: g for g in problem.stocks if g.averaged and g.share_at(pace) > g.share * pace}
    late = [stock[u.product] for u in uses if u.product in stock]
    if not late:
        return ""
    most = max(late, key=lambda g: (g.even_lately * pace - g.eaten_lately) / g.step)
    name = spoken(problem.household.products[most.name])
    return _one_of(chosen, f"passed over lately: {name}", f"{name}: none or little of it these four weeks")


def at_its_pace(chosen: Chosen) -> str:
    """The product of whose even share this dish is the largest part."""
    problem, _, uses, pace = chosen
    stock = {g.name: g for g in problem.stocks if g.averaged and g.share > 0}
    parts = [
        (u.amount / stock[u.product].exact_container / stock[u.product].share, u) for u in uses if u.product in stock
    ]
    if not parts:
        return ""
    _, use = max(parts, key=lambda p: p[0])
    good, name = stock[use.product], spoken(problem.household.products[use.product])
    days = use.amount / good.exact_container / (good.share * max(pace, Fraction(1, 2))) * problem.days
    weeks = round(days / 7)
    if weeks >= 2:
        return _one_of(chosen, f"{name}, about every {as_words(Fraction(weeks))} weeks", f"a turn for the {name}")
    return _one_of(chosen, f"keeps the {name} moving", f"an even share of the {name}")


def suits_the_day(chosen: Chosen) -> str:
    """Where no shelf asks for it: it is eaten fresh, or quick, or simply fits."""
    problem, candidate, uses, _ = chosen
    fresh = {a.product for a in problem.household.arrivals}
    for use in uses:
        if use.product in fresh and problem.household.products[use.product].kind == "fridge":
            return f"{spoken(problem.household.products[use.product])}, as they come in"
    if candidate.dish.hands_on_minutes <= QUICK_MINUTES:
        return f"hardly any work: {candidate.dish.hands_on_minutes} minutes"
    return "fits the day"


REASONS: tuple[Callable[[Chosen], str], ...] = (
    uses_what_is_open,
    will_not_wait,
    has_sat,
    much_of_it,
    the_night,
    well_liked,
    was_passed_over,
    at_its_pace,
    suits_the_day,
)
"""What a dish may be chosen for, the strongest first; the last one always says something."""
