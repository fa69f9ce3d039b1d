"""From chances to one mark and one sentence for each product."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from datetime import date, timedelta

from pantrymeals.errors import PantryError
from pantrymeals.forecast.words import amount_words, day_words
from pantrymeals.larder.on_hand import put_up_about
from pantrymeals.plans.menu import Mark
from pantrymeals.records import Household, Lot, Product

_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Where one mark ends and the next begins; a household may set its own.

    short_below, tight_below: chance of reaching the day it must last to. glut_left: containers over at
    that day (half a dozen), if they are also ``glut_share`` of what is there now and would last
    ``glut_more_weeks`` more. glut_cover_weeks: or so long a cover in any case. eat_first_share: share of
    a keeper that would be left when it is past keeping. sitter_share: share of the stock that a year's
    use stays below.
    """

    short_below: float = 0.5
    tight_below: float = 0.8
    glut_left: float = 5.5
    glut_share: float = 0.33
    glut_more_weeks: float = 15.0
    glut_cover_weeks: float = 104.0
    eat_first_share: float = 0.15
    sitter_share: float = 0.25


def thresholds_from(said: Mapping[str, float]) -> Thresholds:
    """The usual thresholds with the household's own in their place.

    Raises PantryError for a name that is none, a chance outside 0-1, or short above tight.
    """
    known = {f.name for f in fields(Thresholds)}
    for name, value in said.items():
        if name not in known:
            raise PantryError(f"'{name}' is no threshold; they are {', '.join(sorted(known))}")
        if value < 0 or (not name.endswith(("_left", "_weeks")) and value > 1):
            raise PantryError(f"the threshold {name} is {value:g}; it must lie between 0 and 1")
    ours = replace(Thresholds(), **dict(said))
    if ours.short_below > ours.tight_below:
        raise PantryError(
            f"short_below ({ours.short_below:g}) must not be more than tight_below ({ours.tight_below:g})"
        )
    return ours


@dataclass(frozen=True, slots=True)
class Facts:
    """What the mark is decided from.

    to_use: containers that may be used. chance: of meeting every need up to ``due``; None without one.
    left: middle of what is over at ``due``. out: middle day of the last one, None beyond two years.
    cover_weeks: inf beyond two years. used_last_year: containers in the book's last 52 weeks, None when
    the book is shorter. newest, oldest: put-up days of the lots. guessed: neither book nor standing use
    tells a pace. rolling: it comes in week by week.
    """

    to_use: float
    on_hand: float
    chance: float | None
    left: float
    gap_weeks: float
    out: date | None
    due: date | None
    cover_weeks: float
    used_last_year: float | None
    newest: date | None
    oldest: date | None
    states: frozenset[str]
    guessed: bool = False
    rolling: bool = False


def mark_of(product: Product, facts: Facts, today: date, limits: Thresholds) -> Mark:
    """The first mark, in this order, that fits."""
    if facts.on_hand <= 0 and facts.states & {"held", "suspect"}:
        return "held"
    if not product.on_menus:
        return "not on menus"
    if is_sitter(product, facts, today, limits):
        return "sitter"
    if must_go(product, facts, limits):
        return "eat first"
    if facts.on_hand <= 0 and facts.to_use <= 0:
        return "short"
    if facts.rolling or (facts.guessed and facts.used_last_year is None):
        return "reaches"
    if facts.chance is None:
        return "glut" if is_glut(facts, today, limits) else "reaches"
    if facts.chance < limits.short_below:
        return "short"
    if facts.chance < limits.tight_below:
        return "tight"
    return "glut" if is_glut(facts, today, limits) else "reaches"


