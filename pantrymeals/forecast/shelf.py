"""What of a product is there to use, and what belongs to the next crop: asked at every pace alike."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

from msgspec import Struct

from pantrymeals.larder.must_reach import must_reach
from pantrymeals.larder.on_hand import in_lots
from pantrymeals.larder.opened_life import parts_not_past
from pantrymeals.records import Household, LotState

CROP_MAY_COME_EARLY = timedelta(days=21)

ELSEWHERE: frozenset[LotState] = frozenset({"held", "promised", "seed", "suspect"})


class Shelf(Struct, frozen=True):
    """What of one product is there now, in containers of its first size.

    on_hand: on the shelf, reserve included. reserve: set back. part: in opened ones. elsewhere: held,
    promised, seed or suspect.
    """

    on_hand: Fraction
    reserve: Fraction
    part: Fraction
    elsewhere: Fraction

    @property
    def to_use(self) -> Fraction:
        """Containers that may be used."""
        return max(Fraction(0), self.on_hand - self.reserve) + self.part

    @property
    def there(self) -> bool:
        """Whether there is any in the house."""
        return self.on_hand + self.part + self.elsewhere > 0


def shelf_of(household: Household, name: str) -> Shelf:
    """One product's shelf; part jars past their last day are nothing."""
    product = household.products[name]
    there, elsewhere = in_lots(household, name), in_lots(household, name, ELSEWHERE)
    part = sum((jar.left for jar, _ in parts_not_past(household, household.today) if jar.product == name), Fraction(0))
    container = product.sizes[0].content
    return Shelf(there / container, min(there, product.reserve) / container, part / container, elsewhere / container)


def belongs_to_next_crop(household: Household, name: str, day: date) -> bool:
    """Whether what comes in on ``day`` is the new crop, order or batch that the old must last to."""
    product = household.products[name]
    due = must_reach(product, household.today)
    if due is None:
        return False
    return day >= due or (product.deadline_kind == "new crop" and day >= due - CROP_MAY_COME_EARLY)
