"""Single figures of season.yaml: shares, odds and hours. Each reader takes one text and raises Wrong."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from pantrymeals.files import values
from pantrymeals.files.amounts import size_of
from pantrymeals.files.gathering import Wrong, shown
from pantrymeals.records import Product


def minutes_of(text: str) -> int:
    """Minutes, of hours written as 5 or 2 1/2; a day's at most."""
    hours = values.zero_or_more(text)
    if hours > 24:
        raise Wrong(f"{shown(text)} is more hours than a day has", "write hours such as 5 or 2 1/2")
    return int(hours * 60)


def from_0_to_1(text: str) -> Fraction:
    """A share, nothing and the whole included."""
    share = values.zero_or_more(text)
    if share > 1:
        raise Wrong(f"{shown(text)} is more than 1, the whole", "write a share such as 0.5")
    return share


def between_0_and_1(text: str) -> Fraction:
    """A share, neither nothing nor the whole."""
    share = values.number(text)
    if not 0 < share < 1:
        raise Wrong(f"{shown(text)} is not between 0 and 1", "write a share such as 0.85")
    return share


def more_than_1(text: str) -> Fraction:
    """So many years for one that fails."""
    years = values.number(text)
    if years <= 1:
        raise Wrong(f"{shown(text)} should be more than 1", "write 3 for one year in three")
    return years


def one_of_its_sizes(product: Product) -> Callable[[str], str]:
    """A reader of one of a product's sizes."""

    def read(text: str) -> str:
        size = size_of(product, text)
        if size is None:
            raise Wrong(
                f"{product.name} does not come in {shown(text)}",
                f"it comes in {', '.join(s.name for s in product.sizes)}",
            )
        return size.name

    return read
