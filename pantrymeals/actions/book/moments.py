"""Which cautions belong to a command of the book, by their numbers in the table."""

from __future__ import annotations

from collections.abc import Iterable

from pantrymeals.actions.book.pantry import Pantry
from pantrymeals.book.book import Book
from pantrymeals.cautions import HIGH_FT, caution_text
from pantrymeals.records import Product

__all__ = ["caution_text", "when_pulled", "when_put_up"]


def when_put_up(product: Product, size: str, source: str, failed: int, altitude_ft: int | None) -> tuple[str, ...]:
    """The cautions as a lot is written down; jars only, and C9 for every jar that goes on a shelf."""
    if product.kind != "jar":
        return ()
    numbers = ["C9"]
    if failed:
        numbers.insert(0, "C10")
    if altitude_ft is None or altitude_ft > HIGH_FT:
        numbers.insert(0, "C7")
    if size == "half-gal":
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
    low = {p.name for p in pulled if p.acid == "low"}
    unknown = any(here.lot.product in low and not here.lot.source and here.state == "" for here in book.on_hand())
    return () if not pulled else ("C11", "C14") if unknown else ("C11",)
