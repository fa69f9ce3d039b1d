"""Reads household.yaml: who eats, which meals, by what rules, and where things are kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any, Literal, TypeVar, get_args

from msgspec import Struct

from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Items, Node, Text, read_yaml
from pantrymeals.records import (
    MEALS,
    ROLES,
    WEEKDAYS,
    Enough,
    HouseRules,
    MealName,
    MealRoles,
    Measures,
    NoStoreRules,
    PaperSize,
    Person,
    Role,
    RulesDuring,
    Shape,
    StorePlace,
    rules_written,
)
from pantrymeals.units import METRES_A_FOOT

FILE = "household.yaml"
FIELDS = (
    "household", "today", "measures", "money", "latitude", "altitude_ft", "altitude_m", "last_frost", "first_frost",
    "people", "meals", "house_rules", "places", "no_store", "paper",
)  # fmt: skip
PERSON = ("name", "born", "portion", "sex", "activity", "must_not", "will_not", "lunch_tin", "note")
WRITTEN = tuple(rules_written().items())
RULES = tuple(how.key for _, how in WRITTEN)
DURING = ("name", "from", "to", "fixed", "hands_on_minutes", "longest_minutes", "without")
NO_NIGHT = "none"
"""Written for a weekday that has no fixed night in some days of the year."""
ENOUGH = ("breakfast", "lunch", "supper", "least", "day_low", "day_high")
STORE_PLACE = ("code", "name", "kind", "holds", "note")
SEE_TO_THEMSELVES = "see to themselves"
NO_STORE = (
    "allowed", "purse_week", "purse_usd_week", "usual_month", "usual_month_usd", "must_go_suppers_week",
)  # fmt: skip
"""The names with usd are former ones: all of it is in the household's own money."""

Sex = Literal["female", "male", ""]
Activity = Literal["low", "moderate", "active"]
Eaters = Literal["all", "tins", "home"]
PlaceKind = Literal["pantry", "cellar", "loft", "freezer", "dry", "fridge", "held", "shed", ""]
SEXES: tuple[Sex, ...] = get_args(Sex)
MEASURES: tuple[Measures, ...] = get_args(Measures)
"""Exact by definition (NIST Handbook 44, Appendix C)."""
_LONGEST_MONEY = 4
ACTIVITIES: tuple[Activity, ...] = get_args(Activity)
EATERS: tuple[Eaters, ...] = get_args(Eaters)
PLACE_KINDS: tuple[PlaceKind, ...] = get_args(PlaceKind)
PAPERS: tuple[PaperSize, ...] = get_args(PaperSize)
Spots = dict[tuple[str, str], Place]
K = TypeVar("K")
V = TypeVar("V")


class HouseholdSheet(Struct, frozen=True):
    """What household.yaml says.

    spots: (what, tag or mark) -> where it stands, for checks against the other files;
        what is 'fixed', 'tag' or 'mark'.
    """

    name: str
    today: date | None
    people: tuple[Person, ...]
    meals: tuple[MealRoles, ...]
    rules: HouseRules
    places: tuple[StorePlace, ...]
    no_store: NoStoreRules
    altitude_ft: int | None
    last_frost: tuple[int, int] | None
    first_frost: tuple[int, int] | None
    latitude: Fraction | None
    measures: Measures
    money: str
    spots: Mapping[tuple[str, str], Place]
    paper: PaperSize = "letter"


def read_household_yaml(path: Path, gathering: Gathering) -> HouseholdSheet | None:
    """What the file says; None when it could not be read at all."""
    before = len(gathering)
    node = read_yaml(path, FILE, gathering)
    if node is None:
        if len(gathering) == before:
            gathering.say(Place(FILE), "this file is empty", "see README.md for how a folder begins")
        return None
    top = Fields(node, FIELDS, "a household", gathering)
    top.need("people", "meals")
    spots: Spots = {}
    us: Measures = "us"
    measures = top.read("measures", values.one_of(MEASURES), us)
    letter, a4 = PAPERS
    return HouseholdSheet(
        name=top.text("household") or "household",
        today=top.read("today", values.day, None),
        people=_people(top, spots),
        meals=_meals(top),
        rules=_rules(top, spots),
        places=_places(top),
        no_store=_no_store(top),
        altitude_ft=_altitude_ft(top),
        last_frost=top.read("last_frost", values.yearly_day, None),
        first_frost=top.read("first_frost", values.yearly_day, None),
        latitude=top.read("latitude", _latitude, None),
        measures=measures,
        money=top.read("money", _money, "$"),
        spots=spots,
        paper=top.read("paper", values.one_of(PAPERS), a4 if measures == "metric" else letter),
    )


