"""Reads standing.csv: what goes every week outside the menu."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of
from pantrymeals.files.csv_tables import Row, read_table
from pantrymeals.files.gathering import Gathering
from pantrymeals.records import StandingUse

FILE = "standing.csv"
COLUMNS = ("product", "amount", "every", "months", "from", "to", "note")
MonthDay = tuple[int, int]


def read_standing(path: Path, known: KnownProducts, gathering: Gathering) -> tuple[StandingUse, ...]:
    """One standing use a product; several rows for one product add up, day by day."""
    rows = read_table(path, FILE, COLUMNS, ("product", "amount", "every"), gathering) or []
    by_product: dict[str, StandingUse] = {}
    for row in rows:
        use = _standing_use(row, known)
        if use is not None:
            earlier = by_product.get(use.product)
            by_product[use.product] = use if earlier is None else earlier.beside(use)
    return tuple(by_product.values())


def _standing_use(row: Row, known: KnownProducts) -> StandingUse | None:
    filled = row.has("product", "amount", "every")
    every = row.read("every", values.days_between, None)
    months = row.read("months", values.months, frozenset())
    days = _days(row)
    name = row.text("product")
    if not name:
        return None
    product = known.find_or_say(name, lambda wrong, right: row.say("product", wrong, right), row.gathering)
    if product is None:
        return None
    amount: Fraction | None = row.read("amount", lambda text: amount_of(product, text), None)
    if not filled or amount is None or every is None or days is None:
        return None
    weekly = amount * 7 / every
    in_months = () if days else months or range(1, 13)
    by_month = tuple(weekly if m in in_months else Fraction(0) for m in range(1, 13))
    within = tuple((first, last, weekly) for first, last in days)
    return StandingUse(product.name, by_month, row.text("note"), row.place, within)


def _days(row: Row) -> tuple[tuple[MonthDay, MonthDay], ...] | None:
    """The days of the year from which and to which a row speaks, () where it says none; None when wrong."""
    first, last = (row.read(column, values.yearly_day, None) for column in ("from", "to"))
    for one, other in (("from", "to"), ("to", "from")):
        if row.text(one) and not row.text(other):
            row.say(one, f"this row says '{one}' and no '{other}'", "write both days, such as 06-20 and 09-01")
    if row.text("months") and (row.text("from") or row.text("to")):
        row.say("months", "this row has both months and days", "write the days alone, or a row for each")
        return None
    if first and last:
        return ((first, last),)
    return None if row.text("from") or row.text("to") else ()
