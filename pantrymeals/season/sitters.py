"""What is made and never eaten, kept and never opened, or the wrong one of two; each with an honest end."""

from __future__ import annotations

from typing import get_args

from pantrymeals.forecast.sitters import TOO_FEW, in_house, is_sitter, reached_by_own, too_young_to_tell
from pantrymeals.larder.on_hand import all_held
from pantrymeals.plans.season import End, SitterKind, SitterRow
from pantrymeals.records import Product
from pantrymeals.season.asked import SeasonQuestion, need_of, on_shelf, this_year
from pantrymeals.season.carry_over import carried_over, weeks_short
from pantrymeals.season.clear import clear_down, dishes_using
from pantrymeals.season.ends import cost_words, ends_of, held_ends
from pantrymeals.season.words import counted, years_words
from pantrymeals.words import yearly

LONG_COVER_YEARS = 2.0
CLEARING_WORK = 5.0
"""How much work goes into the soonest way to eat a sitter down, in the solver's own seconds, which no clock tells."""
_BEFORE_WINTER = 5
"""Months from the opening of the book year in which a crop that comes in is not one of late winter."""
LATE_SHARE = 0.6
"""Share of openings that come only once the jar is ten months old, from which a favourite is a hoard."""


def cover_years(asked: SeasonQuestion, name: str) -> float | None:
    """Years that what is on the shelf lasts at a year's use; None where nothing is used."""
    need = need_of(asked, name)
    return float(on_shelf(asked, name) / need.a_year) if need.a_year > 0 else None


def is_hoard(asked: SeasonQuestion, name: str) -> bool:
    """A favourite that is mostly opened only when the next crop is in.

    By the book's own openings; failing those, by half a year's use and more left over two years
    running although no more was made than is eaten (else it is a glut, not a hoard).
    """
    if not _favourite(asked, name) or in_house(asked.household, name) < TOO_FEW:
        return False
    if name in asked.late_opened:
        return asked.late_opened[name] >= LATE_SHARE
    harvest = asked.facts.harvest_of(name)
    if harvest is None or (harvest.first[0] - asked.household.year_opens[0]) % 12 > _BEFORE_WINTER:
        return False  # a crop of late winter is rightly on the shelf when the book year opens
    full = [y for y in asked.years if y.product == name and y.full][-2:]
    kept = [y.used >= TOO_FEW and y.carried_out >= y.used / 2 and y.put_up <= y.used * 5 / 4 for y in full]
    return len(kept) == 2 and all(kept)


def _favourite(asked: SeasonQuestion, name: str) -> bool:
    liked = any(dish.liking >= 1 for dish, _ in dishes_using(asked.household, name))
    return liked or bool(asked.household.products[name].reserve_note)


def wrong_of_two(asked: SeasonQuestion, name: str) -> tuple[str, int] | None:
    """The other product of the same crop that runs short while this one is in glut, and the weeks."""
    harvest = asked.facts.harvest_of(name)
    if harvest is None or name not in asked.household.products:
        return None
    a_year = need_of(asked, name).a_year
    if not a_year or carried_over(asked, name) < a_year:
        return None
    short = [
        (weeks_short(asked, other), other)
        for other in harvest.products
        if other != name and other in asked.household.products and _same_shelf(asked, name, other)
    ]
    weeks, other = max(short, default=(0, ""))
    return (other, weeks) if weeks >= 2 else None


def _same_shelf(asked: SeasonQuestion, one: str, other: str) -> bool:
    first, second = asked.household.products[one], asked.household.products[other]
    return first.kind == second.kind == "jar" and first.acid == second.acid


def sitters(asked: SeasonQuestion, work: float = CLEARING_WORK) -> tuple[SitterRow, ...]:
    """Every sitter, near-sitter, hoard, wrong one of two and held lot, with why, its ends and its cost.

    work: how long the soonest way to eat a sitter down is looked for, counted in work and not by the clock.
    """
    there = (p for p in asked.household.products.values() if in_house(asked.household, p.name))
    rows = [row for p in there if p.on_menus and (row := _row(asked, p, work)) is not None]
    return tuple(sorted(rows, key=lambda row: (get_args(SitterKind).index(row.kind), row.product)))


