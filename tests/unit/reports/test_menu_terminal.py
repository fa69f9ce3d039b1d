"""What a cook reads: days, dishes, jars, why; faults loudly; how good it is, honestly."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.plans.menu import ChosenUse, ShareRow
from pantrymeals.records import BatchDay, Option
from pantrymeals.reports.proof_words import evenness_words, how_good, nearness, pace_words
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.menu import from_words, write_menu
from pantrymeals.reports.terminal.paper import Paper
from tests.kitchens.tiny import jar, qty, use
from tests.unit.reports.sheets import small_sheet


def written(sheet: MenuSheet, *, colour: bool = False) -> str:
    paper = Paper(colour=colour)
    write_menu(paper, sheet)
    return paper.text()


def test_every_day_and_dish_is_there_with_its_jars_minutes_and_why() -> None:
    text = written(small_sheet())
    assert "Monday 5 January - 2 at table" in text
    soup = text.index("supper     Bean soup")
    assert "30 min, 10 hands-on" in text[soup : soup + 80]
    assert "from 1 qt Beans\n" in text
    assert "8 qt of beans to get through." in text


def test_a_dish_all_hands_on_says_its_minutes_once() -> None:
    line = next(x for x in written(small_sheet()).splitlines() if "Carrot stew" in x)
    assert line.endswith(" 60 min")


def test_batches_pins_stand_ins_and_noted_alternatives_are_said() -> None:
    text = written(small_sheet())
    assert "Carrot stew, made double (as you asked)" in text
    assert "1 qt Beans (standing in)" in text
    assert "for Ann: raw sticks" in text


def test_a_product_taken_twice_by_a_dish_is_added_up() -> None:
    sheet = small_sheet()
    stew = sheet.plan.meals[1].dishes[0]
    # Two batches of 1/2 lb and the noted alternative's 1/2 lb.
    assert "1 1/2 lb Carrots, in sand" in from_words(sheet.household, stew)


def test_an_open_role_is_never_silent() -> None:
    text = written(small_sheet())
    assert "main left open" in text
    assert "1 place on the menu had to be left open" in text


def test_that_a_place_had_to_be_open_is_said_only_where_the_proof_leaves_no_room_to_fill_one() -> None:
    for short, had_to in ((2499.0, True), (2501.0, False)):
        sheet = small_sheet()
        loose = replace(sheet, plan=replace(sheet.plan, bound=sheet.plan.cost - short))
        assert ("had to be left open" in written(loose)) is had_to
        assert ("whether that must be is not settled" in written(loose).replace("\n", " ")) is not had_to


def test_a_sound_menu_shows_no_alarm_and_a_broken_one_leads_with_it() -> None:
    assert "DO NOT COOK" not in written(small_sheet())
    text = written(small_sheet(broken=("Tuesday: 1 qt too many Beans",)))
    assert text.index("DO NOT COOK FROM THIS MENU") < text.index("Monday 5 January -")
    assert "* Tuesday: 1 qt too many Beans" in text
    assert "every house rule kept" not in text


@pytest.mark.parametrize(
    ("gap", "said"),
    [
        (0.0, "No menu under these rules is better."),
        (0.0041, "No menu under these rules can be more than 0.5 % better."),
        (0.0125, "No menu under these rules can be more than 2 % better."),
        (0.30, "No menu under these rules can be more than 30 % better."),
    ],
)
def test_nearness_is_never_rounded_to_a_better_claim(gap: float, said: str) -> None:
    assert nearness(small_sheet(gap=gap, ended="proven").plan) == said


def test_a_search_cut_short_says_so() -> None:
    assert "Its time was up after 5 seconds" in nearness(small_sheet().plan)
    assert "You stopped the search" in nearness(small_sheet(ended="stopped").plan)


def test_evenness_names_what_is_off_and_by_how_many_jars() -> None:
    said = "Everything is drawn down evenly but Beans (1 qt more than its share)."
    assert evenness_words(small_sheet()) == said
    assert evenness_words(small_sheet(shares=())) == (
        "Everything is drawn down evenly, within a usual cooking of its share."
    )


def test_the_pace_says_what_part_of_an_even_hand_these_meals_can_follow_and_on_the_sheet_nothing_does() -> None:
    asked = "These meals can eat 62 in 100 parts of what would go by an even hand, so that much is asked"
    assert pace_words(small_sheet(shares=(), pace=Fraction(31, 50))) == (f"{asked}.",)
    row = ShareRow("Beans", Fraction(31, 10), Fraction(3), Fraction(4), Fraction(3), Fraction(0))
    slow = small_sheet(shares=(row,), pace=Fraction(31, 50))
    assert pace_words(slow) == (f"{asked}: of Beans about 3.1 qt, not 5 qt.",)
    assert pace_words(slow)[0] in how_good(slow)
    assert pace_words(slow)[0] not in how_good(slow, full=False)
    assert pace_words(small_sheet()) == ()


def test_waste_and_notes_are_said() -> None:
    said = how_good(small_sheet())
    assert "Goes over unless somebody eats it up: 1/2 qt Beans (Fri 9)." in said
    assert "No roast can be thawed by Sunday." in said
    assert "Nothing that is opened goes over." in how_good(small_sheet(waste=()))


def test_batch_days_are_proposed_with_their_reason() -> None:
    text = written(small_sheet())
    assert "Wednesday 7 January - Beans for the shelf, 2 times\n  Closes the gap on beans.\n" in text
    assert "tested process" not in text  # nothing is known of what it makes


def _with_beans_canned(acid: str, kind: str = "jar") -> MenuSheet:
    sheet = small_sheet()
    beans = jar("Beans, canned", sizes=("pt",), kind=kind, acid=acid)
    batch = BatchDay("Beans for the shelf", (use("1 each Joint"),), (Option("Beans, canned", qty("8 pt"), "8 pt"),), 60)
    joint = replace(sheet.household.products["Joint"], kind="freezer")
    products = {**sheet.household.products, beans.name: beans, "Joint": joint}
    household = replace(sheet.household, products=products, batch_days={batch.name: batch})
    work = replace(sheet.plan.batch_work[0], uses=(ChosenUse("Joint", Fraction(2)),))
    return replace(sheet, household=household, plan=replace(sheet.plan, batch_work=(work,)))


def test_a_batch_day_says_what_it_takes_and_makes() -> None:
    assert "  from 2 Joint; makes 16 pt Beans, canned\n" in written(_with_beans_canned("low"))


def test_what_is_canned_carries_its_cautions_and_never_a_process() -> None:
    words = " ".join(written(_with_beans_canned("low")).split())
    assert "! Put up only by a tested process, adjusted for your altitude." in words
    assert "pressure canning by a tested process is the only recommended way" in words
    assert "canned only if it never passed 40 F (4 C), and by a tested recipe" in words
    acid = " ".join(written(_with_beans_canned("high")).split())
    assert "tested process" in acid
    assert "pressure canning" not in acid
    frozen = " ".join(written(_with_beans_canned("low", kind="freezer")).split())
    assert "tested process" not in frozen


@pytest.mark.parametrize("colour", [False, True])
def test_no_line_is_wider_than_eighty_columns(colour: bool) -> None:
    text = written(small_sheet(broken=("x" * 200,)), colour=colour)
    plain = re.sub(r"\x1b\[[0-9;]*m", "", text)
    assert max(len(line) for line in plain.splitlines()) <= 80


def test_piped_text_has_no_colour_no_drawing_and_no_trailing_spaces() -> None:
    text = written(small_sheet())
    assert text.isascii()
    assert "\x1b" not in text
    assert all(line == line.rstrip() for line in text.splitlines())


def test_colour_changes_no_word() -> None:
    plain = re.sub(r"\x1b\[[0-9;]*m", "", written(small_sheet(), colour=True))
    assert plain.replace("·", "-") == written(small_sheet())