def _altitude_ft(top: Fields) -> int | None:
    """The altitude in feet; written in metres it is the whole foot nearest."""
    feet = top.read("altitude_ft", values.whole_number(-1500, 20000), None)
    metres = top.read("altitude_m", values.whole_number(-450, 6000), None)
    if feet is not None and metres is not None:
        top.say("altitude_m", "the altitude stands here twice", "write it in feet or in metres")
    return feet if metres is None else round(metres / METRES_A_FOOT)


def _latitude(text: str) -> Fraction:
    degrees = values.number(text)
    if abs(degrees) > 90:
        raise Wrong(f"{shown(text)} is no latitude", "write degrees from -90 to 90, below 0 south of the equator")
    return degrees


def _money(text: str) -> str:
    if len(text) > _LONGEST_MONEY or any(c.isdigit() or not c.isprintable() for c in text):
        raise Wrong(f"{shown(text)} is no sign of money", "write a sign such as $, or letters such as EUR")
    return text


def _people(top: Fields, spots: Spots) -> tuple[Person, ...]:
    people: dict[str, Person] = {}
    for node in top.many("people"):
        fields = Fields(node, PERSON, "a person", top.gathering)
        if not fields.need("name"):
            continue
        person = _person(fields)
        for key, what in (("must_not", "mark"), ("will_not", "tag")):
            for text in fields.texts(key):
                spots.setdefault((what, fold(text.text)), text.place)
        if fold(person.name) in people:
            fields.say("name", f"two people are called {person.name}", "give each a name of their own")
        people[fold(person.name)] = person
    return tuple(people.values())


def _person(fields: Fields) -> Person:
    usual: Activity = "moderate"
    unsaid: Sex = ""
    return Person(
        name=fields.text("name"),
        born=fields.read("born", values.day, None),
        portion=fields.read("portion", values.zero_or_more, Fraction(1)),
        sex=fields.read("sex", values.one_of(SEXES), unsaid),
        activity=fields.read("activity", values.one_of(ACTIVITIES), usual),
        must_not=fields.marks("must_not"),
        will_not=fields.marks("will_not"),
        lunch_tin_days=frozenset(d for days in fields.read_many("lunch_tin", values.weekdays) for d in days),
        note=fields.text("note"),
        place=fields.place,
    )


def _meals(top: Fields) -> tuple[MealRoles, ...]:
    meals: dict[MealName, MealRoles] = {}
    for key, node in top.pairs("meals", "supper: {roles: [main, side]}"):
        name = top.gathering.attempt(key.place, values.one_of(MEALS), key.text, None)
        fields = Fields(node, ("roles", "also", "eaters", "at_home"), "a meal", top.gathering)
        if name is not None and fields.need("roles"):
            meals[name] = MealRoles(name, _roles(fields), _eaters(fields), fields.read("at_home", _at_home, False))
    return tuple(meals[name] for name in MEALS if name in meals)


def _roles(fields: Fields) -> dict[str, tuple[Role, ...]]:
    """weekday -> the roles of every day, and what 'also' adds that day."""
    every_day = fields.read_many("roles", values.one_of(ROLES))
    roles: dict[str, tuple[Role, ...]] = {day: tuple(dict.fromkeys(every_day)) for day in WEEKDAYS}
    for key, node in fields.pairs("also", "{Sun: [sweet]}"):
        items = node.items if isinstance(node, Items) else (node,)
        found = (_value(fields, item, values.one_of(ROLES)) for item in items)
        more = [role for role in found if role is not None]
        for day in fields.gathering.attempt(key.place, values.weekdays, key.text, ()):
            roles[day] = tuple(dict.fromkeys((*roles[day], *more)))
    return roles


