"""Answers to what is asked of an evening: what can be cooked, what was eaten, what can be spared, what it was worth."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from pantrymeals.records import YEAR_OPENS, Dish, MealName, Product, Role, Size

if TYPE_CHECKING:
    from pantrymeals.plans.menu import ChosenUse
    from pantrymeals.plans.no_store import Slip
    from pantrymeals.plans.outlook import ForecastRow


class CanCook(Struct, frozen=True):
    """A dish that could be cooked today: what it takes, for how many batches, and who will not eat it.

    beside: what is noted for somebody at the table. places: by product, where the oldest of it stands.
    """

    role: Role
    dish: Dish
    batches: Fraction
    uses: tuple[ChosenUse, ...]
    places: Mapping[str, str]
    beside: tuple[str, ...]
    refused: tuple[str, ...]


class Tonight(Struct, frozen=True):
    """What could be cooked for one meal of a day, within so many minutes, with nothing to thaw; the best liked first.

    portions: None where nobody eats that meal at home. minutes: None for any. waits: by reason, how many dishes
    could stand there and are not shown. quickest: the quickest of those that only take longer.
    """

    day: date
    meal: MealName
    portions: Fraction | None
    minutes: int | None
    roles: tuple[Role, ...]
    found: tuple[CanCook, ...]
    waits: Mapping[str, int]
    quickest: Dish | None


WEEKS_IN_A_YEAR = 52


class KindEaten(Struct, frozen=True):
    """One product: used in the last 52 weeks, in each full book year, and on hand; in containers of its first size."""

    product: Product
    used: Fraction
    by_year: Mapping[int, Fraction]
    on_hand: Fraction


class EatenByKind(Struct, frozen=True):
    """What is eaten in a year of all that some words speak of.

    weeks: of the last 52, how many the book tells of; 0: none, and ``used`` is what standing use states for a year.
    years: full book years, the newest first. totals: of each measure the sum of all kinds, as (number, unit).
    """

    said: str
    weeks: int
    years: tuple[int, ...]
    kinds: tuple[KindEaten, ...]
    totals: tuple[tuple[Fraction, str], ...]
    opens: tuple[int, int] = YEAR_OPENS

    @property
    def since_words(self) -> str:
        """The head of the first column."""
        return f"{min(self.weeks, WEEKS_IN_A_YEAR)} weeks" if self.weeks else "stated"


class EatenDay(Struct, frozen=True):
    """What the book has as eaten on a day: (meal, its dishes, each with the table's words on it)."""

    day: date
    occasions: tuple[str, ...]
    meals: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]


class EatenThen(Struct, frozen=True):
    """What was eaten in a time gone by. note: how its words were taken.

    left: (product, containers) that left the shelves for the table, where no dish is written down. since: the first
    day of which the book has a dish.
    """

    first: date
    last: date
    note: str
    days: tuple[EatenDay, ...]
    left: tuple[tuple[str, Fraction], ...]
    since: date | None


class Spared(Struct, frozen=True):
    """A product's forecast as it is, and with so many containers fewer; after: None where not so many are there.

    most: containers of that size that are there above the reserve. notes: of the forecast.
    """

    product: Product
    size: Size
    count: Fraction
    most: Fraction
    before: ForecastRow
    after: ForecastRow | None
    notes: tuple[str, ...]

    @property
    def answer(self) -> Literal["yes", "hardly", "short already", "no", "not so many", "too young to tell"]:
        """By the pace that speaks where one alone can: whether the rest still reaches its day."""
        if self.after is None:
            return "not so many"
        if self.before.untold():
            return "too young to tell"
        was, then = self.before.leading().mark, self.after.leading().mark
        if was == "short":
            return "short already"
        return "no" if then == "short" else "hardly" if then == "tight" else "yes"


Origin = Literal["put up", "came in", "bought", "before"]
"""How what is eaten first came into the house; before: it was there when the book began."""


class Worth(Struct, frozen=True):
    """What was eaten in a time gone by, at the store prices written down.

    worth_usd: by how it came. unpriced: products eaten of which no price is written down. dearest: the products that
    would have cost most. slips: what was bought outside the book.
    """

    first: date
    last: date
    note: str
    worth_usd: Mapping[Origin, Fraction]
    unpriced: tuple[str, ...]
    dearest: tuple[tuple[str, Fraction], ...]
    slips: tuple[Slip, ...]
    has_book: bool

    @property
    def all_usd(self) -> Fraction:
        """All that was eaten."""
        return sum(self.worth_usd.values(), Fraction(0))

    @property
    def cost_usd(self) -> Fraction:
        """What of it was bought, and the slips."""
        return self.worth_usd.get("bought", Fraction(0)) + self.slips_usd

    @property
    def slips_usd(self) -> Fraction:
        """What the slips came to."""
        return sum((s.price_usd for s in self.slips), Fraction(0))
