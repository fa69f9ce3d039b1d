"""What did this winter's food cost and save: the command `worth`."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.slips import read_slips
from pantrymeals.actions.when import when_meant
from pantrymeals.actions.with_book import Larder
from pantrymeals.larder.book_history import lines_of
from pantrymeals.larder.store_worth import at_store_prices, used_by_origin
from pantrymeals.plans.evening import Worth
from pantrymeals.tables import asked as tables_of

if TYPE_CHECKING:
    from pantrymeals.plans.no_store import Slip

_DEAREST = 5


def worth_answer(folder: Path, larder: Larder, said: str) -> Answer:
    """The food of a time gone by at store prices, and what of it was paid for. Raises PantryError."""
    from pantrymeals.reports.terminal.evening import write_worth

    found = worth(larder, said, read_slips(folder))
    return Answer(lambda paper: write_worth(paper, larder.household, found), tables=lambda: tables_of.worth(found))


def worth(larder: Larder, said: str, slips: Iterable[Slip] = ()) -> Worth:
    """The same, as a plan."""
    household = larder.household
    then = when_meant(household, said)
    lines = lines_of(household.products, larder.book)
    by_origin = used_by_origin(lines, then.first, then.last)
    sums = {origin: at_store_prices(household.products, used) for origin, used in by_origin.items()}
    each: dict[str, Fraction] = {}
    for used in by_origin.values():
        for name, count in used.items():
            each[name] = each.get(name, Fraction(0)) + at_store_prices(household.products, {name: count})[0]
    dearest = sorted(each.items(), key=lambda pair: (-pair[1], pair[0]))[:_DEAREST]
    return Worth(
        first=then.first,
        last=then.last,
        note=then.note,
        worth_usd={origin: usd for origin, (usd, _) in sums.items()},
        unpriced=tuple(sorted({name for _, names in sums.values() for name in names})),
        dearest=tuple(pair for pair in dearest if pair[1] > 0),
        slips=tuple(s for s in slips if then.first <= s.day <= then.last),
        has_book=any(by_origin.values()),
    )
