"""Reads calendar.yaml: guests, days away, feasts and crews, and what comes in on which day."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path
from typing import Literal, get_args

from msgspec import Struct, field

from pantrymeals.errors import Place
from pantrymeals.files import values
from pantrymeals.files.amounts import KnownProducts, amount_of
from pantrymeals.files.gathering import Gathering, Wrong, fold, shown
from pantrymeals.files.yaml_fields import Fields
from pantrymeals.files.yaml_nodes import Node, read_yaml
from pantrymeals.records import LAST_DAY, MEALS, WEEKDAYS, Arrival, MealName, Occasion, Product

FILE = "calendar.yaml"
OCCASION = (
    "day", "every", "from", "to", "weekdays", "name", "guests", "meals", "away", "no_tins", "kind", "dish", "note",
)  # fmt: skip
COMING_IN = ("product", "amount", "day", "every", "from", "to", "note")
OccasionKind = Literal["", "feast", "crew"]
EVERYONE = "all"
"""Written under ``no_tins`` of a day on which nobody carries one."""
KINDS: tuple[OccasionKind, ...] = get_args(OccasionKind)
USUAL_REACH_DAYS = 400
FARTHEST_DAYS = 1100
"""Three years: no plan reaches farther, and a slip in a year should not fill the memory."""


class CalendarSheet(Struct, frozen=True):
    """What calendar.yaml says; spots: (what, text) -> where it stands, what is 'away' or 'dish'.

    there: of each product with ``fresh_days``, the days on which it is there, from the year before on.
    """

    occasions: tuple[Occasion, ...] = ()
    arrivals: tuple[Arrival, ...] = ()
    there: Mapping[str, frozenset[date]] = field(default_factory=dict)
    spots: Mapping[tuple[str, str], Place] = field(default_factory=dict)


class _When(Struct, frozen=True):
    """A run of days: every ``step`` days from the first, or on the weekdays where any are named."""

    first: date
    last: date
    step: int = 1
    weekdays: frozenset[str] = frozenset()


def read_calendar(
    path: Path, known: KnownProducts, today: date, gathering: Gathering, last: date = LAST_DAY
) -> CalendarSheet:
    """The occasions, and every arrival from ``today`` on, up to the last day asked for.

    What came in before today is in the count already. A line without 'to' goes on for 400 days; one whose days are
    of every year (07-15) speaks of the year before, this one and those that are planned for.
    """
    top = Fields(read_yaml(path, FILE, gathering), ("occasions", "coming_in"), "the calendar", gathering)
    spots: dict[tuple[str, str], Place] = {}
    occasions = tuple(o for n in top.many("occasions") for o in _occasions(n, today, spots, gathering))
    came = [a for n in top.many("coming_in") for a in _arrivals(n, known, today, last, gathering)]
    came.sort(key=lambda a: (a.day, a.place.line, a.place.column))
    return CalendarSheet(occasions, tuple(a for a in came if a.day >= today), _there(came, known), spots)


def _there(came: Iterable[Arrival], known: KnownProducts) -> dict[str, frozenset[date]]:
    """By fresh product, the days on which it is there: the one it comes on, and those that it is good."""
    there: dict[str, set[date]] = {}
    for arrival in came:
        good = known.by_name[arrival.product].fresh_days
        there.setdefault(arrival.product, set()).update(arrival.day + timedelta(days=d) for d in range(good or 0))
    return {name: frozenset(days) for name, days in there.items() if days}


def _occasions(
    node: Node, today: date, spots: dict[tuple[str, str], Place], gathering: Gathering
) -> Iterator[Occasion]:
    fields = Fields(node, OCCASION, "an occasion", gathering)
    fields.need("name")
    runs = _when(fields, today)
    if any(when.step != 1 for when in runs):
        fields.say("every", "an occasion is on days of the week", "write every: Sun or every: [Mon, Wed]")
    days = frozenset(d for found in fields.read_many("weekdays", values.weekdays) for d in found)
    meals: tuple[MealName, ...] = fields.read_many("meals", values.one_of(MEALS))
    usual: OccasionKind = ""
    guests = fields.read("guests", values.zero_or_more, Fraction(0))
    kind = fields.read("kind", values.one_of(KINDS), usual)
    for text in (*fields.texts("away"), *(t for t in fields.texts("no_tins") if fold(t.text) != EVERYONE)):
        spots.setdefault(("away", fold(text.text)), text.place)
    if fields.text("dish"):
        spots.setdefault(("dish", fold(fields.text("dish"))), fields.place_of("dish"))
    for when in runs:
        yield Occasion(
            first=when.first,
            last=when.last,
            name=fields.text("name"),
            guests=guests,
            meals=meals or ("supper",),
            away=frozenset(t.text for t in fields.texts("away")),
            no_tins=frozenset(t.text for t in fields.texts("no_tins")),
            kind=kind,
            dish=fields.text("dish"),
            weekdays=when.weekdays | days,
            place=fields.place,
        )


def _arrivals(node: Node, known: KnownProducts, today: date, last: date, gathering: Gathering) -> Iterator[Arrival]:
    fields = Fields(node, COMING_IN, "a line of what comes in", gathering)
    filled = fields.need("product", "amount")
    runs = _when(fields, today)
    if not filled:
        return
    name = fields.text("product")
    product = known.find_or_say(name, lambda wrong, right: fields.say("product", wrong, right), gathering)
    if product is None:
        return
    amount = _amount(fields, product)
    if amount is None:
        return
    since = today if product.fresh_days is None else today - timedelta(days=USUAL_REACH_DAYS)
    for day in (d for when in runs for d in _days(when, since, min(last, today + timedelta(days=FARTHEST_DAYS)))):
        yield Arrival(product.name, amount, day, fields.text("note"), fields.place)


def _amount(fields: Fields, product: Product) -> Fraction | None:
    return fields.read("amount", lambda text: amount_of(product, text), None)


def _when(fields: Fields, today: date) -> tuple[_When, ...]:
    """The days a line speaks of, a run for each year where they are of every year; none when a mistake was written."""
    if any(values.is_yearly(fields.text(key)) for key in ("day", "from", "to")):
        return _every_year(fields, today)
    before = len(fields.gathering)
    day = fields.read("day", values.day, None)
    step, weekdays = _every(fields)
    usual_last = today + timedelta(days=USUAL_REACH_DAYS)
    first = fields.read("from", values.day, None)
    last = fields.read("to", values.day, None)
    if fields.has("day"):
        for other in ("every", "from", "to"):
            if fields.has(other):
                fields.say(other, f"this line has both 'day' and '{other}'", "keep one")
    elif not fields.has("every") and not (fields.has("from") and fields.has("to")):
        fields.say("day", "this line says no day", "write day: 2026-04-05, every: Sun, or from and to")
    if first and last and last < first:
        fields.say("to", f"{last} comes before {first}", "let 'to' be the later day")
    if len(fields.gathering) > before:
        return ()
    if day is not None:
        return (_When(day, day),)
    first = first or today
    return (_When(first, last or max(first, usual_last), step, weekdays),)


def _every_year(fields: Fields, today: date) -> tuple[_When, ...]:
    """The runs of a line whose days are of every year: 07-15 to 09-20, 12-20 to 01-06, or 12-25 alone."""
    before = len(fields.gathering)
    step, weekdays = _every(fields)
    keys = ("day",) if fields.has("day") else ("from", "to")
    for other in ("every", "from", "to") if fields.has("day") else ():
        if fields.has(other):
            fields.say(other, f"this line has both 'day' and '{other}'", "keep one")
    days = [fields.read(key, values.yearly_day, None) for key in keys if fields.need(key)]
    if len(fields.gathering) > before or None in days:
        return ()
    (first, last) = (days[0], days[-1])
    assert first is not None
    assert last is not None
    years = range(today.year - 1, today.year + FARTHEST_DAYS // 365 + 1)
    return tuple(_When(in_year(first, year), in_year(last, year + (last < first)), step, weekdays) for year in years)


def in_year(day: tuple[int, int], year: int) -> date:
    """A (month, day) of a year; 29 February is the 28th in plain years."""
    month, number = day
    return date(year, month, min(number, 28) if month == 2 and not isleap(year) else number)


def _every(fields: Fields) -> tuple[int, frozenset[str]]:
    """(days from one time to the next, weekdays): every: Sun, [Mon, Wed], week or 4 days."""
    step, weekdays = 1, frozenset[str]()
    for text in fields.texts("every"):
        try:
            if fold(text.text).split(" ")[-1] in ("day", "days", "week", "weeks"):
                step = values.days_between(text.text)
            else:
                weekdays |= frozenset(values.weekdays(text.text))
        except Wrong:
            right = "write every: Sun, [Mon, Wed], week, or a number such as 4 days"
            fields.gathering.say(text.place, f"{shown(text.text)} does not say how often", right)
    return step, weekdays


def _days(when: _When, since: date, until: date) -> Iterator[date]:
    """The days of a run from ``since`` until another, both counted."""
    last = min(when.last, until)
    missed = max(0, (since - when.first).days)
    day = when.first + timedelta(days=-(-missed // when.step) * when.step)
    while day <= last:
        if not when.weekdays or WEEKDAYS[day.weekday()] in when.weekdays:
            yield day
        day += timedelta(days=when.step)
