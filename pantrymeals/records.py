"""What a household has and how it eats: frozen facts, as its files and its book say them.

Every amount is an exact Fraction of the product's own base measure (millilitres,
grams or pieces: see ``units``), unless its name says otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Literal

from pantrymeals.errors import Place
from pantrymeals.season_facts import SeasonFacts
from pantrymeals.units import Measure

Kind = Literal["jar", "freezer", "cellar", "dry", "fridge"]
LotState = Literal["", "held", "promised", "seed", "suspect"]
Role = Literal["main", "side", "bread", "fruit", "sweet", "breakfast", "lunch"]
MealName = Literal["breakfast", "lunch", "supper"]
Measures = Literal["us", "metric"]
PaperSize = Literal["letter", "a4"]

MEALS: tuple[MealName, ...] = ("breakfast", "lunch", "supper")
ROLES: tuple[Role, ...] = ("breakfast", "lunch", "main", "side", "bread", "fruit", "sweet")
WEEKDAYS_IN_FULL = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
WEEKDAYS = tuple(name[:3] for name in WEEKDAYS_IN_FULL)


FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2100, 12, 31)
"""No larder reaches further: a day outside is a slip of the pen."""


@dataclass(frozen=True, slots=True)
class Size:
    """One container a product comes in; ``content`` in the product's base measure."""

    name: str
    content: Fraction


@dataclass(frozen=True, slots=True)
class Product:
    """A thing the household keeps.

    whole: True when a container is opened whole (jars, packs, a squash), False for
        loose goods that are dipped into (bins, sacks).
    opened_days: days an opened container keeps, the day of opening counted; a pack that
        must thaw counts from the day it is ready. None: no clock.
    opened_source: who says opened_days, where it is not the household's own figure.
    thaw_days: nights in the fridge before it can be used.
    must_last_to: the household's own deadline; ``deadline_kind`` says why ('new crop', 'season ends',
        'order', 'next batch', or 'keeps to': then it is no day to reach but one to eat it by).
    reserve: set back, never planned.
    eaten_in: months (1-12) in which it is eaten; empty means all.
    contents: marks that a must-not-eat may name ('tree nut', 'honey', 'salty', 'egg' ...).
    grams_per_base: grams in one ml or one piece, for nutrition; 1 for weights.
    on_menus: False for what is never planned (gifts, kept out of the house).
    fresh_days: of what comes in fresh: days that it is good, the day it comes counted. None: it keeps.
    eaten_before: of such a thing, the products that stay on their shelves while it is there.
    waits_on: of those products, the days on which such a thing is there.
    price_usd: store price of one container of the first size.
    thing: what the catalogue of stored things calls it; '' where the household's own figures are all there is.
    from_catalogue: the columns that the household left blank and the catalogue filled.
    """

    name: str
    family: str
    kind: Kind
    measure: Measure
    sizes: tuple[Size, ...]
    whole: bool = True
    acid: Literal["low", "high", "acidified", "borderline", ""] = ""
    opened_days: int | None = None
    opened_source: str = ""
    thaw_days: int = 0
    keeps_months: Fraction | None = None
    must_last_to: date | None = None
    deadline_kind: str = ""
    reserve: Fraction = Fraction(0)
    reserve_note: str = ""
    eaten_in: frozenset[int] = frozenset()
    contents: frozenset[str] = frozenset()
    also_called: tuple[str, ...] = ()
    food: str = ""
    grams_per_base: Fraction | None = None
    price_usd: Fraction | None = None
    on_menus: bool = True
    fresh_days: int | None = None
    eaten_before: tuple[str, ...] = ()
    waits_on: frozenset[date] = frozenset()
    note: str = ""
    thing: str = ""
    from_catalogue: frozenset[str] = frozenset()
    place: Place = Place("products.csv")

    def size(self, name: str) -> Size | None:
        """The size of that name, or None when the product does not come in it."""
        return next((s for s in self.sizes if s.name == name), None)

    def containers(self, amount: Fraction) -> Fraction:
        """An amount of the base measure, in containers of the first size."""
        return amount / self.sizes[0].content

    def content(self, name: str) -> Fraction:
        """What a container of that size holds; of the first size where it does not come in it."""
        return (self.size(name) or self.sizes[0]).content


@dataclass(frozen=True, slots=True)
class Lot:
    """Containers of one product put up together.

    count: whole containers; for loose goods any exact number of the size's unit.
    put_up: the day, or 1 January of the year where ``year_only``; None: not known.
    """

    product: str
    size: str
    count: Fraction
    put_up: date | None = None
    year_only: bool = False
    where: str = ""
    load: str = ""
    tested_source: str = ""
    state: LotState = ""
    note: str = ""
    place: Place = Place("stock.csv")


@dataclass(frozen=True, slots=True)
class PartJar:
    """An opened jar, or a pack lifted out to thaw: what is left of it, in the base measure."""

    product: str
    size: str
    left: Fraction
    opened: date
    where: str = ""
    note: str = ""
    place: Place = Place("open.csv")


