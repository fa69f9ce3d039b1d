"""Clashes and mendings in a cook's words."""

from __future__ import annotations

from fractions import Fraction

from pantrymeals.records import Product
from pantrymeals.units import as_words, unit_named
from pantrymeals.words import sentence


def so_many(product: Product, containers: Fraction) -> str:
    """'4 lb of Bread flour', '2 x 2-egg tub of Eggs, beaten': counted in its first size."""
    size = product.sizes[0].name
    count = as_words(containers)
    plain = unit_named(size) is not None and size != "each"
    if size == "each":
        return f"{count} {product.name}"
    times = "" if plain or containers == 1 else "x "
    return f"{count} {times}{size} of {product.name}"


def clash_said(rules: tuple[str, ...], fewest: bool) -> str:
    """'Friday 23 January is flat bread, but there is no Bread flour on the shelf.'"""
    if len(rules) == 1:
        return sentence(f"{rules[0]}, and no menu fits that")
    head = "" if fewest else "Among others, "
    if len(rules) == 2:
        return sentence(f"{head}{rules[0]}, but {rules[1]}")
    return sentence(f"{head}{'; '.join(rules[:-1])}; and {rules[-1]}: they cannot all be kept")
