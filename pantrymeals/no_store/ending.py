"""How a month without the store ended, from the slips and the book."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.book_history import Entry, Lines, lines_of
from pantrymeals.larder.store_worth import at_store_prices
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
    lines = lines_of(household.products, (line for line in book if line.day <= until))
    gone_by = {n: [-x.amount for x in lines[n] if x.day >= first and x.reason in USED_REASONS] for n in sorted(lines)}
    used = {name: count for name, amounts in gone_by.items() if (count := sum(amounts, ZERO)) > 0}
    emptied = _emptied(household, lines, first)
    saved, unpriced = at_store_prices(household.products, used)
    return Ending(
        household=household.name,
        first=first,
        last=last,
        today=today,
        days_gone=gone,
        days_held=gone - len({s.day for s in written}),
        slips=written,
        used=tuple(used.items()),
        saved_usd=saved,
        unpriced=unpriced,
        usual_usd=household.no_store.usual_month_usd * gone / MONTH_DAYS,
        emptied=emptied,
        sitters_opened=_sitters(lines, used, first),
        more_of=_more_of(household, emptied, written),
        has_book=any(lines.values()),
    )


def _emptied(household: Household, lines: Lines, first: date) -> tuple[Emptied, ...]:
    """Products that fell to their reserve within these days and stayed there, the first to go first."""
    out = []
    for name, own in lines.items():
        product, fell = household.products[name], None
        reserve = product.containers(product.reserve)
        had = left = sum((line.amount for line in own if line.day < first), ZERO)
        for line in own:
            if line.day >= first and had > reserve:
                left += line.amount
                fell = None if left > reserve else fell or line.day
        if fell:
            out.append(Emptied(name, fell, had))
    return tuple(sorted(out, key=lambda one: (one.day, one.product)))


def _sitters(lines: Lines, used: Mapping[str, Fraction], first: date) -> tuple[tuple[str, Fraction], ...]:
    """What was used of products of which none had been used in the two years before."""
    since = first - timedelta(days=365 * SITTER_YEARS)

    def sat(own: Sequence[Entry]) -> bool:
        return own[0].day < since and not any(since <= x.day < first and x.reason in USED_REASONS for x in own)

    return tuple((name, count) for name, count in used.items() if sat(lines[name]))


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
