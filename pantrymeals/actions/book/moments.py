"""Which cautions belong to a command of the book, by their numbers in the table."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.cautions import HIGH_FT, caution_text
from pantrymeals.jar_doubts import is_half_gallon, needs_advice
from pantrymeals.records import Product
from pantrymeals.units import UNITS

__all__ = ["caution_text", "said_before", "when_pulled", "when_put_up"]


def when_put_up(
    product: Product, size: str, source: str, failed: int, altitude_ft: int | None, low_salt: bool = False
) -> tuple[str, ...]:
    """The cautions as a lot is written down; jars only, and C9 for every jar that goes on a shelf.

    low_salt: somebody here is to have little salt, so the salt of this jar may be asked about.
    """
    if product.kind != "jar":
        return ()
    numbers = ["C9"]
    if low_salt and (product.acid != "high" or "salty" in product.contents):
        numbers.insert(0, "C24")
    if product.acid == "acidified":
        numbers.insert(0, "C25")
    if needs_advice(product):
        numbers.insert(0, "C29")
    if failed:
        numbers.insert(0, "C10")
    if altitude_ft is None or altitude_ft > HIGH_FT:
        numbers.insert(0, "C7")
    if larger_than_usual(product, size):
        numbers.insert(0, "C6")
    if is_half_gallon(product, size):
        numbers.insert(0, "C5")
    if product.acid == "borderline":
        numbers.insert(0, "C3")
    if product.acid == "low":
        numbers.insert(0, "C2")
        if not source:
            numbers.insert(1, "C14")
    if not source:
        numbers.insert(0, "C1")
    return tuple(numbers)


def when_pulled(pantry: Pantry, book: Book, products: Iterable[str]) -> tuple[str, ...]:
    """C11 whenever home-put jars are pulled; C14 when a low-acid one of them has no tested source."""
    pulled = [p for name in products if (p := pantry.product(name)) is not None and p.kind == "jar"]
    if not pulled:
        return ()
    low = {p.name for p in pulled if p.acid == "low"}
    unknown = any(here.lot.product in low and not here.lot.source and here.state == "" for here in book.on_hand())
    return ("C11", "C14") if unknown else ("C11",)


def said_before(pantry: Pantry, book: Book, entry: int) -> frozenset[str]:
    """The cautions that stood under an entry of the same command earlier that day, so that they may be short now.

    Each is said whole once a day for a command: acknowledged, but never switched off for good.
    """
    earlier = book.db.execute(
        """WITH earlier AS MATERIALIZED (
               SELECT before.id, before.command FROM entry AS this
               JOIN entry AS before ON before.day = this.day AND before.id < this.id
               WHERE this.id = ? AND substr(before.command || ' ', 1, instr(before.command || ' ', ' '))
                                  = substr(this.command || ' ', 1, instr(this.command || ' ', ' '))),
           told AS (SELECT earlier.*, lot, 0 AS failed FROM earlier JOIN movement ON entry = earlier.id
                    UNION ALL SELECT earlier.*, lot, count FROM earlier JOIN failed_seal ON entry = earlier.id)
           SELECT command, product, size, source, max(failed) FROM told JOIN lot ON lot.id = told.lot
           GROUP BY told.id, told.lot""",
        (entry,),
    )
    said: set[str] = set()
    pulled: list[str] = []
    for command, name, size, source, failed in earlier:
        product = pantry.product(name)
        if command.startswith("hold source "):
            said.add("C30")
        if product is None or product.kind != "jar":
            continue
        if not command.startswith("put-up"):
            said |= {"C15", "C27"}  # those of them that are due are short
            pulled.append(name)
        elif product.size(size) is not None:
            said |= {*when_put_up(product, size, source, failed, pantry.altitude_ft, pantry.low_salt)}
    return frozenset(said).union(when_pulled(pantry, book, pulled))


def larger_than_usual(product: Product, size: str) -> bool:
    """A jar larger than any tested for it in the tables; where they say nothing, larger than its usual one."""
    from pantrymeals.actions.season_tables import tested_tables
    from pantrymeals.season.yields import QUARTS, tested_sizes

    if product.measure != "ml":
        return False
    tables = tested_tables()
    tested = tested_sizes(tables, tables.of(product))
    largest = max((QUARTS[t] for t in tested), default=None)
    quart = UNITS["qt"][1]
    # a litre jar stands in a quart's place, as half a litre in a pint's
    limit = product.sizes[0].content if largest is None else largest * quart * Fraction(11, 10)
    return product.content(size) > limit
