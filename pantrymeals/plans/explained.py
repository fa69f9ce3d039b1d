"""What is known of one product, figure by figure, and who says so."""

from __future__ import annotations

from msgspec import Struct


class Figure(Struct, frozen=True):
    """One column of a product: its figure in words, and who says so."""

    column: str
    said: str
    source: str


class Explained(Struct, frozen=True):
    """A product, or a thing of the catalogue that is not kept, with its figures.

    thing: what the catalogue calls it, '' where it has nothing to say. kept: whether the household keeps it.
    serves_as: what dishes of the starter book may take it for. also_called: the catalogue's other names.
    """

    name: str
    thing: str
    kept: bool
    figures: tuple[Figure, ...]
    serves_as: tuple[str, ...] = ()
    also_called: tuple[str, ...] = ()
