"""Who sits at a meal on a day, what they must not eat, and what kind of day it is."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.records import WEEKDAYS, Dish, Household, Instead, MealName, Occasion, Person, Role, RulesDuring


def weekday_of(day: date) -> str:
    """'Mon' to 'Sun'."""
    return WEEKDAYS[day.weekday()]


def occasions_of(household: Household, day: date) -> list[Occasion]:
    """The occasions that fall on a day."""
    in_run = (o for o in household.occasions if o.first <= day <= o.last)
    return [o for o in in_run if not o.weekdays or weekday_of(day) in o.weekdays]


def rows_of(household: Household, day: date) -> list[RulesDuring]:
    """What the house rules say otherwise on a day of the year, the row that counts first."""
    on = day.strftime("%m%d")
    rows: list[RulesDuring] = []
    for row in household.rules.during:
        first, last = (f"{month:02}{number:02}" for month, number in (row.first, row.last))
        if (on >= first) + (on <= last) + (last < first) == 2:
            rows.insert(0, row)
    return rows


def minutes_of_hands(household: Household, day: date) -> int | None:
    """The most hands-on minutes of a day, where the house has said any."""
    said = [row.hands_on_minutes for row in rows_of(household, day)] + [household.rules.hands_on_minutes]
    return next((minutes[weekday_of(day)] for minutes in said if weekday_of(day) in minutes), None)


def longest_minutes(household: Household, day: date) -> int | None:
    """The most minutes of one dish of a day, where the house has said any."""
    said = [row.longest_minutes for row in rows_of(household, day)] + [household.rules.longest_minutes]
    return next((minutes[weekday_of(day)] for minutes in said if weekday_of(day) in minutes), None)


def is_feast(household: Household, meal: MealName, day: date) -> bool:
    """Whether a feast is held at that very meal."""
    return any(o.kind == "feast" and meal in o.meals for o in occasions_of(household, day))


def fixed_night(household: Household, meal: MealName, day: date) -> str | None:
    """The tag asked of a supper's main on a day; none elsewhere, at a feast, or where an occasion has a dish."""
    if meal != "supper" or is_feast(household, meal, day) or any(o.dish for o in occasions_of(household, day)):
        return None
    said = [row.fixed for row in rows_of(household, day)] + [household.rules.fixed]
    return next((tags[weekday_of(day)] for tags in said if weekday_of(day) in tags), "") or None


def kinds_of(household: Household, day: date) -> set[str]:
    """'feast', 'crew', both or neither."""
    return {str(o.kind) for o in occasions_of(household, day) if o.kind}


def who_eats(household: Household, meal: MealName, day: date) -> str:
    """'all', 'tins' (those who carry a lunch tin) or 'home' (those who do not).

    Where an occasion spares all of their tins, what would go out in them is eaten by all.
    """
    laid = next((m for m in household.meals if m.meal == meal), None)
    who = laid.eaters.get(weekday_of(day), "all") if laid else "all"
    usual = [p for p in _at_home(household, day) if weekday_of(day) in p.lunch_tin_days]
    return "all" if who == "tins" and usual and not any(_carries(household, p, day) for p in usual) else who


def _at_home(household: Household, day: date) -> list[Person]:
    away = {name for o in occasions_of(household, day) for name in o.away}
    return [p for p in household.people if p.name not in away]


def _carries(household: Household, person: Person, day: date) -> bool:
    """Whether someone takes a lunch tin that day."""
    spared = any(person.name in o.no_tins for o in occasions_of(household, day))
    return weekday_of(day) in person.lunch_tin_days and not spared


def eaters_of(household: Household, meal: MealName, day: date) -> list[Person]:
    """Those of the household who sit at that meal: its own eaters, less those who are away that day."""
    at_home = _at_home(household, day)
    who = who_eats(household, meal, day)
    if who == "tins":
        return [p for p in at_home if _carries(household, p, day)]
    if who == "home":
        return [p for p in at_home if not _carries(household, p, day)]
    return at_home


def portions_of(household: Household, meal: MealName, day: date) -> Fraction:
    """Portions at a meal: its eaters and the guests of occasions that name the meal."""
    own = sum((p.portion for p in eaters_of(household, meal, day)), Fraction(0))
    guests = (o.guests for o in occasions_of(household, day) if meal in o.meals)
    return own + sum(guests, Fraction(0))


def roles_of(household: Household, meal: MealName, day: date) -> list[Role]:
    """The roles to fill at a meal; none where nobody eats."""
    if portions_of(household, meal, day) <= 0:
        return []
    laid = next((m for m in household.meals if m.meal == meal), None)
    if laid and meal == "supper" and is_feast(household, meal, day):
        wanted: list[Role] = ["main", "side", "sweet"]
        return [role for role in wanted if any(role in roles for roles in laid.roles.values())]
    return list(laid.roles.get(weekday_of(day), ())) if laid else []


def under_one(person: Person, day: date) -> bool:
    """Under twelve months on that day; one born on 29 February has the first birthday on 1 March."""
    if person.born is None:
        return False
    leap_day = (person.born.month, person.born.day) == (2, 29)
    month, number = (3, 1) if leap_day else (person.born.month, person.born.day)
    return day < date(person.born.year + 1, month, number)


def marks_against(person: Person, day: date) -> set[str]:
    """Marks this person must not have that day, in small letters.

    Honey before the first birthday is one of them: CDC, American Academy of Pediatrics and NHS
    advise none before twelve months.
    """
    marks = {m.casefold() for m in person.must_not}
    return marks | {"honey"} if under_one(person, day) else marks


def is_for(note: Instead, person: Person, day: date) -> bool:
    """Whether a noted alternative is for this person: by name, by mark, as low salt, or as the baby."""
    whom = note.whom.casefold()
    marks = marks_against(person, day)
    return (
        whom == person.name.casefold()
        or whom in marks
        or (whom == "low salt" and "salty" in marks)
        or (whom == "baby" and under_one(person, day))
    )


def helps_against(note: Instead, person: Person, mark: str, day: date) -> bool:
    """Whether a noted alternative lets this person sit by although the dish has that mark."""
    whom = note.whom.casefold()
    return (
        whom in (person.name.casefold(), mark)
        or (whom == "low salt" and mark == "salty")
        or (whom == "baby" and under_one(person, day))
    )


def barring_marks(household: Household, dish: Dish, meal: MealName, day: date) -> dict[str, str]:
    """Marks that bar food from a dish at that meal, each with the name of one whom it bars.

    Those for whom the dish has a noted alternative bar nothing.
    """
    barred: dict[str, str] = {}
    for person in eaters_of(household, meal, day):
        for mark in marks_against(person, day):
            if not any(helps_against(note, person, mark, day) for note in dish.instead):
                barred.setdefault(mark, person.name)
    return barred
