"""What is cooked, what comes in, who comes, what was said of it; and the whole household."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from msgspec import Struct, field
from msgspec.structs import replace

from pantrymeals.errors import Place
from pantrymeals.records.days import Arrival, Occasion
from pantrymeals.records.store import (
    HouseRules,
    Lot,
    MealRoles,
    Measures,
    NoStoreRules,
    Option,
    PaperSize,
    PartJar,
    Person,
    Product,
    Role,
    StorePlace,
    in_span,
    year_opens_at,
)
from pantrymeals.season_facts import SeasonFacts

PLAIN_YEAR = 2026
"""A year without 29 February."""


class StandingUse(Struct, frozen=True):
    """What goes every week outside the menu, base measure a week, for each month (index 0 = January).

    within: (first day, last day, a week): what goes beside that on some days of the year, both counted.
    """

    product: str
    weekly: tuple[Fraction, ...]
    note: str = ""
    place: Place = Place("standing.csv")
    within: tuple[tuple[tuple[int, int], tuple[int, int], Fraction], ...] = ()

    def on(self, day: date) -> Fraction:
        """What would go in a week if every day of it were like this one."""
        there = (a for first, last, a in self.within if in_span((day.month, day.day), first, last))
        return sum(there, self.weekly[day.month - 1])

    def between(self, first: date, end: date) -> Fraction:
        """What goes from a day up to another, that one not counted."""
        total, day = Fraction(0), first
        while day < end:
            after = min(end, (day.replace(day=1) + timedelta(days=32)).replace(day=1))
            total += self.weekly[day.month - 1] * (after - day).days
            day = after
        days = (first + timedelta(days=n) for n in range((end - first).days if self.within else 0))
        return (total + sum(self.on(day) - self.weekly[day.month - 1] for day in days)) / 7

    def by_month(self) -> tuple[Fraction, ...]:
        """The mean of each month (index 0 = January), February with its 28 days: for paces that know months alone."""
        if not self.within:
            return self.weekly
        firsts = [*(date(PLAIN_YEAR, month, 1) for month in range(1, 13)), date(PLAIN_YEAR + 1, 1, 1)]
        return tuple(self.between(first, end) * 7 / (end - first).days for first, end in pairwise(firsts))

    def most(self) -> Fraction:
        """No day's week takes more than this."""
        return max(self.weekly) + sum((amount for _, _, amount in self.within), Fraction(0))

    def __bool__(self) -> bool:
        """Whether anything goes on any day."""
        return bool(self.most())

    def times(self, factor: Fraction) -> StandingUse:
        """So many times as much: by 1 / the content of a container, counted in containers."""
        within = tuple((first, last, amount * factor) for first, last, amount in self.within)
        return replace(self, weekly=tuple(amount * factor for amount in self.weekly), within=within)

    def beside(self, other: StandingUse) -> StandingUse:
        """Both together."""
        weekly = tuple(a + b for a, b in zip(self.weekly, other.weekly, strict=True))
        notes = dict.fromkeys(n for n in (self.note, other.note) if n)
        return replace(self, weekly=weekly, note="; ".join(notes), within=(*self.within, *other.within))


class Use(Struct, frozen=True):
    """One thing a dish takes: its options in order of preference, stand-ins last."""

    options: tuple[Option, ...]
    place: Place = Place("recipe")


class Ahead(Struct, frozen=True):
    """A step before the day: 'soak the beans' one day before."""

    days_before: int
    what: str

    def due(self, day: date) -> date:
        """The day of this step, of a meal on a day."""
        return day - timedelta(days=self.days_before)


class Leaving(Struct, frozen=True):
    """What a dish leaves: its name, how many a batch of it feeds, and how many days it keeps.

    over: it is what the batches serve beyond their table, and ``portions`` is nothing.
    """

    name: str
    portions: Fraction
    days: int
    over: bool = False


class Instead(Struct, frozen=True):
    """The household's noted alternative for one person or mark, with what it takes (once)."""

    whom: str
    what: str
    uses: tuple[Use, ...] = ()


class Dish(Struct, frozen=True):
    """A dish, written in stored products.

    covers: other roles of the same meal that it fills (a stew covers the side).
    contents: marks beyond those of its products.
    tags: what house rules speak of ('soup', 'beef', 'beans', 'tomato', 'potato' ...).
    days_between: least days from one cooking to the next; None: the household's for its role.
    needs_left: the name of a leaving it is made from; then ``uses`` is what is added.
    only_for: 'feast' or 'crew' for dishes kept for those days; '' for any day.
    weekdays: the only days of the week ('Sun') on which it stands; empty means all.
    not_for: 'tins' where it cannot be carried in a lunch tin or flask; 'feast': no dish for a feast's own meals.
    liking: -2 (put up with) to 2 (asked for).
    whole_batches: it is cooked whole, however few eat (a cake in its tin).
    method: how it is cooked, step by step; empty where none is written.
    """

    name: str
    role: Role
    serves: Fraction
    uses: tuple[Use, ...]
    covers: frozenset[Role] = frozenset()
    minutes: int = 30
    hands_on_minutes: int = 15
    ahead: tuple[Ahead, ...] = ()
    season: frozenset[int] = frozenset()
    tags: frozenset[str] = frozenset()
    contents: frozenset[str] = frozenset()
    goes_with: frozenset[str] = frozenset()
    not_with: frozenset[str] = frozenset()
    days_between: int | None = None
    leaves: Leaving | None = None
    needs_left: str | None = None
    instead: tuple[Instead, ...] = ()
    only_for: Literal["", "feast", "crew"] = ""
    weekdays: frozenset[str] = frozenset()
    not_for: frozenset[Literal["tins", "feast"]] = frozenset()
    liking: int = 0
    whole_batches: bool = False
    method: tuple[str, ...] = ()
    note: str = ""
    book: Literal["household", "starter"] = "household"
    place: Place = Place("recipe")