def is_sitter(product: Product, facts: Facts, today: date, limits: Thresholds) -> bool:
    """Put up and not eaten: hardly any used in a year, though some of it is more than a year old.

    Where some was used, only if none was put up since, and if it is not kept for a few months' eating.
    """
    if facts.used_last_year is None or facts.on_hand <= 0 or facts.oldest is None:
        return False
    if facts.oldest > today - _YEAR:
        return False
    if facts.used_last_year <= 0:
        return True
    few = facts.used_last_year <= max(1.0, limits.sitter_share * facts.on_hand)
    return few and facts.newest is not None and facts.newest <= today - _YEAR and not product.eaten_in


def must_go(product: Product, facts: Facts, limits: Thresholds) -> bool:
    """It does not keep beyond its day, and at this pace a good part would be left then."""
    if product.deadline_kind != "keeps to" or facts.due is None or facts.to_use <= 0:
        return False
    least = min(0.5, facts.to_use / 2)
    return facts.left >= max(least, limits.eat_first_share * facts.to_use)


def is_glut(facts: Facts, today: date, limits: Thresholds) -> bool:
    """Half a dozen or more over at the new crop, a good part of what is there; or years of cover."""
    if facts.to_use <= 0:
        return False
    if facts.due is not None and facts.left >= limits.glut_left:
        more_weeks = facts.cover_weeks - (facts.due - today).days / 7
        return facts.left >= limits.glut_share * facts.to_use and more_weeks >= limits.glut_more_weeks
    return facts.cover_weeks > limits.glut_cover_weeks and facts.left >= 0.7 * facts.to_use


def reason(mark: Mark, product: Product, facts: Facts, today: date) -> str:
    """Why, in one sentence."""
    size = product.sizes[0].name
    out = f"about {day_words(facts.out, today)}" if facts.out else "not within two years"
    due = f"{day_words(facts.due, today)}" if facts.due else ""
    chance = f"{round(100 * facts.chance)} in 100" if facts.chance is not None else ""
    left = amount_words(size, max(0, round(facts.left)))
    if mark == "held":
        sat = ", and none was used in a year" if facts.used_last_year == 0 else ""
        return f"Held: not to be eaten or counted until the doubt about it is settled{sat}."
    if mark == "not on menus":
        return "Kept off the menus, so no run-out is reckoned."
    if mark == "sitter":
        used = amount_words(size, round(facts.used_last_year or 0)) if facts.used_last_year else "none"
        return f"A sitter: {used} used in a year, and some of it was put up in {_year(facts.oldest)}."
    if mark == "eat first":
        return f"Keeps to {due}, and at this pace {left} would be left then."
    if mark == "short" and facts.on_hand <= 0 and facts.to_use <= 0:
        return "None is left."
    if mark == "short":
        return f"The last one goes {out}, {_weeks(facts.gap_weeks)} before {due}; it reaches it {chance} times."
    if mark == "tight":
        return f"Just about: it reaches {due} {chance} times, and the last one goes {out}."
    if mark == "glut":
        over = f"about {left} would be left on {due}" if due else "years of it at this pace"
        return f"More than will be eaten: {over}."
    if facts.rolling:
        return "Comes in week by week."
    if facts.guessed and facts.used_last_year is None:
        return "No pace is known yet: an even share is taken until the book tells."
    if facts.due is None:
        return f"No day is set that it must last to; the last one goes {out}."
    return f"Reaches {due} {chance} times, with about {left} over."


def _year(day: date | None) -> str:
    return str(day.year) if day else "an unknown year"


def _weeks(weeks: float) -> str:
    whole = round(weeks)
    return f"{whole} weeks" if whole > 1 else "about a week" if whole == 1 else "days"


def put_up_span(lots: tuple[Lot, ...], name: str) -> tuple[date | None, date | None]:
    """The newest and oldest put-up days of the lots on the shelf; a year alone counts as its summer's end."""
    days = [day for lot in lots if lot.product == name and lot.state == "" and (day := put_up_about(lot))]
    return (max(days), min(days)) if days else (None, None)


def states_of(household: Household, name: str) -> frozenset[str]:
    """The states of the product's lots that are not on the shelf."""
    return frozenset(lot.state for lot in household.lots if lot.product == name and lot.state)
