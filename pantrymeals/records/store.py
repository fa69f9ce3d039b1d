"""What the shelf and household.yaml say: products, lots, places, people, rules; and the lines of the book."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Annotated, Literal, get_type_hints

from msgspec import Struct, field

from pantrymeals.errors import Place
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


class Size(Struct, frozen=True):
    """One container a product comes in; ``content`` in the product's base measure."""

    name: str
    content: Fraction


class Product(Struct, frozen=True):
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


class Option(Struct, frozen=True):
    """One product, and how much of it one batch takes (base measure)."""

    product: str
    amount: Fraction
    as_written: str
    stand_in: bool = False
    note: str = ""


class Lot(Struct, frozen=True):
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


class PartJar(Struct, frozen=True):
    """An opened jar, or a pack lifted out to thaw: what is left of it, in the base measure."""

    product: str
    size: str
    left: Fraction
    opened: date
    where: str = ""
    note: str = ""
    place: Place = Place("open.csv")


class StorePlace(Struct, frozen=True):
    """A place where food is kept; the order of the household's list is the walking order."""

    code: str
    name: str
    kind: Literal["pantry", "cellar", "loft", "freezer", "dry", "fridge", "held", "shed", ""] = ""
    holds: str = ""
    note: str = ""


class Person(Struct, frozen=True):
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


def wants_little_salt(people: Iterable[Person]) -> bool:
    """Whether somebody is to have little salt."""
    return any("salty" in person.must_not for person in people)


class Enough(Struct, frozen=True):
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


def in_span(when: tuple[int, int], first: tuple[int, int], last: tuple[int, int]) -> bool:
    """Whether a yearly day lies between two, both counted, over the new year where the last is earlier."""
    return first <= when <= last if first <= last else when >= first or when <= last


class RulesDuring(Struct, frozen=True):
    """What house rules say otherwise from a day of the year to another, both counted: canning weeks, summer.

    fixed: weekday -> tag, '' for no fixed night. hands_on_minutes, longest_minutes: weekday -> minutes.
    without: tags of dishes that stand on no menu in these days.
    """

    name: str
    first: tuple[int, int]
    last: tuple[int, int]
    fixed: Mapping[str, str] = field(default_factory=dict)
    hands_on_minutes: Mapping[str, int] = field(default_factory=dict)
    longest_minutes: Mapping[str, int] = field(default_factory=dict)
    without: frozenset[str] = frozenset()


Shape = Literal[
    "tags", "times of tags", "days of roles", "tags of weekdays", "minutes of weekdays", "minutes of meals", "part",
    "parts of a need", "days of the year",
]  # fmt: skip
"""What stands after a house rule's key in household.yaml: each shape has its reader there."""


class RuleKey(Struct, frozen=True):
    """How household.yaml has a house rule: its key, the shape of what stands after it, an example, a remark on that."""

    key: str
    shape: Shape
    example: str
    remark: str = ""


_IN_TWO_PARTS_OF_THE_YEAR = """
    - {name: summer, from: 06-15, to: 09-10, fixed: {Mon: salad, Wed: none}, without: [porridge]}
    - {name: canning, from: 07-15, to: 09-30, hands_on_minutes: {Tue: 30, Thu: 30}, longest_minutes: {Tue: 45}}"""
_DURING = RuleKey(
    "during", "days of the year", _IN_TWO_PARTS_OF_THE_YEAR,
    "otherwise in these days: fixed nights (none: no such night), minutes, tags of dishes left out (without)",
)  # fmt: skip
_NEEDS = "{breakfast: 0.25, lunch: 0.3, supper: 0.45, least: 0.5, day_low: 0.85, day_high: 1.2}"