class BatchDay(Struct, frozen=True):
    """Work that turns stock into stock: juice into jelly, wrinkled apples into sauce."""

    name: str
    uses: tuple[Use, ...]
    makes: tuple[Option, ...]
    minutes: int
    season: frozenset[int] = frozenset()
    note: str = ""
    book: Literal["household", "starter"] = "household"
    place: Place = Place("recipe")


TABLE_WORDS = ("again", "not again", "too much", "too little")
"""What a table may say of a dish after a meal."""


class TableWord(Struct, frozen=True):
    """What the table, or one at it, said of a dish. day: of the meal."""

    day: date
    dish: str
    word: str
    who: str = ""


class Heard(Struct, frozen=True):
    """The words on one dish, as they were said, and its liking and how many it feeds as they are written."""

    words: tuple[TableWord, ...]
    liking: int
    serves: Fraction


class Taken(Struct, frozen=True):
    """So much of a product (base measure) eaten on a day, by the menu or by standing use."""

    day: date
    product: str
    amount: Fraction


class FreeHours(Struct, frozen=True):
    """Minutes free for a batch day on a weekday, between two days of the year, both counted (month, day)."""

    weekday: str
    minutes: int
    first: tuple[int, int] = (1, 1)
    last: tuple[int, int] = (12, 31)
    place: Place = Place("season.yaml")


class Household(Struct, frozen=True):
    """A whole household as its files (and its book) describe it.

    today: the day the household's counts speak for.
    products: by name. dishes: by name, the household's own over the starter book's.
    skipped_dishes: starter dishes left out, with the products this larder does not keep.
    measures: in which amounts are shown; money: the sign before a price; latitude: degrees, below 0 in the south.
    season: what ``season.yaml`` says, for next season's list. paper: what its sheets are printed on.
    recent: (day, dish) of what was lately eaten, so that variety reaches back over the first day.
    taken: what was lately eaten of each product, so that evenness does; known_since: by product, the day
        from which ``taken`` tells all of it and nothing new came; a product that is not there has no memory.
    """

    name: str
    today: date
    people: tuple[Person, ...]
    meals: tuple[MealRoles, ...]
    rules: HouseRules
    places: tuple[StorePlace, ...]
    products: Mapping[str, Product]
    lots: tuple[Lot, ...]
    part_jars: tuple[PartJar, ...]
    standing: tuple[StandingUse, ...]
    arrivals: tuple[Arrival, ...]
    occasions: tuple[Occasion, ...]
    dishes: Mapping[str, Dish]
    batch_days: Mapping[str, BatchDay]
    no_store: NoStoreRules = NoStoreRules()
    measures: Measures = "us"
    money: str = "$"
    latitude: Fraction | None = None
    altitude_ft: int | None = None
    last_frost: tuple[int, int] | None = None
    first_frost: tuple[int, int] | None = None
    skipped_dishes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    season: SeasonFacts = field(default_factory=SeasonFacts)
    recent: tuple[tuple[date, str], ...] = ()
    heard: Mapping[str, Heard] = field(default_factory=dict)
    """By dish, what the table said of it; ``dishes`` heed it already."""
    taken: tuple[Taken, ...] = ()
    known_since: Mapping[str, date] = field(default_factory=dict)
    folder: str = ""
    kcal: Mapping[str, Fraction] = field(default_factory=dict)
    """Energy in one base measure of each product, as eaten (kcal); a product that is not there has no figure."""
    needs_kcal: Mapping[str, int] = field(default_factory=dict)
    """What each person needs a day, by name (kcal)."""
    protein_g: Mapping[str, Fraction] = field(default_factory=dict)
    """Protein in one base measure of each product, as ``kcal``."""
    needs_protein_g: Mapping[str, int] = field(default_factory=dict)
    batch_hours: tuple[FreeHours, ...] = ()
    """Hours free for batch days; none written: see ``batch_days.facts.free_minutes``."""
    paper: PaperSize = "letter"
    book_entry: tuple[int, date] | None = None
    """The newest entry of the book, and its day, where the counts are the book's; None: they are stock.csv's."""
    reckoned_from: date | None = None
    """The day of the count, where ``today`` lies far beyond it and what is there is reckoned; None: it was counted.
    What thaws may be lifted out from then on."""

    @property
    def year_opens(self) -> tuple[int, int]:
        """Month and day on which its book year opens."""
        return year_opens_at(self.latitude, self.last_frost)