def _row(asked: SeasonQuestion, product: Product, work: float) -> SitterRow | None:
    name, size, count = product.name, product.sizes[0].name, in_house(asked.household, product.name)
    judged = _judged(asked, product)
    if judged is None:
        return None
    kind, why, ends = judged
    if kind == "sitter":
        amount = on_shelf(asked, name) * product.sizes[0].content
        ends = ends_of(asked, product, clear_down(asked.household, name, amount, asked.today, asked.seed, work))
    gift = kind == "held" and name not in asked.put_up_here
    cost = "" if kind == "hoard" or gift else cost_words(asked, product, count)
    return SitterRow(name, size, count, kind, why, cover_years(asked, name), ends, cost)


def _judged(asked: SeasonQuestion, product: Product) -> tuple[SitterKind, str, tuple[End, ...]] | None:
    """What it is, why, and its ends; None where it is eaten."""
    name, household, cover = product.name, asked.household, cover_years(asked, product.name)
    ours = name in asked.put_up_here
    if all_held(household, name):
        why = "; ".join(filter(None, (product.note or "held", sitter_why(asked, product) if ours else "")))
        return "held", why, held_ends(household, name, ours)
    if is_sitter(household, this_year(asked, name), asked.put_up_here):
        return "sitter", sitter_why(asked, product), ()
    if (pair := wrong_of_two(asked, name)) is not None:
        why = f"a year's worth over, while {pair[0]} of the same crop will be short by {pair[1]} weeks"
        better = End("not again", f"put the crop up as {pair[0]} instead, until the two are even")
        return "wrong of two", why, (*ends_of(asked, product)[:-1], better)
    if is_hoard(asked, name):
        why = "a favourite kept so well that it is opened only when the next crop is in"
        shelf = counted(on_shelf(asked, name), product.sizes[0].name)
        return "hoard", why, (End("eat", f"put it on the menu now: {shelf} on the shelf"),)
    if cover is not None and cover >= LONG_COVER_YEARS and _was_over(asked, name):
        why = f"{_used_words(asked, name)}: {cover:.0f} years' worth in store"
        return "near-sitter", why, ends_of(asked, product)
    return None


def _was_over(asked: SeasonQuestion, name: str) -> bool:
    """Half a year's use and more was left of the crop before: a shelf just filled is no sitter."""
    year = this_year(asked, name)
    if too_young_to_tell(asked.years):
        return False
    if year is None or in_house(asked.household, name) < TOO_FEW:
        return False
    return year.carried_in >= need_of(asked, name).a_year / 2


def _used_words(asked: SeasonQuestion, name: str) -> str:
    need = need_of(asked, name)
    past = years_words(need)
    if past:
        return past
    year = this_year(asked, name)
    used = counted(year.used, asked.household.products[name].sizes[0].name) if year else "few"
    return f"{used} used since {yearly(asked.household.year_opens) if year and year.carried_in else 'it was put up'}"


def sitter_why(asked: SeasonQuestion, product: Product) -> str:
    """Why it is a sitter, in one sentence part: its history, and whether any dish of ours takes it."""
    year = this_year(asked, product.name)
    full = [y for y in asked.years if y.product == product.name and y.full]
    used = [y.used for y in full] + ([year.used] if year else [])
    if all(u == 0 for u in used):
        said = "never opened" + (f" in {len(used)} book years" if len(used) > 1 else " this book year")
    else:
        said = "used " + ", ".join(str(u) for u in used) + " in the last book years"
    if not reached_by_own(asked.household, product.name):
        said += "; no dish of ours takes it"
    refused = refusers(asked, product)
    return f"{said}; {' and '.join(refused)} will not" if refused else said


def refusers(asked: SeasonQuestion, product: Product) -> list[str]:
    """Who will not eat it: their refusal names the product, its family turned round, or a dish's own tag."""
    words = {product.name.casefold(), " ".join(reversed(product.name.casefold().replace(",", " ").split()))}
    return [p.name for p in asked.household.people if any(w.casefold() in words for w in p.will_not)]
