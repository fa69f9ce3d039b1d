"""Says when stock.csv was changed although there is a book: it was the first count, and no sum is taken from it now."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from pantrymeals.actions.book.pantry import FIRST_COUNT, facts_of, has_book, pantry_book
from pantrymeals.actions.larder import pantry_of
from pantrymeals.files.gathering import Gathering, fold
from pantrymeals.files.stock import STOCK, read_stock
from pantrymeals.records import Household
from pantrymeals.words import listed

_MOST_NAMES = 3


def edited_stock(folder: Path, household: Household) -> str:
    """A sentence where stock.csv says otherwise than the first count of the folder's book; '' where it does not."""
    path = folder / STOCK
    if not path.exists() or not has_book(folder):
        return ""
    pantry = pantry_of(folder, household)
    with pantry_book(pantry, reading=True) as book:
        counted = book.first_counted(FIRST_COUNT)
    if not counted:
        return ""
    lots = read_stock(path, pantry.known, pantry.places, Gathering())  # its mistakes are told as the larder is read
    facts = ((facts_of(lot), lot) for lot in lots)
    written = _sums((f.product, f.size, f.put_up, f.load, lot.where, lot.count) for f, lot in facts)
    own = pantry.known.names
    first = _sums((own.get(fold(name), name), s, day, load, at, n) for name, s, day, load, at, n in counted)
    changed = sorted({key[0] for key in written.keys() | first.keys() if written.get(key) != first.get(key)})
    if not changed:
        return ""
    return (
        f"{STOCK} was changed since it was the first count ({listed(changed, _MOST_NAMES)}), and that is in no sum: "
        "what is there is told by the book. Say it with 'count sheet' and 'count enter', 'put-up' or 'bring-in'; then "
        "put the line back as it was, or take the file away."
    )


def _sums(rows: Iterable[tuple[str, str, str, str, str, Fraction]]) -> dict[tuple[str, ...], Fraction]:
    """Containers by lot and place: two rows of one lot are one to the book."""
    sums: dict[tuple[str, ...], Fraction] = {}
    for *lot_and_place, count in rows:
        key = tuple(map(str, lot_and_place))
        sums[key] = sums.get(key, Fraction(0)) + Fraction(count)
    return sums
