"""Three households with a book each, written as Python: a couple with pints, a metric one, and one of many years."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.actions.with_book import Larder
from pantrymeals.records import Household, Movement, Reason
from pantrymeals.season_facts import Harvest, SeasonFacts, WrittenYear
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, loose, lot, qty, standing


def weekly(product: str, size: str, count: str, first: date, reason: Reason = "eaten") -> Iterator[Movement]:
    """So many each week from a day up to the day before today."""
    day = first
    while day < MONDAY:
        yield Movement(day, product, size, -Fraction(count), reason)
        day += timedelta(weeks=1)


def put_up(product: str, size: str, count: int, day: date, reason: Reason = "put up") -> Movement:
    return Movement(day, product, size, Fraction(count), reason)


def with_crops(home: Household, *years: WrittenYear) -> Household:
    """The household with a harvest for each product that a new crop follows, from the day it must last to."""
    days = {n: p.must_last_to for n, p in home.products.items() if p.deadline_kind == "new crop" and p.must_last_to}
    crops = tuple(Harvest(n, (d.month, d.day), (d.month, 28), (n,)) for n, d in days.items())
    return replace(home, season=SeasonFacts(harvests=crops, years=years))


def couple() -> Larder:
    """Two people, pints, and a book of three weeks."""
    begun = MONDAY - timedelta(weeks=3)
    home = kitchen(
        name="Couple",
        products=[
            jar("Beans", sizes=["pt"], must_last_to=date(2026, 8, 1), deadline_kind="new crop", opened_days=4),
            jar("Plum jam", sizes=["hp", "pt"], must_last_to=date(2026, 9, 1), deadline_kind="new crop"),
            loose("Carrots", must_last_to=date(2026, 1, 20), deadline_kind="keeps to"),
        ],
        lots=[lot("Beans", 10, "pt"), lot("Plum jam", 6, "hp", put_up=date(2023, 9, 1)), lot("Carrots", 8, "lb")],
        dishes=[dish("Bean soup", ["1 pt Beans"]), dish("Carrot stew", ["1 lb Carrots"])],
        standing=(standing("Plum jam", "1/4 hp"),),
    )
    book = [put_up(p, s, n, begun, "counted") for p, s, n in (("Beans", "pt", 13), ("Plum jam", "hp", 6))]
    bought = WrittenYear("Beans", 2024, Fraction(0), Fraction(21), Fraction(0), Fraction(8))
    return Larder(with_crops(home, bought), (*book, *weekly("Beans", "pt", "1", begun + timedelta(days=1))))


def metric() -> Larder:
    """Litres and kilos in a southern kitchen, and a book of twenty weeks."""
    begun = MONDAY - timedelta(weeks=20)
    home = kitchen(
        name="Metric",
        products=[
            jar("Passata", sizes=["l"], must_last_to=date(2026, 7, 10), deadline_kind="new crop", reserve=qty("2 l")),
            loose("Oil", "l", kind="dry", must_last_to=date(2026, 11, 20), deadline_kind="order"),
            loose("Lemons", "kg", must_last_to=date(2026, 4, 1), deadline_kind="keeps to"),
            jar("Quince cheese", sizes=["hp"]),
        ],
        lots=[lot("Passata", 30, "l"), lot("Oil", 25, "l"), lot("Lemons", 9, "kg"), lot("Quince cheese", 5, "hp")],
        dishes=[dish("Pasta", ["1 l Passata", "1/20 l Oil"]), dish("Lemon rice", ["1/4 kg Lemons"])],
        standing=(standing("Oil", "1/2 l"),),
    )
    counted = [("Passata", "l", 50), ("Oil", "l", 35), ("Lemons", "kg", 14), ("Quince cheese", "hp", 5)]
    book = [put_up(p, s, n, begun, "counted") for p, s, n in counted]
    later = begun + timedelta(days=2)
    passata, oil = weekly("Passata", "l", "1", later), weekly("Oil", "l", "1/2", later)
    return Larder(with_crops(home), (*book, *passata, *oil, *weekly("Lemons", "kg", "1/4", later)))


def long_book() -> Larder:
    """Three years of the book: a favourite, a glut, a sitter, a cellar whose count finds some missing."""
    home = kitchen(
        name="Long",
        products=[
            jar("Tomatoes", must_last_to=date(2026, 8, 20), deadline_kind="new crop"),
            jar("Relish", must_last_to=date(2026, 9, 1), deadline_kind="new crop"),
            jar("Pear butter", must_last_to=date(2026, 9, 12), deadline_kind="new crop"),
            loose("Onions", must_last_to=date(2026, 5, 1), deadline_kind="keeps to"),
            jar("Gift jelly", on_menus=False),
        ],
        lots=[
            lot("Tomatoes", 9),
            lot("Relish", 30),
            lot("Pear butter", 9, put_up=date(2022, 9, 1)),
            lot("Pear butter", 2, state="held"),
            lot("Onions", 26, "lb"),
            lot("Gift jelly", 2),
        ],
        dishes=[dish("Stew", ["1 qt Tomatoes", "1/2 lb Onions"]), dish("Plate", ["1 qt Relish"], role="side")],
    )
    book = [put_up("Pear butter", "qt", 11, date(2023, 5, 1), "counted")]
    for year in (2023, 2024, 2025):
        book += [put_up("Tomatoes", "qt", 44, date(year, 8, 22)), put_up("Relish", "qt", 18, date(year, 9, 1))]
    for month in range(24):
        day = date(2023 + (8 + month) // 12, (8 + month) % 12 + 1, 15)
        book.append(Movement(day, "Relish", "qt", Fraction(-1), "eaten"))
    book += [put_up("Onions", "lb", 70, date(2025, 8, 25)), Movement(MONDAY, "Onions", "lb", Fraction(-6), "counted")]
    tomatoes = weekly("Tomatoes", "qt", "1", date(2023, 8, 29))
    return Larder(with_crops(home), (*book, *tomatoes, *weekly("Onions", "lb", "2", date(2025, 8, 30))))


HOUSES = {"couple": couple, "metric": metric, "long": long_book}


def household_of(name: str) -> Household:
    """The household alone."""
    return HOUSES[name]().household
