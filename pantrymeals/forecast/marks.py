"""From what a pace leads to, to one mark and one sentence: the same rules for every pace."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.forecast.words import amount_words, day_words
from pantrymeals.plans.marks import Mark
from pantrymeals.records import Product

SOON = timedelta(days=21)
"""A keeper whose last day lies within three weeks is eaten first whatever its pace."""
TIGHT_WEEKS_SHORT, TIGHT_LACKING = 2.0, 1
"""At a pace without chance: so many weeks, or containers, short of its day is tight; more is short."""
TIGHT_LEFT, TIGHT_WEEKS_LEFT = 2.0, 4.0
"""And so few containers, or weeks of use, over at its day is tight too, unless an even hand means to leave none."""


class Thresholds(Struct, frozen=True):
    """Where one mark ends and the next begins; a household may set its own.

    short_below, tight_below: chance of reaching the day it must last to. glut_left: containers over at
    that day (half a dozen), if they are also ``glut_share`` of what is there now and would last
    ``glut_more_weeks`` more. glut_cover_weeks: or so long a cover in any case. eat_first_share: share of
    a keeper that would be left when it is past keeping.
    """

    short_below: float = 0.5
    tight_below: float = 0.8
    glut_left: float = 5.5
    glut_share: float = 0.33
    glut_more_weeks: float = 15.0
    glut_cover_weeks: float = 104.0
    eat_first_share: float = 0.15


def thresholds_from(said: Mapping[str, float]) -> Thresholds:
    """The usual thresholds with the household's own in their place.

    Raises PantryError for a name that is none, a chance outside 0-1, or short above tight.
    """
    known = set(Thresholds.__struct_fields__)
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


class Facts(Struct, frozen=True):
    """What the mark is decided from.

    to_use: containers that may be used. chance: of meeting every need up to ``due``; None without a day ahead.
    left: middle of what is over at ``due``. out: middle day of the last one, None beyond two years.
    cover_weeks: inf beyond two years. held: all of it is. eat_by: the day a keeper is to be gone by, though it be
    past. sitting: the rule of sitters finds it one. used: this book year, None where the book does not say. weekly:
    containers a week. rolling: it comes in week by week. fixed:
    nothing is left to chance; then lacking: containers missing up to ``due``. even: an even hand takes it. takes:
    something takes it at all.
    """

    to_use: float
    on_hand: float
    chance: float | None
    left: float
    gap_weeks: float
    out: date | None
    due: date | None
    cover_weeks: float
    held: bool = False
    eat_by: date | None = None
    sitting: bool = False
    used: float | None = None
    weekly: float = 0.0
    rolling: bool = False
    fixed: bool = False
    lacking: float = 0.0
    even: bool = False
    takes: bool = True


def mark_of(product: Product, facts: Facts, today: date, limits: Thresholds) -> Mark:
    """The first mark, in this order, that fits."""
    if facts.held:
        return "held"
    if not product.on_menus:
        return "not on menus"
    if facts.sitting:
        return "sitter"
    if must_go(facts, today, limits):
        return "eat first"
    if facts.rolling:
        return "reaches"
    if facts.on_hand <= 0 and facts.to_use <= 0:
        return "short"
    if facts.chance is not None and (late := _late(facts, limits)) is not None:
        return late
    return "glut" if is_glut(facts, today, limits) else "reaches"


def _late(facts: Facts, limits: Thresholds) -> Mark | None:
    """Short or tight: by the chance of reaching its day, or without chance by what is missing or hardly over."""
    assert facts.chance is not None  # asked before
    if not facts.fixed:
        return "short" if facts.chance < limits.short_below else "tight" if facts.chance < limits.tight_below else None
    if facts.lacking > 0:
        close = facts.gap_weeks <= TIGHT_WEEKS_SHORT or facts.lacking <= TIGHT_LACKING
        return "tight" if close else "short"
    little = min(TIGHT_LEFT, TIGHT_WEEKS_LEFT * facts.weekly)
    return "tight" if facts.takes and facts.left <= little and not facts.even else None


def must_go(facts: Facts, today: date, limits: Thresholds) -> bool:
    """It does not keep beyond its day, and that is near, past, or at this pace a good part would be left then."""
    if facts.eat_by is None or facts.to_use <= 0:
        return False
    least = min(0.5, facts.to_use / 2)
    return facts.eat_by - today <= SOON or facts.left >= max(least, limits.eat_first_share * facts.to_use)


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
    if mark == "held":
        sat = ", and none was used this book year" if facts.used == 0 else ""
        return f"Held: not to be eaten or counted until the doubt about it is settled{sat}."
    if mark == "not on menus":
        return "Kept off the menus, so no run-out is reckoned."
    if mark == "sitter":
        used = amount_words(product.sizes[0].name, round(facts.used)) if facts.used else "none"
        return f"A sitter: {used} used this book year."
    if mark == "eat first":
        return _eat_by(product, facts, today)
    if facts.rolling:
        return "Comes in week by week."
    if mark == "short" and facts.on_hand <= 0 and facts.to_use <= 0:
        return "None is left."
    if not facts.takes:
        return "No dish and no standing use takes it."
    return _until_its_day(mark, product, facts, today)


def _eat_by(product: Product, facts: Facts, today: date) -> str:
    assert facts.eat_by is not None  # a keeper, or it would not be eaten first
    day = day_words(facts.eat_by, today)
    if facts.eat_by <= today:
        return f"It kept to {day}: look it over, what is sound goes first."
    over = amount_words(product.sizes[0].name, max(0, round(facts.left)))
    return f"Eat by {day}" + (f": at this pace {over} would be left then." if round(facts.left) else ".")


def _until_its_day(mark: Mark, product: Product, facts: Facts, today: date) -> str:
    """Its day, and what comes of it at this pace."""
    about = "" if facts.fixed else "about "
    out = f"the last one goes {about}{day_words(facts.out, today)}" if facts.out else "it lasts more than two years"
    if facts.due is None:
        return f"No day is set that it must last to; {out}."
    day = f"{'Eat by' if facts.eat_by else 'Must last to'} {day_words(facts.due, today)}"
    often = "" if facts.fixed or facts.chance is None else f"{round(100 * facts.chance)} in 100 times"
    whole = max(0, round(facts.left))
    over = f"{about}{amount_words(product.sizes[0].name, whole)}" if whole else "none"
    if mark == "short":
        return f"{day}: {out}{_so_long_before(facts)}" + (f"; it gets there {often}." if often else ".")
    if mark == "tight":
        close = often or ("" if facts.lacking > 0 else f"{over} over")
        return f"{day}: just about" + (f", {close}" if close else "") + f"; {out}."
    if mark == "glut":
        return f"{day}: {over} would be left then, and {out}."
    if facts.even and not round(facts.left):
        return f"{day}: an even hand brings it there."
    return f"{day}: it gets there" + (f" {often}" if often else "") + f", with {over} over."


def _so_long_before(facts: Facts) -> str:
    """', 3 weeks before': the days without from the day named as its last to its day; '' where there are none."""
    days = (facts.due - facts.out).days - 1 if facts.due and facts.out else 0
    if days < 1:
        return ""
    weeks = round(days / 7)
    much = f"{weeks} weeks" if weeks > 1 else "a week" if weeks == 1 else "some days" if days > 1 else "a day"
    return f", {much} before"