@dataclass(frozen=True, slots=True)
class StandingUse:
    """What goes every week outside the menu, base measure a week, for each month (index 0 = January)."""

    product: str
    weekly: tuple[Fraction, ...]
    note: str = ""
    place: Place = Place("standing.csv")


@dataclass(frozen=True, slots=True)
class Arrival:
    """Something that comes in on one day: eggs, milk, the week's bread, an order, a new crop."""

    product: str
    amount: Fraction
    day: date
    note: str = ""
    place: Place = Place("calendar.yaml")


@dataclass(frozen=True, slots=True)
class Person:
    """Someone at the table.

    must_not: marks of contents that bar a dish (honey is added until the first birthday).
    will_not: tags of dishes this person refuses: a strong wish, not a rule.
    """

    name: str
    born: date | None
    portion: Fraction
    sex: Literal["female", "male", ""] = ""
    activity: Literal["low", "moderate", "active"] = "moderate"
    must_not: frozenset[str] = frozenset()
    will_not: frozenset[str] = frozenset()
    lunch_tin_days: frozenset[str] = frozenset()
    note: str = ""
    place: Place = Place("household.yaml")


@dataclass(frozen=True, slots=True)
class Option:
    """One product, and how much of it one batch takes (base measure)."""

    product: str
    amount: Fraction
    as_written: str
    stand_in: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True)
class Use:
    """One thing a dish takes: its options in order of preference, stand-ins last."""

    options: tuple[Option, ...]
    place: Place = Place("recipe")


@dataclass(frozen=True, slots=True)
class Ahead:
    """A step before the day: 'soak the beans' one day before."""

    days_before: int
    what: str


@dataclass(frozen=True, slots=True)
class Leaving:
    """What a dish leaves: its name, how many a batch of it feeds, and how many days it keeps.

    over: it is what the batches serve beyond their table, and ``portions`` is nothing.
    """

    name: str
    portions: Fraction
    days: int
    over: bool = False


@dataclass(frozen=True, slots=True)
class Instead:
    """The household's noted alternative for one person or mark, with what it takes (once)."""

    whom: str
    what: str
    uses: tuple[Use, ...] = ()


@dataclass(frozen=True, slots=True)
class Dish:
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


@dataclass(frozen=True, slots=True)
class BatchDay:
    """Work that turns stock into stock: juice into jelly, wrinkled apples into sauce."""

    name: str
    uses: tuple[Use, ...]
    makes: tuple[Option, ...]
    minutes: int
    season: frozenset[int] = frozenset()
    note: str = ""
    book: Literal["household", "starter"] = "household"
    place: Place = Place("recipe")


@dataclass(frozen=True, slots=True)
class Enough:
    """How much of a day's need a meal and a day are to give, as parts of what those who eat need in a day.

    meals: the part that each meal is to give. least: the part of its own that a meal is never to stay under.
    day_low, day_high: between which parts of what its meals are to give a day is right, standing use counted.
    """

    meals: Mapping[MealName, Fraction] = field(
        default_factory=lambda: {"breakfast": Fraction(1, 4), "lunch": Fraction(3, 10), "supper": Fraction(9, 20)}
    )
    least: Fraction = Fraction(1, 2)
    day_low: Fraction = Fraction(17, 20)
    day_high: Fraction = Fraction(6, 5)


@dataclass(frozen=True, slots=True)
class RulesDuring:
    """What house rules say otherwise from a day of the year to another, both counted: canning weeks, summer.

    fixed: weekday -> tag, '' for no fixed night. hands_on_minutes, longest_minutes: weekday -> minutes.
    """

    name: str
    first: tuple[int, int]
    last: tuple[int, int]
    fixed: Mapping[str, str] = field(default_factory=dict)
    hands_on_minutes: Mapping[str, int] = field(default_factory=dict)
    longest_minutes: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class HouseRules:
    """The household's own rules of variety and time.

    days_between: role -> least days between two cookings of one dish.
    at_most: tag -> most dishes carrying it in any seven days running (roles main, side, lunch, sweet).
    at_least: tag -> least in each seven days of the menu, counted from its first day.
    not_running: tags of which no main may repeat on the next day ('beef' two days running).
    not_twice: tags that may appear only once among the dishes of one meal ('beans', 'potato').
    not_twice_a_day: tags that may appear only once among all the dishes of one day, leavings apart.
    fixed: weekday -> tag that the supper's main must carry.
    hands_on_minutes, longest_minutes: weekday -> most minutes of work a day, and longest single dish.
    meal_minutes: meal -> weekday -> most minutes of hands-on work for that meal alone.
    stretch: how far beyond its 'serves' one batch may feed (1/4: six stretches to 7.5).
    enough: how much a meal and a day are to give.
    during: what is otherwise in some days of the year; of two that speak of a day the later counts.
    """

    days_between: Mapping[Role, int] = field(default_factory=dict)
    at_most: Mapping[str, int] = field(default_factory=dict)
    at_least: Mapping[str, int] = field(default_factory=dict)
    not_running: frozenset[str] = frozenset()
    not_twice: frozenset[str] = frozenset()
    not_twice_a_day: frozenset[str] = frozenset()
    fixed: Mapping[str, str] = field(default_factory=dict)
    hands_on_minutes: Mapping[str, int] = field(default_factory=dict)
    longest_minutes: Mapping[str, int] = field(default_factory=dict)
    meal_minutes: Mapping[MealName, Mapping[str, int]] = field(default_factory=dict)
    stretch: Fraction = Fraction(1, 4)
    enough: Enough = Enough()
    during: tuple[RulesDuring, ...] = ()


