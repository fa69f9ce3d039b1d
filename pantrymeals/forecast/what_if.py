"""What if: a freezer lost, a crop lost, a place flooded, more at table, a product banned, a late crop."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import numpy as np
from msgspec import Struct, field
from msgspec.structs import replace
from numpy.typing import NDArray

from pantrymeals.errors import PantryError
from pantrymeals.forecast.forecast import WEEKS_AHEAD
from pantrymeals.forecast.freezer_off import freezers_named, is_in
from pantrymeals.forecast.shelf import belongs_to_next_crop
from pantrymeals.records import MEALS, Arrival, Household, Occasion, Person
from pantrymeals.words import MONTHS, NUMBERS, month_name

FORMS = (
    "freezer F2 lost",
    "crop Green beans lost",
    "place C-bins flooded",
    "two more at table",
    "guest month",
    "banned Walnuts",
    "new crop 3 weeks late",
)
"""One of each, as a household would say it."""
GUESTS_IN_A_GUEST_MONTH = 4
_GUEST_DAYS = 28


class Changed(Struct, frozen=True):
    """A household under what-ifs: its records changed, and what no record can say.

    factor: [104 weeks] more at table than usual. banned: products and dishes left out. said: in words.
    """

    household: Household
    factor: NDArray[np.float64] = field(default_factory=lambda: np.ones(WEEKS_AHEAD))
    banned: frozenset[str] = frozenset()
    said: tuple[str, ...] = ()


def apply_all(household: Household, wishes: Sequence[str]) -> Changed:
    """All what-ifs together, in the order given. Raises PantryError for one that is not understood."""
    changed = Changed(household)
    for text in wishes:
        changed = _apply(changed, text)
    return changed


def _apply(changed: Changed, text: str) -> Changed:
    plain = " ".join(text.split())
    for pattern, act in _KINDS:
        found = re.fullmatch(pattern, plain, re.IGNORECASE)
        if found:
            return act(changed, found)
    raise PantryError(f"'{text}' is no what-if we know; say it as one of: {'; '.join(FORMS)}")


def _say(changed: Changed, words: str, **records: Any) -> Changed:
    """With those records of the household in the place of its own."""
    return replace(changed, household=replace(changed.household, **records), said=(*changed.said, words))


def _freezer_lost(changed: Changed, found: re.Match[str]) -> Changed:
    """All that lies in a freezer is lost today."""
    places = freezers_named(changed.household, [found["where"]])
    return _empty(changed, {p.code for p in places}, f"everything in {places[0].code}, {places[0].name}, is lost")


def _place_lost(changed: Changed, found: re.Match[str]) -> Changed:
    """All that lies in a place is lost today; 'C-bins' is every place whose code begins so."""
    asked = found["where"].lower()
    begins = asked.rstrip("s")
    codes = {
        p.code
        for p in changed.household.places
        if p.code.lower() == asked or p.name.lower() == asked or p.code.lower().startswith(begins)
    }
    if not codes:
        known = ", ".join(p.code for p in changed.household.places)
        raise PantryError(f"'{found['where']}' is no place of this household; its places are {known}")
    return _empty(changed, codes, f"{', '.join(sorted(codes))}: {found['how'].lower()}, and all in it lost")


def _empty(changed: Changed, codes: set[str], words: str) -> Changed:
    home = changed.household
    lots = tuple(lot for lot in home.lots if not is_in(lot.where, codes))
    parts = tuple(jar for jar in home.part_jars if not is_in(jar.where, codes))
    return _say(changed, words, lots=lots, part_jars=parts)


def _crop_lost(changed: Changed, found: re.Match[str]) -> Changed:
    """The next crop does not come: it must last a year longer, and nothing new arrives till then."""
    home = changed.household
    names = _products_called(home, found["what"])
    products = dict(home.products)
    for name in names:
        due = products[name].must_last_to
        if due is not None:
            products[name] = replace(products[name], must_last_to=due + timedelta(days=365))
    arrivals = tuple(a for a in home.arrivals if a.product not in names or not _is_crop(home, a))
    return _say(changed, f"no new crop of {', '.join(sorted(names))}", products=products, arrivals=arrivals)


def _is_crop(home: Household, arrival: Arrival) -> bool:
    """Whether what arrives is the new crop, or a part of the season that it opens."""
    of_crop = home.products[arrival.product].deadline_kind == "new crop"
    return of_crop and belongs_to_next_crop(home, arrival.product, arrival.day)


def _crop_late(changed: Changed, found: re.Match[str]) -> Changed:
    """The new crop (of all, or of one product or family) comes so many weeks late."""
    home = changed.household
    weeks = _number(found["weeks"])
    late = timedelta(weeks=weeks)
    names = _products_called(home, found["what"]) if found["what"] else set(home.products)
    products = dict(home.products)
    for name in names:
        product = products[name]
        if product.deadline_kind == "new crop" and product.must_last_to is not None:
            products[name] = replace(product, must_last_to=product.must_last_to + late)
    arrivals = tuple(
        replace(a, day=a.day + late) if a.product in names and _is_crop(home, a) else a for a in home.arrivals
    )
    of = f" of {found['what']}" if found["what"] else ""
    return _say(changed, f"the new crop{of} comes {weeks} weeks late", products=products, arrivals=arrivals)


def _more_at_table(changed: Changed, found: re.Match[str]) -> Changed:
    """So many more grown people at every meal from today on."""
    count = _number(found["count"])
    home = changed.household
    more = tuple(Person(f"guest {n}", None, Fraction(1)) for n in range(1, count + 1))
    changed = replace(changed, factor=changed.factor * _table_factor(home, count))
    return _say(changed, f"{count} more at table, for good", people=(*home.people, *more))


def _guest_month(changed: Changed, found: re.Match[str]) -> Changed:
    """Guests at every meal for four weeks, from today or from the first of a month."""
    home = changed.household
    count = _number(found["count"]) if found["count"] else GUESTS_IN_A_GUEST_MONTH
    first = _first_of(found["month"], home.today) if found["month"] else home.today
    last = first + timedelta(days=_GUEST_DAYS - 1)
    visit = Occasion(first, last, "guest month", Fraction(count), MEALS)
    factor = changed.factor.copy()
    week = (first - home.today).days // 7
    factor[week : week + _GUEST_DAYS // 7] *= _table_factor(home, count)
    said = f"{count} guests at every meal for four weeks from {first.day} {month_name(first)}"
    return _say(replace(changed, factor=factor), said, occasions=(*home.occasions, visit))


def _table_factor(home: Household, more: int) -> float:
    portions = float(sum((p.portion for p in home.people), Fraction(0))) or 1.0
    return (portions + more) / portions


def _first_of(month: str, today: date) -> date:
    number = next(i for i, name in enumerate(MONTHS, 1) if name.lower().startswith(month.lower()[:3]))
    return date(today.year + (number < today.month), number, 1) if number != today.month else today


def _banned(changed: Changed, found: re.Match[str]) -> Changed:
    """A product, a family, a dish, or everything with a mark is not to be eaten."""
    home, asked = changed.household, found["what"]
    dishes = {d for d in home.dishes if d.lower() == asked.lower()}
    marked = {n for n, p in home.products.items() if asked.lower() in {c.lower() for c in p.contents}}
    names = dishes | marked or _products_called(home, asked)
    changed = replace(changed, banned=changed.banned | names)
    return _say(changed, f"not to be eaten: {', '.join(sorted(names))}")


def _products_called(home: Household, text: str) -> set[str]:
    """Products of that name, other name or family; raises PantryError when there is none."""
    asked = text.lower()
    exact = {n for n, p in home.products.items() if asked in {n.lower(), *(a.lower() for a in p.also_called)}}
    names = exact or {n for n, p in home.products.items() if asked in (p.family.lower(), p.family.lower() + "s")}
    names = names or {n for n in home.products if n.lower().startswith(asked.rstrip("s"))}
    if not names:
        raise PantryError(f"'{text}' is no product or family of this household")
    return names


def _number(text: str) -> int:
    if not text.isdigit():
        return NUMBERS.index(text.lower())
    if len(text) > 3:
        raise PantryError(f"a number of {len(text)} digits is more than this can reckon with; write one up to 999")
    return int(text)


_COUNT = rf"(?P<count>\d+|{'|'.join(NUMBERS[1:])})"
_WEEKS = rf"(?P<weeks>\d+|{'|'.join(NUMBERS[1:])})"
_MONTH = rf"(?P<month>{'|'.join(m[:3] + '[a-z]*' for m in MONTHS)})"
_KINDS: tuple[tuple[str, Callable[[Changed, re.Match[str]], Changed]], ...] = (
    (r"freezer (?P<where>.+) (?:is )?(?:lost|off|broken)", _freezer_lost),
    (r"place (?P<where>.+) (?:is )?(?P<how>flooded|frosted|lost)", _place_lost),
    (r"crop (?:of )?(?P<what>.+) (?:is )?(?:lost|failed)", _crop_lost),
    (rf"new crop(?: of (?P<what>.+))? {_WEEKS} weeks? late", _crop_late),
    (rf"{_COUNT} more at (?:the )?table", _more_at_table),
    (rf"guest month(?: of {_COUNT})?(?: (?:in|from) {_MONTH})?", _guest_month),
    (r"(?:banned|ban) (?P<what>.+)", _banned),
    (r"(?P<what>.+) banned", _banned),
)