class HouseRules(Struct, frozen=True):
    """The household's own rules of variety and time, each with how household.yaml has it.

    days_between: role -> least days between two cookings of one dish.
    at_most: tag -> most dishes carrying it in any seven days running (roles main, side, lunch, sweet).
    at_least: tag -> least in each seven days of the menu, counted from its first day.
    not_running: tags of which no main may repeat on the next day ('beef' two days running).
    not_twice: tags that may appear only once among the dishes of one meal ('beans', 'potato').
    not_twice_a_day: tags that may appear only once among all the dishes of one day, leavings apart.
    fixed: weekday -> tag that the supper's main must carry.
    hands_on_minutes, longest_minutes: weekday -> most minutes of work a day, and longest single dish.
    meal_minutes: meal -> weekday -> most minutes of hands-on work for that meal alone.
    during: what is otherwise in some days of the year; of two that speak of a day the later counts.
    stretch: how far beyond its 'serves' one batch may feed (1/4: six stretches to 7.5).
    enough: how much a meal and a day are to give.
    """

    days_between: Annotated[
        Mapping[Role, int],
        RuleKey("days_between", "days of roles", "{main: 10, side: 4, breakfast: 1, lunch: 4, sweet: 7}"),
    ] = {}
    at_most: Annotated[
        Mapping[str, int], RuleKey("at_most_in_7_days", "times of tags", "{tomato: 2, beef: 3, soup: 3}")
    ] = {}
    at_least: Annotated[Mapping[str, int], RuleKey("at_least_in_7_days", "times of tags", "{meatless: 1}")] = {}
    not_running: Annotated[frozenset[str], RuleKey("not_two_days_running", "tags", "[beef, pork, chicken]")] = (
        frozenset()
    )
    not_twice: Annotated[frozenset[str], RuleKey("not_twice_in_a_meal", "tags", "[beans, potato, cabbage]")] = (
        frozenset()
    )
    not_twice_a_day: Annotated[frozenset[str], RuleKey("not_twice_in_a_day", "tags", "[soup]")] = frozenset()
    fixed: Annotated[Mapping[str, str], RuleKey("fixed", "tags of weekdays", "{Fri: flat bread, Sun: roast}")] = {}
    hands_on_minutes: Annotated[
        Mapping[str, int], RuleKey("hands_on_minutes", "minutes of weekdays", "{Mon-Fri: 60, Sat: 90, Sun: 120}")
    ] = {}
    longest_minutes: Annotated[
        Mapping[str, int], RuleKey("longest_minutes", "minutes of weekdays", "{Mon-Fri: 60, Wed: 240, Sat-Sun: 300}")
    ] = {}
    meal_minutes: Annotated[
        Mapping[MealName, Mapping[str, int]],
        RuleKey("meal_minutes", "minutes of meals", "{breakfast: {Mon-Fri: 20}}", "hands-on, of that meal alone"),
    ] = {}
    during: Annotated[tuple[RulesDuring, ...], _DURING] = ()
    stretch: Annotated[Fraction, RuleKey("stretch", "part", "0.25")] = Fraction(1, 4)
    enough: Annotated[Enough, RuleKey("enough", "parts of a need", _NEEDS, "parts of a day's need")] = Enough()


def rules_written() -> Mapping[str, RuleKey]:
    """Each field of the house rules with how household.yaml has it, in the order in which they stand there."""
    return {name: rule.__metadata__[0] for name, rule in get_type_hints(HouseRules, include_extras=True).items()}


class MealRoles(Struct, frozen=True):
    """Which roles a meal has, by weekday, and who eats it ('all', 'tins' or 'home').

    see_to_themselves: those at home, where it goes out in tins, see to their own: nothing is planned for them.
    """

    meal: MealName
    roles: Mapping[str, tuple[Role, ...]]
    eaters: Mapping[str, Literal["all", "tins", "home"]]
    see_to_themselves: bool = False


class NoStoreRules(Struct, frozen=True):
    """The household's rules for a month without the store.

    allowed: products (or plain words such as 'salt') that may still come in.
    purse_usd_week: what may be spent a week; usual_month_usd: what a usual month costs.
    must_go_suppers_week: suppers a week that must use something marked glut, sitter or eat first.
    """

    allowed: tuple[str, ...] = ()
    purse_usd_week: Fraction = Fraction(0)
    usual_month_usd: Fraction = Fraction(0)
    must_go_suppers_week: int = 0


YEAR_OPENS = (5, 1)
"""Month and day on which a book year opens in the north, before anything is put up; half a year on in the south."""


def year_opens_at(latitude: Fraction | None, last_frost: tuple[int, int] | None) -> tuple[int, int]:
    """Month and day on which the book year of a place opens: the harvest from spring to autumn is one season."""
    south = latitude < 0 if latitude is not None else last_frost is not None and last_frost[0] > 6
    return (11, 1) if south else YEAR_OPENS


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


class Movement(Struct, frozen=True):
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
