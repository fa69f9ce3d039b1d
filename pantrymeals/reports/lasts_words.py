"""How long the food lasts, as it heads run-out and a month without the store; and in one line, a menu."""

from __future__ import annotations

from datetime import date, timedelta

from pantrymeals.plans.outlook import LarderCover
from pantrymeals.words import listed, near_day, plural

TWO_YEARS = 730


def lasts_words(cover: LarderCover) -> str:
    """'How long the food lasts: full meals at most 19 days, to 4 Feb; energy ...; protein ...'."""
    meals = f"full meals {'at most ' if cover.meal_days else ''}{_days(cover.meal_days, cover.today)}"
    if cover.unfilled:
        meals = f"full meals not known, for no dish fills {listed(cover.unfilled)}"
    elif cover.meal_days is None:
        meals = "full meals not known, for no meals or no dishes are written down"
    if cover.energy_days is None or cover.protein_days is None:
        food = "energy and protein not known, for " + (
            "nothing on the shelf has food figures" if cover.unknown else "nobody is written down"
        )
    else:
        food = f"energy {_days(cover.energy_days, cover.today)}; protein {_days(cover.protein_days, cover.today)}"
    return f"How long the food lasts: {meals}; {food}.{_uncounted(cover)}"


def lasts_in_short(cover: LarderCover) -> str:
    """The same figures in one line of a sheet: 'The food lasts: full meals at most 19 days, energy 20 days, ...'."""
    named = (
        ("full meals at most", cover.meal_days), ("energy", cover.energy_days), ("protein", cover.protein_days)
    )  # fmt: skip
    said = (f"{name if days else name.removesuffix(' at most')} {_so_many(days)}" for name, days in named)
    return f"The food lasts: {', '.join(said)}."


def _uncounted(cover: LarderCover) -> str:
    if not cover.counted or not cover.unknown:
        return ""
    missing = len(cover.unknown)
    have, count = ("has", "counts") if missing == 1 else ("have", "count")
    return f" {missing} of {cover.counted + missing} products {have} no food figures, and {count} as nothing."


def _days(days: float | None, today: date) -> str:
    """'19 days, to 4 Feb': whole days that are fed in full, and the last of them."""
    if days is None or not 1 <= days < TWO_YEARS:
        return _so_many(days)
    return f"{_so_many(days)}, to {near_day(today + timedelta(days=int(days) - 1), today)}"


def _so_many(days: float | None) -> str:
    if days is None:
        return "not known"
    return "less than a day" if days < 1 else "two years or more" if days >= TWO_YEARS else plural(int(days), "day")
