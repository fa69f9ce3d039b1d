"""The sheet that hangs on the door: what it says of days, evenings, the trip, what pinches; and in how few lines."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.actions.menu import lay_out
from pantrymeals.cautions import BACK_TO_THE_FREEZER, BOIL_BEANS, CAUTIONS, HEAT_FIRST, grave, in_few_words
from pantrymeals.larder.taking import with_lots
from pantrymeals.plans.menu import Opening
from pantrymeals.plans.trip import TripRow
from pantrymeals.pull.trip import trip
from pantrymeals.records import Arrival, Size
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.one_sheet import pinch_words, taken_words, trip_words, write_sheet
from pantrymeals.reports.terminal.paper import Paper
from tests.kitchens.tiny import cooked, day, dish, kitchen, loose, lot, meal_roles, menu, person, qty, supper
from tests.kitchens.tiny import jar as a_jar
from tests.unit.reports.sheets import at, row, small_sheet


def written(sheet: MenuSheet) -> str:
    paper = Paper()
    write_sheet(paper, sheet)
    return paper.text()


def test_each_day_has_its_dishes_for_whom_they_are_and_no_reason() -> None:
    text = written(small_sheet())
    assert "Mon 5   supper    Bean soup\n" in text
    assert "Tue 6   supper    Carrot stew, made double (for Ann: raw sticks)\n" in text
    assert "Main LEFT OPEN" in text
    assert "from 1 qt Beans" not in text
    assert "8 qt of beans to get through" not in text


def test_what_comes_out_of_the_freezer_stands_under_its_day_and_not_in_the_trip() -> None:
    text = written(small_sheet())
    assert "lift out  1 Joint (F) for Thu 8" in text  # two days ahead
    assert "do ahead  Soak the beans (Bean soup)" in text  # the next day
    assert "Joint" not in text[text.index("THE PULL LIST") : text.index("WHAT PINCHES")]


_heads = replace(loose("Cabbage", "each"), sizes=(Size("head", Fraction(1)),))


def _larder(**more: object) -> MenuSheet:
    """Two suppers of one stew from two lots of jars, a bin, and milk of which half is not there yet."""
    household = kitchen(
        products=[a_jar("Beans"), loose("Carrots"), _heads, loose("Milk", "qt")],
        lots=[
            lot("Beans", 1, where="P"),
            lot("Beans", 5, where="P"),
            lot("Carrots", 40, "lb", where="C"),
            lot("Cabbage", 3, "head", where="C"),
            lot("Milk", 1, "qt", where="K"),
        ],
        arrivals=[Arrival("Milk", qty("1 qt"), day(1))],
        dishes=[dish("Stew", ["1 qt Beans", "1.47 lb Carrots", "7/16 each Cabbage", "1 qt Milk"], days_between=1)],
        **more,
    )
    plan = menu(
        household,
        [supper(day(0), cooked(household, "Stew")), supper(day(1), cooked(household, "Stew"))],
        openings=[Opening(day(n), "Beans", "qt", 1, uses=((day(n), qty("1 qt")),)) for n in (0, 1)],
    )
    return lay_out(household, with_lots(household, plan))


def test_the_trip_has_one_line_for_a_product_at_a_place_and_what_is_not_milked_stands_apart() -> None:
    sheet = _larder()
    assert [(r.where, r.product) for r in sheet.trip.rows] == [
        ("K", "Milk"), ("P", "Beans"), ("C", "Cabbage"), ("C", "Carrots"),
    ]  # fmt: skip
    by_product = {r.product: r.takes for r in sheet.trip.rows}
    assert by_product["Beans"] == (("qt", Fraction(2)),)
    assert by_product["Milk"] == (("qt", Fraction(1)),)
    (milk,) = sheet.trip.to_come
    assert (milk.product, milk.count, milk.days) == ("Milk", 1, (day(1),))
    text = written(sheet)
    assert text[text.index("THE PULL LIST") :].count("Beans") == 1
    assert "Not there yet, as it comes in: 1 qt Milk (Tue 6)." in text


def test_amounts_are_what_a_hand_takes_and_rounding_is_said() -> None:
    text = written(_larder())
    assert "[ ] about 3 lb Carrots" in text
    assert "2.94" not in text
    assert "[ ] 1 head Cabbage (1/8 goes back)" in text


@pytest.mark.parametrize(
    ("count", "size", "said"),
    [
        (Fraction(59, 20), "lb", "about 3 lb X"),
        (Fraction(3), "lb", "3 lb X"),
        (Fraction(11, 4), "lb", "2 3/4 lb X"),
        (Fraction(71, 10), "lb", "about 7 1/2 lb X"),
        (Fraction(101, 10), "lb", "about 11 lb X"),
        (Fraction(17, 100), "head", "1 head X (about 5/6 goes back)"),
        (Fraction(2), "head", "2 heads X"),
        (Fraction(15, 4), "each", "about 4 X"),
        (Fraction(3, 10), "lb", "about 5 oz X"),
        (Fraction(301), "g", "about 310 g X"),
        (Fraction(23, 20), "kg", "about 1.2 kg X"),
    ],
)
def test_a_hand_is_never_sent_for_less_than_the_plan_takes(count: Fraction, size: str, said: str) -> None:
    assert taken_words(count, size, "X") == said


def test_two_sizes_and_two_labels_of_one_product_share_a_line() -> None:
    both = TripRow("P", "Beans", True, (("qt", Fraction(2)), ("pt", Fraction(1))), ("2023", "4 Aug 2025"))
    assert trip_words(both) == "2 qt and 1 pt Beans, 2023, then 4 Aug 2025"


def test_one_basket_is_for_seven_days() -> None:
    sheet = small_sheet(days=9)
    lines = tuple(replace(line, needed=day(n)) for n, line in zip((6, 7), sheet.pull.lines, strict=False))
    parts = tuple(replace(line, kind="part jar") for line in lines)
    found = trip(sheet.household, sheet.plan, replace(sheet.pull, lines=parts))
    assert found.last == day(6)
    assert [line.needed for line in found.open_already] == [day(6)]
    text = written(replace(sheet, trip=found))
    assert "For the days to Sunday 11 January" in text


def test_what_pinches_most_is_what_bites_soonest_and_the_rest_is_counted() -> None:
    rows = [row(f"p{n}", 3.0, "qt", at(1.0, day(n), "short", ""), day(200)) for n in (40, 10, 30, 20, 60, 50)]
    rows.append(replace(row("keeper", 9.0, "lb", at(1.0, day(99), "eat first", ""), day(0)), eat_by=day(5),
                        must_last_to=None))  # fmt: skip
    rows.append(row("gone", 0.0, "lb", at(1.0, day(1), "short", ""), day(90)))
    rows.append(row("glut", 9.0, "lb", at(1.0, None, "glut", ""), day(3)))
    sheet = small_sheet()
    text = written(replace(sheet, forecast=replace(sheet.forecast, rows=tuple(rows))))
    told = text[text.index("WHAT PINCHES") : text.index("HOW GOOD")].splitlines()
    assert told[0] == "WHAT PINCHES MOST, FIVE OF 8 (--FULL HAS ALL)"
    assert [line.split(",")[0] for line in told[1:6]] == ["keeper", "p10", "p20", "p30", "p40"]


def test_a_pinch_says_its_day_what_is_left_and_what_is_past() -> None:
    short = row("Coffee", 3.0, "lb", at(0.5, day(20), "short", ""), day(99))
    assert pinch_words(short, day(0)) == "3 lb: the last about 25 Jan; must last to 14 Apr."
    gone = replace(short, on_hand=0.0)
    assert pinch_words(gone, day(0)) == "none left."
    assert pinch_words(replace(gone, part=0.5), day(0)).startswith("0 lb: the last about")
    assert pinch_words(replace(short, reserve=3.0), day(0)) == "3 lb: all of it set back."
    keeps = replace(row("Squash", 9.0, "each", at(1.0, None, "eat first", ""), day(0)), must_last_to=None)
    left = replace(keeps.as_planned, left=6.8)
    assert pinch_words(replace(keeps, eat_by=day(9), as_planned=left), day(0)) == (
        "9: eat by 14 Jan; about 7 would be left."
    )
    assert (
        pinch_words(replace(keeps, eat_by=day(-3)), day(0)) == "9: was to be gone by 2 Jan; go over what is left of it."
    )


def test_whose_a_meal_is_stands_before_it_where_it_is_not_everybodys() -> None:
    people = [person("Ann", lunch_tin_days=frozenset({"Mon"})), person("Ben"), person("Cy")]
    lunches = [
        kitchen(dishes=[dish("Bread", role="lunch")], people=people, meals=[meal_roles("lunch", ["lunch"], eaters)])
        for eaters in ("tins", "home", "all")
    ]
    said = [
        written(lay_out(home, menu(home, [supper(day(0), cooked(home, "Bread"), meal="lunch")]))) for home in lunches
    ]
    assert "lunch     One tin: Bread\n" in said[0]
    assert "On tin days no lunch is planned for Ben and Cy;" in " ".join(said[0].split())
    assert not any("tin days" in text for text in said[1:])
    own = replace(lunches[0], meals=(replace(lunches[0].meals[0], see_to_themselves=True),))
    plan = menu(own, [supper(day(0), cooked(own, "Bread"), meal="lunch")])
    assert "On tin days Ben and Cy see to their own lunch." in written(lay_out(own, plan))
    assert "lunch     For Ben and Cy: Bread\n" in said[1]
    assert "lunch     Bread\n" in said[2]
    assert "3 at table where nothing else is said" in said[2]


def test_what_can_hurt_is_kept_and_what_is_so_of_every_jar_is_left_to_the_full_list() -> None:
    assert grave(HEAT_FIRST.words)
    assert grave(BOIL_BEANS.words)
    assert grave(CAUTIONS["C19"].words)
    for number in ("C11", "C17", "C28"):
        assert not grave(CAUTIONS[number].words)
    assert not grave(CAUTIONS["C15"].words.removesuffix(".") + "; the last day stands beside each line.")
    assert not grave(BACK_TO_THE_FREEZER)
    assert in_few_words(CAUTIONS["C19"].words) == CAUTIONS["C19"].short
    assert in_few_words(CAUTIONS["C12"].words) == CAUTIONS["C12"].words  # never shortened


def test_an_evening_before_the_menu_begins_stands_first() -> None:
    sheet = small_sheet()
    early = replace(sheet.pull.lines[0], fetch=day(-1), needed=day(1))
    text = written(replace(sheet, pull=replace(sheet.pull, lines=(early,))))
    assert text.index("Sun 4   lift out  1 Joint (F) for Tue 6") < text.index("Mon 5 ")


def test_days_without_a_meal_say_so() -> None:
    sheet = small_sheet(days=5)
    assert "Fri 9             Nothing to cook" in written(sheet)
    assert date(2026, 1, 9) == day(0) + timedelta(days=4)


def test_a_sheet_that_would_be_too_long_names_places_by_their_codes() -> None:
    """Ninety jars on one shelf: two boxes find room on a line with its code, one beside its name."""
    sheet = small_sheet()
    shelf = replace(sheet.household.places[1], name="the long shelf behind the door")
    home = replace(sheet.household, places=(shelf,))
    rows = tuple(TripRow("P", f"Product {n}", True, (("qt", Fraction(1)),), ("4 Aug 2025",)) for n in range(90))
    long = replace(sheet, household=home, trip=replace(sheet.trip, rows=rows))
    text = written(long)
    assert "The long shelf behind the door" not in text
    assert text.count("[ ] 1 qt Product ") == 90
    assert len(text.splitlines()) <= 110
    few = replace(long, trip=replace(sheet.trip, rows=rows[:9]))
    assert "The long shelf behind the door" in written(few)


def test_what_is_open_stands_at_its_place_on_the_walk_and_first_there() -> None:
    sheet = small_sheet()
    part = next(line for line in sheet.pull.lines if line.kind == "part jar")
    opened = tuple(replace(part, where=where) for where in ("C", "K"))
    rows = (
        TripRow("P", "Jam", True, (("qt", Fraction(1)),), ()),
        TripRow("C", "Roots", False, (("lb", Fraction(2)),), ()),
    )
    text = written(replace(sheet, trip=replace(sheet.trip, open_already=opened, rows=rows)))
    told = text[text.index("THE PULL LIST") :]
    found = [told.index(words) for words in ("Kitchen press", "1 qt Jam", "Cellar (C)", "2 lb Roots")]
    assert found == sorted(found)
    assert told.count("open: Beans") == 2
    assert told.index("open: Beans", told.index("Cellar (C)")) < told.index("2 lb Roots")
