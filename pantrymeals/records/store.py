"""What the shelf and household.yaml say: products, lots, places, people, rules; and the lines of the book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from typing import Literal

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
class Option:
    """One product, and how much of it one batch takes (base measure)."""

    product: str
    amount: Fraction
    as_written: str
    stand_in: bool = False
    note: str = ""


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
class StorePlace:
    """A place where food is kept; the order of the household's list is the walking order."""

    code: str
    name: str
    kind: Literal["pantry", "cellar", "loft", "freezer", "dry", "fridge", "held", "shed", ""] = ""
    holds: str = ""
    note: str = ""


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
    without: tags of dishes that stand on no menu in these days.
    """

    name: str
    first: tuple[int, int]
    last: tuple[int, int]
    fixed: Mapping[str, str] = field(default_factory=dict)
    hands_on_minutes: Mapping[str, int] = field(default_factory=dict)
    longest_minutes: Mapping[str, int] = field(default_factory=dict)
    without: frozenset[str] = frozenset()


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