def _at_home(text: str) -> bool:
    if fold(text) != fold(SEE_TO_THEMSELVES):
        raise Wrong(f"{shown(text)} is not understood", f"write '{SEE_TO_THEMSELVES}', or leave it out")
    return True


def _eaters(fields: Fields) -> dict[str, Eaters]:
    everyone: Eaters = "all"
    eaters: dict[str, Eaters] = dict.fromkeys(WEEKDAYS, everyone)
    if isinstance(fields.node("eaters"), Text):
        return dict.fromkeys(WEEKDAYS, fields.read("eaters", values.one_of(EATERS), everyone))
    eaters.update(_by_weekday(fields, "eaters", values.one_of(EATERS), "{Mon-Fri: tins, Sat-Sun: all}"))
    return eaters


def _rules(top: Fields, spots: Spots) -> HouseRules:
    rules = Fields(top.node("house_rules"), RULES, "the house rules", top.gathering)
    return HouseRules(**{field: _SHAPES[how.shape](rules, how.key, how.example, spots) for field, how in WRITTEN})


def _tags(fields: Fields, key: str, _example: str, spots: Spots) -> frozenset[str]:
    for text in fields.texts(key):
        spots.setdefault(("tag", fold(text.text)), text.place)
    return fields.marks(key)


def _times_of_tags(fields: Fields, key: str, example: str, spots: Spots) -> dict[str, int]:
    for name, _ in fields.pairs(key, example):
        spots.setdefault(("tag", fold(name.text)), name.place)
    return _mapping(fields, key, fold, values.whole_number(0, 100), example)


def _days_of_roles(fields: Fields, key: str, example: str, _spots: Spots) -> dict[Role, int]:
    return _mapping(fields, key, values.one_of(ROLES), values.whole_number(1, 365), example)


def _tags_of_weekdays(fields: Fields, key: str, example: str, spots: Spots, no_night: str = "") -> dict[str, str]:
    for _, node in fields.pairs(key, example):
        if isinstance(node, Text) and fold(node.text) != no_night:
            spots.setdefault(("fixed", fold(node.text)), node.place)
    return _by_weekday(fields, key, fold, example)


def _minutes_of_weekdays(fields: Fields, key: str, example: str, _spots: Spots) -> dict[str, int]:
    return _by_weekday(fields, key, values.whole_number(0, 1440), example)


def _minutes_of_meals(fields: Fields, key: str, example: str, spots: Spots) -> dict[MealName, dict[str, int]]:
    of_meals = Fields(fields.node(key), MEALS, "the minutes of meals", fields.gathering)
    return {meal: _minutes_of_weekdays(of_meals, meal, example, spots) for meal in MEALS if of_meals.node(meal)}


def _days_of_the_year(fields: Fields, key: str, _example: str, spots: Spots) -> tuple[RulesDuring, ...]:
    return tuple(row for node in fields.many(key) if (row := _during(node, spots, fields.gathering)))


def _during(node: Node, spots: Spots, gathering: Gathering) -> RulesDuring | None:
    """What is otherwise from a day of the year to another."""
    fields = Fields(node, DURING, "a row of 'during'", gathering)
    filled = fields.need("name", "from", "to")
    days = [fields.read(key, values.yearly_day, None) for key in ("from", "to")]
    fixed = _tags_of_weekdays(fields, "fixed", "{Mon: salad, Wed: none}", spots, NO_NIGHT)
    hands = _minutes_of_weekdays(fields, "hands_on_minutes", "{Tue: 30}", spots)
    longest = _minutes_of_weekdays(fields, "longest_minutes", "{Tue: 45}", spots)
    without = _tags(fields, "without", "", spots)
    if not any(map(fields.has, DURING[3:])):
        fields.say("name", "nothing is otherwise in these days", f"write one of {', '.join(DURING[3:])}")
    first, last = days
    if not filled or first is None or last is None:
        return None
    nights = {day: "" if tag == NO_NIGHT else tag for day, tag in fixed.items()}
    return RulesDuring(fields.text("name"), first, last, nights, hands, longest, without)


