"""The pull list by place, and the table of what pinches."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.plans.menu import PullList
from pantrymeals.plans.outlook import ForecastRow
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.pull import walk_rows, write_pull_list
from pantrymeals.reports.terminal.run_out import marked, write_pinches
from tests.kitchens.tiny import day
from tests.unit.reports.sheets import at, row, small_sheet


def pulled(sheet: MenuSheet) -> str:
    paper = Paper()
    write_pull_list(paper, sheet.household, sheet.pull)
    return paper.text()


def pinched(sheet: MenuSheet) -> str:
    paper = Paper()
    write_pinches(paper, sheet)
    return paper.text()


def test_places_come_in_the_order_of_the_list_with_their_names() -> None:
    text = pulled(small_sheet())
    places = [text.index(name) for name in ("Open already", "Pantry (P)", "Cellar (C)")]
    assert places == sorted(places)


def test_lift_outs_stand_by_day_and_before_the_walk() -> None:
    text = pulled(small_sheet())
    lift = text.index("Lift out to thaw in the fridge")
    assert lift < text.index("Pantry (P)")
    assert "[ ]  Tue 6 Jan" in text[lift : lift + 120]
    assert "Thu 8: Roast (to Sat" in text


def test_lines_say_lot_load_use_and_how_long_an_opened_one_keeps() -> None:
    text = pulled(small_sheet())
    assert text.index("Open already: use these first") < text.index("1/2 qt Beans") < text.index("Lift out")
    assert "opened 3 Jan" in text
    assert "Mon 5: Bean soup (to Wed 7)" in text


def test_one_lot_for_several_days_is_fetched_once_with_each_days_part() -> None:
    sheet = small_sheet()
    jars = [line for line in sheet.pull.lines if line.kind == "jar"]
    later = replace(jars[0], needed=day(3), count=Fraction(2), eat_by=day(40))
    rows = walk_rows([*jars, later], "jar")
    assert [(row.what, row.lot) for row in rows] == [("3 qt Beans", "Sep 2025")]
    assert rows[0].uses == ("Tue 6, 1 qt: Carrot stew", "Thu 8, 2 qt: Carrot stew (to Sat 14 Feb)")


def test_lots_of_two_dates_are_fetched_apart() -> None:
    jar = next(line for line in small_sheet().pull.lines if line.kind == "jar")
    assert len(walk_rows([jar, replace(jar, put_up="2024")], "jar")) == 2
    assert walk_rows([replace(jar, put_up="")], "jar")[0].lot == "load 4"


def test_ahead_empties_and_cautions_close_the_list() -> None:
    text = pulled(small_sheet())
    assert "soak the beans" in text
    assert "Comes back as empties: 2 qt and 1 pt" in text
    assert "! Before opening: lid tight and dipped;" in text
    assert max(len(line) for line in text.splitlines()) <= 80


def test_an_empty_list_says_so() -> None:
    sheet = replace(small_sheet(), pull=PullList((), (), (), ()))
    assert "Nothing to bring up." in pulled(sheet)


def test_short_comes_first_with_its_reason_and_glut_apart() -> None:
    text = pinched(small_sheet())
    assert text.index("Beans") < text.index("More than will be eaten") < text.index("Carrots, in sand")
    found = next(x for x in text.splitlines() if x.startswith("Beans"))
    assert found.split() == ["Beans", "8", "qt", "short,", "7", "Feb"]
    assert "  gone early" in text
    assert "Joint" not in text


def test_what_no_dish_reaches_is_named() -> None:
    assert "No dish and no standing use reaches: Rice (no dish takes it)." in pinched(small_sheet())


def test_nothing_pinching_is_said_in_words() -> None:
    text = pinched(forecast_of())
    assert "everything reaches its day" in text


def forecast_of(*rows: ForecastRow) -> MenuSheet:
    sheet = small_sheet()
    return replace(sheet, forecast=replace(sheet.forecast, rows=rows))


def test_both_paces_stand_in_columns_with_mark_and_day_each() -> None:
    eaten, planned = at(1.0, day(20), "short", "as eaten"), at(0.5, day(90), "tight", "by the menus")
    text = pinched(forecast_of(row("Beans", 8.0, "qt", planned, day(99), eaten)))
    head = text[: text.index("-----")].splitlines()
    assert head[-2].split() == ["as", "you", "have", "if", "these", "menus"]
    assert head[-1].split()[-4:] == ["been", "eating", "are", "followed"]
    assert head[-1].index("been") == head[-2].index("as")
    assert "short, 25 Jan  tight, 5 Apr" in text


def test_a_book_too_young_leaves_one_column() -> None:
    text = pinched(forecast_of(row("Beans", 8.0, "qt", at(0.5, day(90), "tight", "by the menus"), day(99))))
    assert "been eating" not in text
    assert "are followed" in text


def test_marked_orders_by_mark_then_by_run_out_and_names_a_product_once() -> None:
    late, soon = at(1.0, day(60), "short", ""), at(1.0, day(20), "short", "")
    tight, glut = at(1.0, day(9), "tight", ""), at(1.0, None, "glut", "")
    rows = [
        row("a", 1.0, "qt", late, day(99)),
        row("b", 1.0, "qt", soon, day(99)),
        row("c", 1.0, "qt", glut, day(99), tight),
    ]
    forecast = forecast_of(*rows).forecast
    assert [r.product for r in marked(forecast, ("short", "tight"))] == ["b", "a", "c"]
    assert marked(forecast, ("glut", "sitter")) == []
