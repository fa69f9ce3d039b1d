"""Which caution at which moment."""

from __future__ import annotations

import pytest

from pantrymeals.actions.book.moments import when_pulled, when_put_up
from tests.unit.book.kitchen import BEANS_1, BEANS_2, PRODUCTS, a_book, on_shelf, pantry

BY_NAME = {product.name: product for product in PRODUCTS}


@pytest.mark.parametrize(
    ("name", "size", "source", "failed", "altitude", "numbers"),
    [
        ("Applesauce", "qt", "page 12", 0, 500, ("C9",)),
        ("Applesauce", "qt", "page 12", 0, 1000, ("C9",)),
        ("Applesauce", "qt", "page 12", 0, 1001, ("C7", "C9")),
        ("Applesauce", "qt", "page 12", 0, None, ("C7", "C9")),
        ("Applesauce", "qt", "", 1, 500, ("C1", "C10", "C9")),
        ("Green beans", "qt", "page 31", 0, 500, ("C2", "C9")),
        ("Green beans", "qt", "", 0, 2750, ("C1", "C2", "C14", "C7", "C9")),
        ("Tomatoes, crushed", "qt", "page 32", 0, 500, ("C3", "C9")),
        ("Apple juice", "half-gal", "page 12", 0, 500, ("C5", "C9")),
        ("Rhubarb, cut", "qt bag", "", 0, None, ()),
    ],
)
def test_cautions_as_a_lot_is_written_down(
    name: str, size: str, source: str, failed: int, altitude: int | None, numbers: tuple[str, ...]
) -> None:
    assert when_put_up(BY_NAME[name], size, source, failed, altitude) == numbers


def test_cautions_as_jars_are_pulled() -> None:
    sourced, unknown = a_book(on_shelf(BEANS_1, 7)), a_book(on_shelf(BEANS_1, 7), on_shelf(BEANS_2, 7))
    assert when_pulled(pantry(), sourced, ["Green beans"]) == ("C11",)
    assert when_pulled(pantry(), unknown, ["Green beans"]) == ("C11", "C14")
    assert when_pulled(pantry(), unknown, ["Applesauce"]) == ("C11",), "the jars without a source are not pulled"
    assert when_pulled(pantry(), unknown, ["Bread flour"]) == ()
