"""Which caution at which moment; and none of them says what it must never say."""

from __future__ import annotations

import re

import pytest

from pantrymeals.actions.book.cautions import CAUTIONS, when_put_up, when_taken, words_for
from pantrymeals.cli.complete import complete_dish, complete_place, complete_product
from tests.unit.book.kitchen import PRODUCTS

BY_NAME = {product.name: product for product in PRODUCTS}


@pytest.mark.parametrize(
    ("name", "size", "source", "failed", "altitude", "numbers"),
    [
        ("Applesauce", "qt", "page 12", 0, 500, (9,)),
        ("Applesauce", "qt", "page 12", 0, 1000, (9,)),
        ("Applesauce", "qt", "page 12", 0, 1001, (7, 9)),
        ("Applesauce", "qt", "page 12", 0, None, (7, 9)),
        ("Applesauce", "qt", "", 1, 500, (1, 10, 9)),
        ("Green beans", "qt", "page 31", 0, 500, (2, 9)),
        ("Green beans", "qt", "", 0, 2750, (1, 2, 14, 7, 9)),
        ("Tomatoes, crushed", "qt", "page 32", 0, 500, (3, 9)),
        ("Apple juice", "half-gal", "page 12", 0, 500, (5, 9)),
        ("Rhubarb, cut", "qt bag", "", 0, None, ()),
    ],
)
def test_cautions_as_a_lot_is_written_down(
    name: str, size: str, source: str, failed: int, altitude: int | None, numbers: tuple[int, ...]
) -> None:
    assert when_put_up(BY_NAME[name], size, source, failed, altitude) == numbers


def test_cautions_as_jars_are_pulled() -> None:
    assert when_taken(False) == (11,)
    assert when_taken(True) == (11, 14)


def test_short_after_the_first_reading_but_spoilage_always_whole() -> None:
    first = words_for((9, 12), read_before=False)
    later = words_for((9, 12), read_before=True)
    assert len(later[0]) < len(first[0])
    assert later[1] == first[1]
    assert all(caution.short and caution.ask for caution in CAUTIONS.values())


@pytest.mark.parametrize("number", CAUTIONS)
def test_no_caution_says_what_it_must_never_say(number: int) -> None:
    text = (CAUTIONS[number].long + " " + CAUTIONS[number].short).casefold()
    for word in ("safe", "approved", "certified", "still good", "good until", "expire", "best by", "use by"):
        assert word not in text
    assert not re.search(r"\b(minutes?|psi|pounds of pressure|headspace|teaspoons?|tablespoons?)\b", text)


class _Context:
    params: dict[str, str]

    def __init__(self, larder: str) -> None:
        self.params = {"larder": larder}


def test_completion_offers_products_places_and_dishes() -> None:
    here = _Context("demo")
    assert complete_product(here, "crus") == ["Tomatoes, crushed"]  # type: ignore[arg-type]
    assert "Applesauce" in complete_product(here, "app")  # type: ignore[arg-type]
    assert complete_place(here, "n") == ["N1", "N2", "N3"]  # type: ignore[arg-type]
    assert complete_place(here, "c-bin 1") == ["C-bin 1"]  # type: ignore[arg-type]
    assert "Trout cakes" in complete_dish(here, "trout")  # type: ignore[arg-type]
    assert complete_product(_Context("nowhere"), "a") == []  # type: ignore[arg-type]
