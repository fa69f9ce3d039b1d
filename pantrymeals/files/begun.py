"""The files of a household that begins: from ten answers, with comments that explain themselves."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from fractions import Fraction
from typing import Literal, TypeVar

from msgspec import Struct, field

from pantrymeals.files import values
from pantrymeals.files.catalogue import catalogue
from pantrymeals.files.gathering import Wrong, fold, shown
from pantrymeals.files.household_yaml import MEASURES
from pantrymeals.records import MEALS, MealName, Measures
from pantrymeals.units import take_number

QUESTIONS: Mapping[str, str] = {
    "household": "What is the household called?",
    "people": "Who eats? Names, with the year born and the portion where it helps: Nora 1948, Will 1946 x1.2",
    "must_not": "What must somebody not eat? Such as Nora: tree nut, milk; Will: salty. Blank for nothing",
    "will_not": "What will somebody not eat (a tag of dishes)? Such as Will: liver. Blank for nothing",
    "meals": "Which meals are planned? Such as breakfast, lunch, supper; or all",
    "measures": "Whose measures: us (quarts, pounds) or metric?",
    "money": "Which sign has money? Such as $",
    "where": "Where is the garden? Latitude (below 0 in the south), or last and first frost as 05-25 09-24; or blank",
    "altitude": "How high above the sea? Such as 2750 ft or 300 m. Blank if you do not know",
    "places": "Where is food kept, in the order you walk? Such as kitchen press, cellar, chest freezer",
    "coming_in": "What still comes in, on which day? Such as 2 l milk, 12 eggs, 1 loaf bread every Sat. Blank: nothing",
}
"""Keys of an answers file, each with its question."""
T = TypeVar("T")
PlaceKind = Literal["pantry", "cellar", "loft", "freezer", "dry", "fridge", "shed", ""]
_KIND_WORDS: tuple[tuple[PlaceKind, tuple[str, ...]], ...] = (
    ("freezer", ("freezer", "deep freeze", "icebox")),
    ("fridge", ("fridge", "refrigerator")),
    ("cellar", ("cellar", "cold room", "clamp", "basement", "root")),
    ("loft", ("loft", "attic")),
    ("shed", ("shed", "garage", "barn")),
    ("dry", ("bin", "sack", "tin")),
    ("pantry", ("pantry", "press", "cupboard", "larder", "shelf", "shelves", "scullery", "storeroom")),
)
_USUAL_MEALS = "all"
_MOST_PEOPLE = 60


class Eater(Struct, frozen=True):
    """Somebody at the table, as answered."""

    name: str
    born: int | None = None
    portion: Fraction = Fraction(1)


class Began(Struct, frozen=True):
    """The answers understood. places: (code, name, kind). latitude, frosts, altitude: as household.yaml has them."""

    household: str
    people: tuple[Eater, ...]
    must_not: Mapping[str, tuple[str, ...]]
    will_not: Mapping[str, tuple[str, ...]]
    meals: tuple[MealName, ...]
    measures: Measures
    money: str
    where: tuple[str, ...]
    altitude: str
    places: tuple[tuple[str, str, PlaceKind], ...]
    coming_in: tuple[tuple[str, str], ...] = field(default=())

    def unknown_marks(self) -> tuple[str, ...]:
        """Marks of must-not that nothing of the catalogue has: a slip of the pen would guard nobody."""
        marks = {fold(mark) for thing in catalogue().values() for mark in thing.contents}
        return tuple(m for found in self.must_not.values() for m in found if fold(m) not in marks)


def began(answers: Mapping[str, str]) -> Began:
    """The answers as they are meant. Raises Wrong with the first that is not clear, its key before it."""
    people = _read("people", answers, _people)
    named = {fold(person.name): person.name for person in people}
    return Began(
        household=" ".join(answers.get("household", "").split()) or people[0].name,
        people=people,
        must_not=_read("must_not", answers, lambda text: _by_person(text, named)),
        will_not=_read("will_not", answers, lambda text: _by_person(text, named)),
        meals=_read("meals", answers, _meals),
        measures=_read("measures", answers, _measures),
        money=answers.get("money", "").strip() or "$",
        where=_read("where", answers, _where),
        altitude=_read("altitude", answers, _altitude),
        places=_read("places", answers, _places),
        coming_in=_read("coming_in", answers, _coming_in),
    )


def answer_is_clear(key: str, text: str) -> str:
    """'' where an answer to one question can be read, else what is wrong with it."""
    readers: Mapping[str, Callable[[str], object]] = {
        "people": _people, "meals": _meals, "measures": _measures, "where": _where, "altitude": _altitude,
        "places": _places, "coming_in": _coming_in,
    }  # fmt: skip
    try:
        if (read := readers.get(key)) is not None:
            read(text)
    except Wrong as wrong:
        return f"{wrong}; {wrong.right}" if wrong.right else str(wrong)
    return ""


def _read(key: str, answers: Mapping[str, str], read: Callable[[str], T]) -> T:
    try:
        return read(answers.get(key, ""))
    except Wrong as wrong:
        raise Wrong(f"{key}: {wrong}", wrong.right) from None


def _people(text: str) -> tuple[Eater, ...]:
    people: dict[str, Eater] = {}
    for part in _parts(text, ",;"):
        portion = re.search(r"\bx ?(\d+(?:[.,]\d+)?|\d/\d)\s*$", part)
        left = part[: portion.start()] if portion else part
        born = re.search(r"\b((?:19|20)\d\d)\b", left)
        name = " ".join(re.sub(r"\b(born|in)\b", "", left.replace(born.group() if born else "", "")).split())
        if not re.search(r"[^\W\d_]", name):
            raise Wrong(f"{shown(part)} names nobody", "write names, such as Nora 1948, Will 1946")
        size = take_number(portion[1]) if portion else None
        if fold(name) in people:
            raise Wrong(f"two people are called {name}", "give each a name of their own")
        people[fold(name)] = Eater(name, int(born[1]) if born else None, size[0] if size else Fraction(1))
    if not people or len(people) > _MOST_PEOPLE:
        raise Wrong("nobody is at this table" if not people else "that is a village", "write one name or more")
    return tuple(people.values())


def _by_person(text: str, named: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    if fold(text) in ("", "none", "nothing", "no"):
        return found
    for part in _parts(text, ";"):
        name, colon, what = part.partition(":")
        if not colon or fold(name) not in named:
            raise Wrong(f"{shown(part)} names nobody of the table", f"write {next(iter(named.values()))}: tree nut")
        found[named[fold(name)]] = tuple(_parts(what, ","))
    return found


def _meals(text: str) -> tuple[MealName, ...]:
    words = fold(text) or _USUAL_MEALS
    if words in ("all", "all three", "every meal"):
        return MEALS
    alias = {"dinner": "supper", "tea": "supper", "evening meal": "supper"}
    named = [alias.get(w, w) for w in (fold(p) for p in re.split(r"[,;&]| and ", words)) if w]
    return tuple(m for m in MEALS if m in [values.one_of(MEALS)(name) for name in named])


def _measures(text: str) -> Measures:
    return values.one_of(MEASURES)(text.strip()) if text.strip() else "us"


def _where(text: str) -> tuple[str, ...]:
    """('latitude: -37.8',) or the two frosts."""
    words = text.replace(",", " ").replace("latitude", " ").split()
    if fold(text) in ("", "none", "no garden"):
        return ()
    days = [w for w in words if re.fullmatch(r"\d{1,2}-\d{1,2}", w)]
    if len(days) == 2:
        for day in days:
            values.yearly_day(day)
        return (f"last_frost: {days[0]}", f"first_frost: {days[1]}")
    south = bool(re.search(r"\d\s*°?\s*s\b", text, re.IGNORECASE))
    number = re.search(r"-?\d+(?:[.,]\d+)?", text)
    if number is None or abs(degrees := values.number(number.group())) > 90:
        raise Wrong(f"{shown(text)} is no latitude and no two frosts", "write -37.8, or 05-25 09-24")
    return (f"latitude: {'-' if south and degrees > 0 else ''}{number.group().replace(',', '.')}",)


def _altitude(text: str) -> str:
    if fold(text) in ("", "unknown"):
        return ""
    taken = take_number(text.replace(",", "") if re.search(r"\d,\d{3}", text) else text)
    unit = {"ft": "ft", "feet": "ft", "foot": "ft", "m": "m", "metres": "m", "meters": "m", "metre": "m"}.get(
        fold(taken[1]) if taken else ""
    )
    if taken is None or unit is None or taken[0].denominator != 1:
        raise Wrong(f"{shown(text)} is no altitude", "write 2750 ft or 300 m")
    return f"altitude_{unit}: {taken[0]}"


def _places(text: str) -> tuple[tuple[str, str, PlaceKind], ...]:
    found: dict[str, tuple[str, str, PlaceKind]] = {}
    for part in _parts(text, ",;"):
        code, equals, name = (p.strip() for p in part.partition("="))
        name = name if equals else code
        code = code if equals else _code(name, found)
        if fold(code) in found:
            raise Wrong(f"two places have the code {code}", "give each a code of its own: N1 = north shelf")
        unsaid: PlaceKind = ""
        kind = next((k for k, words in _KIND_WORDS if any(w in fold(name) for w in words)), unsaid)
        found[fold(code)] = (code, name, kind)
    return tuple(found.values())


def _code(name: str, taken: Mapping[str, object]) -> str:
    """A short code of a place: its initials, with a number where another has them."""
    letters = "".join(word[0] for word in re.findall(r"[^\W_]+", name)).upper()[:3] or "P"
    return next(c for c in (letters, *(f"{letters}{n}" for n in range(2, 99))) if fold(c) not in taken)


def _coming_in(text: str) -> tuple[tuple[str, str], ...]:
    """(what comes, on which weekdays), one for each thing."""
    found: list[tuple[str, str]] = []
    if fold(text) in ("", "nothing", "none", "no"):
        return ()
    for part in _parts(text, ";"):
        what, every, days = part.partition(" every ")
        if not every:
            what, every, days = part.partition(" on ")
        if not every:
            raise Wrong(f"{shown(part)} has no day", "write 2 l milk, 12 eggs every Sat")
        named = values.weekdays(days)
        found += [(thing, ", ".join(named)) for thing in _parts(what, ",")]
    return tuple(found)


def _parts(text: str, marks: str) -> list[str]:
    return [part.strip() for part in re.split(f"[{marks}]", text) if part.strip()]


def household_text(began: Began) -> str:
    """household.yaml, with what each line is for."""
    lines = [
        "# Who eats here, which meals, and where things are kept. 'explain files' says what else may stand here.",
        f"household: {quoted(began.household)}",
        "# today: 2026-01-17         # leave it out, and the calendar's day is today",
        f"measures: {began.measures:<17}# us or metric: in which amounts are shown",
        f"money: {quoted(began.money)}",
        *(began.where or ("# latitude: 44               # below 0 in the south; or last_frost and first_frost",)),
        began.altitude or "# altitude_ft: 2750          # or altitude_m: it brings the reminder for your height",
        "",
        "people:                      # portion: 1 eats as the dishes say; must_not: marks; will_not: tags of dishes",
        *(_person(began, person) for person in began.people),
        "",
        "meals:                       # roles: main, side, bread, fruit, sweet, breakfast, lunch",
        *(f"  {meal}: {{roles: [{_ROLES[meal]}]}}" for meal in began.meals),
        "",
        "house_rules:                 # days from one cooking of a dish to the next, and how far a batch may stretch",
        "  days_between: {main: 7, side: 3, breakfast: 2, lunch: 3, sweet: 7}",
        "  # fixed: {Fri: soup}       # a night that has its tag",
        "  # hands_on_minutes: {Mon-Fri: 60, Sat-Sun: 120}",
        "  stretch: 0.25",
        "",
        "places:                      # in the order you walk; the pull list follows it"
        if began.places
        else "places: []",
        *(f"  - {{code: {quoted(c)}, name: {quoted(n)}{f', kind: {k}' if k else ''}}}" for c, n, k in began.places),
    ]
    return "\n".join(lines) + "\n"


_ROLES: Mapping[MealName, str] = {"breakfast": "breakfast", "lunch": "lunch", "supper": "main, side"}


def _person(began: Began, person: Eater) -> str:
    born = f", born: {person.born}-07-01" if person.born else ""
    more = "".join(
        f", {key}: [{', '.join(map(quoted, said[person.name]))}]"
        for key, said in (("must_not", began.must_not), ("will_not", began.will_not))
        if person.name in said
    )
    half = "   # the year is known, and its middle stands for it" if born else ""
    return f"  - {{name: {quoted(person.name)}{born}, portion: {float(person.portion):g}{more}}}{half}"


def calendar_text(coming: Iterable[tuple[str, str, str]], first: date) -> str:
    """calendar.yaml. coming: (product, amount, weekdays)."""
    rows = [
        f"  - {{product: {quoted(product)}, amount: {quoted(amount)}, every: [{days}], from: {first}, "
        f"to: {first.replace(year=first.year + 2, day=min(first.day, 28))}}}"
        for product, amount, days in coming
    ]
    head = "# Guests, days away, feasts; and what comes in by itself. 'explain files' says more."
    example = "# - {day: 2026-02-02, name: Candlemas, guests: 4}"
    return "\n".join((head, "occasions: []", example, "coming_in:" if rows else "coming_in: []", *rows)) + "\n"


EXAMPLE_DISH = """# A dish of your own: save it with a name that ends in .yaml, and it is on the menus.
name: Beans on toast
role: lunch                # main, side, bread, fruit, sweet, breakfast, lunch
serves: 2
uses:
  - 1 pt Baked beans       # an amount, then the product as products.csv calls it; 'or' before another choice
minutes: 15
hands_on_minutes: 10
tags: [beans]
method:
  - Bring the beans to a full boil, and boil them some minutes.
  - Toast the bread, and spoon them over.
"""


_BARE = re.compile(r"[A-Za-zÀ-ÿ][\w À-ÿ.'’-]*")


def quoted(text: str, bare: re.Pattern[str] = _BARE) -> str:
    """A text as YAML takes it, in quotes where it would be read as something else.

    bare: what may stand without quotes where it stands; the usual is right within braces too.
    """
    plain = bare.fullmatch(text) and not text.endswith(" ") and re.search(r"[^\W\d_]", text)
    bad = fold(text) in ("yes", "no", "true", "false", "null", "on", "off")
    return text if plain and not bad else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
