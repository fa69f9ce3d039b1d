"""How a month without the store ended, from the slips and the book."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.no_store.rehearse import MONTH_DAYS
from pantrymeals.plans.no_store import Emptied, Ending, Slip
from pantrymeals.records import USED_REASONS, Household, Movement
from pantrymeals.words import fold

ZERO = Fraction(0)
SITTER_YEARS = 2


def ending(
    household: Household, book: Iterable[Movement], slips: Iterable[Slip], first: date, days: int, today: date
) -> Ending:
    """The month from ``first``, as far as it has gone by ``today`` (that day counted).

    Shelves are reckoned from the book's movements, in containers of each product's first size; without
    a book only the slips are told.
    """
    last = first + timedelta(days=days - 1)
    until = min(last, today)
    gone = max(0, (until - first).days + 1)
    written = tuple(s for s in slips if first <= s.day <= until)
    lines = [m for m in book if m.day <= until and m.product in household.products]
    used = _used(household, lines, first)
    emptied = _emptied(household, lines, first)
    priced = {n: household.products[n].price_usd for n in used}
    return Ending(
        household=household.name,
        first=first,
        last=last,
        today=today,
        days_gone=gone,
        days_held=gone - len({s.day for s in written}),
        slips=written,
        used=tuple(sorted(used.items())),
        saved_usd=sum((used[n] * price for n, price in priced.items() if price is not None), ZERO),
        unpriced=tuple(sorted(n for n, price in priced.items() if price is None)),
        usual_usd=household.no_store.usual_month_usd * gone / MONTH_DAYS,
        emptied=emptied,
        sitters_opened=_sitters(lines, used, first),
        more_of=_more_of(household, emptied, written),
        has_book=bool(lines),
    )


def _count(household: Household, movement: Movement) -> Fraction:
    """A movement in containers of the product's first size."""
    product = household.products[movement.product]
    size = product.size(movement.size) or product.sizes[0]
    return movement.count * size.content / product.sizes[0].content


def _used(household: Household, lines: list[Movement], first: date) -> dict[str, Fraction]:
    used: dict[str, Fraction] = {}
    for m in lines:
        if m.day >= first and m.reason in USED_REASONS:
            used[m.product] = used.get(m.product, ZERO) - _count(household, m)
    return {name: count for name, count in used.items() if count > 0}


def _emptied(household: Household, lines: list[Movement], first: date) -> tuple[Emptied, ...]:
    """Products that fell to their reserve within these days and stayed there, the first to go first."""
    left: dict[str, Fraction] = {}
    fell: dict[str, date] = {}
    had: dict[str, Fraction] = {}
    for m in sorted(lines, key=lambda m: m.day):
        product = household.products[m.product]
        reserve = product.reserve / product.sizes[0].content
        if m.day >= first and m.product not in had:
            had[m.product] = left.get(m.product, ZERO)
        left[m.product] = left.get(m.product, ZERO) + _count(household, m)
        if left[m.product] > reserve:
            fell.pop(m.product, None)
        elif m.day >= first and had[m.product] > reserve:
            fell.setdefault(m.product, m.day)
    in_turn = sorted(fell.items(), key=lambda item: (item[1], item[0]))
    return tuple(Emptied(name, day, had[name]) for name, day in in_turn)


def _sitters(lines: list[Movement], used: dict[str, Fraction], first: date) -> tuple[tuple[str, Fraction], ...]:
    """What was used of products of which none had been used in the two years before."""
    since = first - timedelta(days=365 * SITTER_YEARS)
    begun = {m.product for m in lines if since <= m.day < first and m.reason in USED_REASONS}
    older = {m.product for m in lines if m.day < since}
    return tuple((n, c) for n, c in sorted(used.items()) if n in older and n not in begun)


def _more_of(
    household: Household, emptied: tuple[Emptied, ...], slips: tuple[Slip, ...]
) -> tuple[tuple[str, str], ...]:
    """What to put up or lay in more of: shelves that emptied before their day, and what slips name."""
    out: dict[str, str] = {}
    for one in emptied:
        due = household.products[one.product].must_last_to
        if due is None or one.day < due:
            out[one.product] = f"empty on {one.day}" + (f", to last to {due}" if due else "")
    names = {fold(n): n for n in household.products}
    for slip in slips:
        name = names.get(fold(slip.what))
        if name is not None:
            said = f"bought on {slip.day}"
            out[name] = f"{out[name]}; {said}" if name in out else said
    return tuple(out.items())
