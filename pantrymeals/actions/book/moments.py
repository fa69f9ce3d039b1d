"""Which cautions belong to a command of the book, by their numbers in the table."""

from __future__ import annotations

from pantrymeals.cautions import HIGH_FT
from pantrymeals.records import Product


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


def when_taken(unknown_low_acid: bool) -> tuple[str, ...]:
    """The cautions as jars are pulled: look over each; and for low-acid without a source, C14."""
    return ("C11", "C14") if unknown_low_acid else ("C11",)