@dataclass(frozen=True, slots=True)
class MealRoles:
    """Which roles a meal has, by weekday, and who eats it ('all', 'tins' or 'home').

    see_to_themselves: those at home, where it goes out in tins, see to their own: nothing is planned for them.
    """

    meal: MealName
    roles: Mapping[str, tuple[Role, ...]]
    eaters: Mapping[str, Literal["all", "tins", "home"]]
    see_to_themselves: bool = False


@dataclass(frozen=True, slots=True)
class Occasion:
    """A day (or run of days) when the table is larger, smaller or finer than usual.

    guests: extra portions at ``meals``; away: names not at table; no_tins: names who carry no lunch tin.
    feast: dishes kept for feasts may be planned; crew: likewise for crews.
    """

    first: date
    last: date
    name: str
    guests: Fraction = Fraction(0)
    meals: tuple[MealName, ...] = ("supper",)
    away: frozenset[str] = frozenset()
    no_tins: frozenset[str] = frozenset()
    kind: Literal["", "feast", "crew"] = ""
    dish: str = ""
    weekdays: frozenset[str] = frozenset()
    place: Place = Place("calendar.yaml")


@dataclass(frozen=True, slots=True)
class StorePlace:
    """A place where food is kept; the order of the household's list is the walking order."""

    code: str
    name: str
    kind: Literal["pantry", "cellar", "loft", "freezer", "dry", "fridge", "held", "shed", ""] = ""
    holds: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class NoStoreRules:
    """The household's rules for a month without the store.

    allowed: products (or plain words such as 'salt') that may still come in.
    purse_usd_week: what may be spent a week; usual_month_usd: what a usual month costs.
    must_go_suppers_week: suppers a week that must use something marked glut, sitter or eat first.
    """

    allowed: tuple[str, ...] = ()
    purse_usd_week: Fraction = Fraction(0)
    usual_month_usd: Fraction = Fraction(0)
    must_go_suppers_week: int = 0


TABLE_WORDS = ("again", "not again", "too much", "too little")
"""What a table may say of a dish after a meal."""


@dataclass(frozen=True, slots=True)
class TableWord:
    """What the table, or one at it, said of a dish. day: of the meal."""

    day: date
    dish: str
    word: str
    who: str = ""


@dataclass(frozen=True, slots=True)
class Heard:
    """The words on one dish, as they were said, and its liking and how many it feeds as they are written."""

    words: tuple[TableWord, ...]
    liking: int
    serves: Fraction


@dataclass(frozen=True, slots=True)
class Taken:
    """So much of a product (base measure) eaten on a day, by the menu or by standing use."""

    day: date
    product: str
    amount: Fraction


@dataclass(frozen=True, slots=True)
class FreeHours:
    """Minutes free for a batch day on a weekday, between two days of the year, both counted (month, day)."""

    weekday: str
    minutes: int
    first: tuple[int, int] = (1, 1)
    last: tuple[int, int] = (12, 31)
    place: Place = Place("season.yaml")


YEAR_OPENS = (5, 1)
"""Month and day on which a book year opens in the north, before anything is put up; half a year on in the south."""


def year_opens_at(latitude: Fraction | None, last_frost: tuple[int, int] | None) -> tuple[int, int]:
    """Month and day on which the book year of a place opens: the harvest from spring to autumn is one season."""
    south = latitude < 0 if latitude is not None else last_frost is not None and last_frost[0] > 6
    return (11, 1) if south else YEAR_OPENS


@dataclass(frozen=True, slots=True)
class Household:
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


Reason = Literal[
    "put up",
    "pulled",
    "eaten",
    "given",
    "bartered",
    "bought",
    "arrived",
    "spoiled",
    "failed seal",
    "to the hens",
    "compost",
    "counted",
    "made over",
    "moved",
]

USED_REASONS: frozenset[str] = frozenset({"pulled", "eaten", "made over"})
"""Reasons that count as use by this table, for rates of use."""

LOST_REASONS: frozenset[str] = frozenset({"spoiled", "failed seal", "to the hens", "compost"})
"""Reasons that count as loss in store."""


@dataclass(frozen=True, slots=True)
class Movement:
    """One line of the put-up book: so many containers of a lot came (+) or went (-), and why.

    count: signed containers of ``size`` (any exact number for loose goods).
    lot: the lot's number in the book; 0 where the line speaks of no one lot.
    """

    day: date
    product: str
    size: str
    count: Fraction
    reason: Reason
    lot: int = 0
    where: str = ""
    note: str = ""
