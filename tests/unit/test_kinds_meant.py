"""What a word means of every kind: by names, and by a family that is its own, not one lent for its figures."""

from __future__ import annotations

import pytest

from pantrymeals.actions.asking import kinds_meant
from pantrymeals.errors import PantryError
from tests.kitchens.tiny import jar

LENT = frozenset({"family"})


def test_a_family_that_the_catalogue_lends_is_no_kind_of_it() -> None:
    """Tomato chutney has the figures of apple chutney, canned asparagus those of green beans."""
    kept = {
        product.name: product
        for product in (
            jar("Applesauce", family="apple"),
            jar("Tomato chutney", family="apple chutney", thing="Tomato chutney", from_catalogue=LENT),
            jar("Grandmother's relish", family="apple chutney"),
            jar("Asparagus, canned", family="green bean", thing="Asparagus, canned", from_catalogue=LENT),
            jar("Romano", family="green bean", thing="Green beans", from_catalogue=LENT),
        )
    }
    assert kinds_meant(kept, "apples") == ("Applesauce", "Grandmother's relish")
    assert kinds_meant(kept, "chutney") == ("Tomato chutney", "Grandmother's relish")
    assert kinds_meant(kept, "beans") == ("Romano",)
    with pytest.raises(PantryError):
        kinds_meant(kept, "mutton")
