"""What to do about it: a pace that carries a short product to its day, or finishes a glut by then."""

from __future__ import annotations

from datetime import date, timedelta
from math import ceil, floor

from pantrymeals.forecast.words import amount_words, month_words, pace_words
from pantrymeals.larder.must_reach import season_days
from pantrymeals.records import Product
from pantrymeals.words import bare_name, small_count

_WHY = {
    "new crop": "the new crop",
    "keeps to": "they are past keeping",
    "season ends": "their season ends",
    "order": "the order comes",
    "next batch": "the next batch",
}


MOST_FASTER = 3
"""No table eats more than so many times as much of one thing for weeks."""


def pace_that_carries(to_use: float, product: Product, today: date, due: date) -> float:
    """Containers a week in season that use up ``to_use`` exactly on ``due``."""
    return to_use / max(season_days(product, today, due) / 7, 1 / 7)


def _pace(product: Product, to_use: float, today: date, end: date, *, sparing: bool) -> str:
    """'two quarts a week'; where fewer than seven days of its season are left, 'eight heads in two days'."""
    days, size = season_days(product, today, end), product.sizes[0].name
    if days >= 7 or to_use < 1:
        return pace_words(size, pace_that_carries(to_use, product, today, end), sparing=sparing)
    count = (floor if sparing else ceil)(to_use)
    return f"{amount_words(size, count)} in {'one day' if days <= 1 else f'{small_count(days)} days'}"


def ration(product: Product, to_use: float, today: date, due: date) -> str:
    """How to make it last: 'one quart every ten days carries the pears to September'."""
    name = bare_name(product.name)
    if to_use <= 0:
        return f"none of the {name} may be used: what is there is set back"
    if to_use <= 1 and product.whole:
        return (
            f"{amount_words(product.sizes[0].name, to_use)} is all there is of the {name} to {month_words(due, today)}"
        )
    pace = _pace(product, to_use, today, due, sparing=True)
    return f"{pace} carries the {name} to {month_words(due, today)}"


def eat_down(product: Product, to_use: float, weekly: float, today: date, due: date | None) -> str:
    """How to finish a glut: 'open two quarts a week to finish the green beans by the new crop'.

    weekly: containers a week at which it goes; where more than ``MOST_FASTER`` times that were needed, the glut is not
    to be eaten: 'carry the pears over, give some away, and put up fewer'.
    """
    name = bare_name(product.name)
    end = due or today + timedelta(days=365)
    wanted = pace_that_carries(to_use, product, today, end)
    if wanted > MOST_FASTER * weekly:
        return _not_by_eating(product, name)
    pace = _pace(product, to_use, today, end, sparing=False)
    by = _WHY.get(product.deadline_kind, month_words(end, today)) if due else "this time next year"
    before = "before" if product.deadline_kind in ("keeps to", "season ends", "order") and due else "by"
    verb = "open" if product.whole and product.kind == "jar" else "use"
    return f"{verb} {pace} to finish the {name} {before} {by}"


def _not_by_eating(product: Product, name: str) -> str:
    if product.kind == "dry":
        return f"buy no more {name} for now"
    if product.deadline_kind == "keeps to":
        return f"make some of the {name} over, or give some away, before they are past keeping"
    return f"carry the {name} over, give some away, and put up fewer"