def _enough(rules: Fields, key: str, example: str, _spots: Spots) -> Enough:
    """What a meal and a day are to give, as parts of a day's need; the usual figure for each that is not written."""
    given = _mapping(rules, key, values.one_of(ENOUGH), values.zero_or_more, example)
    usual = Enough()
    return Enough(
        {meal: given.get(meal, part) for meal, part in usual.meals.items()},
        *(given.get(key, getattr(usual, key)) for key in ("least", "day_low", "day_high")),
    )


def _stretch(rules: Fields, key: str, _example: str, _spots: Spots) -> Fraction:
    return rules.read(key, _part, HouseRules().stretch)


def _part(text: str) -> Fraction:
    value = values.zero_or_more(text)
    if value > 1:
        raise Wrong(f"{shown(text)} would stretch a dish to more than twice", "write a part, such as 0.25")
    return value


_SHAPES: Mapping[Shape, Callable[[Fields, str, str, Spots], Any]] = {
    "tags": _tags,
    "times of tags": _times_of_tags,
    "days of roles": _days_of_roles,
    "tags of weekdays": _tags_of_weekdays,
    "minutes of weekdays": _minutes_of_weekdays,
    "minutes of meals": _minutes_of_meals,
    "days of the year": _days_of_the_year,
    "part": _stretch,
    "parts of a need": _enough,
}


def _mapping(
    fields: Fields, key: str, read_name: Callable[[str], K], read: Callable[[str], V], example: str
) -> dict[K, V]:
    out: dict[K, V] = {}
    for name, node in fields.pairs(key, example):
        read_key = fields.gathering.attempt(name.place, read_name, name.text, None)
        value = _value(fields, node, read)
        if read_key is not None and value is not None:
            out[read_key] = value
    return out


def _by_weekday(fields: Fields, key: str, read: Callable[[str], V], example: str) -> dict[str, V]:
    """weekday -> value, from {Mon-Fri: ..., Sat: ...}; a later line counts over an earlier."""
    out: dict[str, V] = {}
    for name, node in fields.pairs(key, example):
        days = fields.gathering.attempt(name.place, values.weekdays, name.text, ())
        value = _value(fields, node, read)
        if value is not None:
            out.update(dict.fromkeys(days, value))
    return out


def _value(fields: Fields, node: Node, read: Callable[[str], V]) -> V | None:
    if isinstance(node, Text):
        if node.text:
            return fields.gathering.attempt(node.place, read, node.text, None)
        fields.gathering.say(node.place, "nothing stands after this name", "write a value, or leave the name out")
    else:
        fields.gathering.say(node.place, "a plain value should stand here", "leave out brackets and dashes")
    return None


def _places(top: Fields) -> tuple[StorePlace, ...]:
    places: dict[str, StorePlace] = {}
    for node in top.many("places"):
        fields = Fields(node, STORE_PLACE, "a place", top.gathering)
        if not fields.need("code"):
            continue
        code = fields.text("code")
        if fold(code) in places:
            fields.say("code", f"two places have the code {code}", "give each a code of its own")
        any_kind: PlaceKind = ""
        places[fold(code)] = StorePlace(
            code,
            fields.text("name") or code,
            fields.read("kind", values.one_of(PLACE_KINDS), any_kind),
            fields.text("holds"),
            fields.text("note"),
        )
    return tuple(places.values())


def _either(fields: Fields, key: str, former: str) -> str:
    """The one of two names of a key that stands there; both at once are a mistake."""
    if fields.has(key) and fields.has(former):
        fields.say(former, f"'{former}' and '{key}' are the same", f"keep '{key}'")
    return key if fields.has(key) else former


def _no_store(top: Fields) -> NoStoreRules:
    fields = Fields(top.node("no_store"), NO_STORE, "the no-store rules", top.gathering)
    return NoStoreRules(
        tuple(t.text for t in fields.texts("allowed")),
        fields.read(_either(fields, "purse_week", "purse_usd_week"), values.zero_or_more, Fraction(0)),
        fields.read(_either(fields, "usual_month", "usual_month_usd"), values.zero_or_more, Fraction(0)),
        fields.read("must_go_suppers_week", values.whole_number(0, 7), 0),
    )
