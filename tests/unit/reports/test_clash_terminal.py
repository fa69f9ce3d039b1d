"""Clashes, mendings, swaps and changes as a cook reads them, and as they are written out."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction

from pantrymeals.plans.menu import Clash, MealChange, Mending, MendingStep, SwapOffer, WhatClashes
from pantrymeals.reports.json.stored import adapter
from pantrymeals.reports.terminal.changes import write_changes
from pantrymeals.reports.terminal.clash import clash_text, write_clash
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.swaps import write_swaps
from tests.kitchens.tiny import MONDAY, day, kitchen, qty

FLOUR = WhatClashes(
    "Friday is flat bread, but there is no Flour. Buy it.",
    True,
    (Clash(("Friday is flat bread", "there is no Flour"), "Friday is flat bread, but there is no Flour.", True),),
    (
        Mending(
            (MendingStep("purchase", "Buy 2 lb of Flour.", "Flour", Fraction(907, 3), day(4)),),
            "Buy 2 lb of Flour.",
            True,
        ),
        Mending((MendingStep("rule", "Let Friday be stew."),), "Let Friday be stew.", True),
    ),
)


def test_nothing_is_written_for_a_whole_menu() -> None:
    paper = Paper()
    write_clash(paper, None)
    assert paper.text().strip() == ""


def test_the_clash_comes_first_and_each_mending_on_a_line() -> None:
    paper = Paper()
    write_clash(paper, FLOUR)
    assert paper.text().split("\n")[1:] == [
        "WHAT CLASHES, AND WHAT WOULD MEND IT",
        "====================================",
        "Friday is flat bread, but there is no Flour.",
        "Any one of these mends it, tried and found to work:",
        "  * Buy 2 lb of Flour.",
        "  * Let Friday be stew.",
        "",
    ]


def test_the_message_of_a_menu_that_cannot_be_made_carries_both() -> None:
    said = clash_text(FLOUR)
    assert said.splitlines()[0] == "Friday is flat bread, but there is no Flour."
    assert said.splitlines()[-1] == "  * Let Friday be stew."


def test_nothing_clashing_is_said_in_its_own_words() -> None:
    paper = Paper()
    write_clash(paper, WhatClashes("No house rules clash.", False))
    assert "No house rules clash." in paper.text()
    assert "mends" not in paper.text()


def test_a_clash_is_read_back_as_it_was_written() -> None:
    text = adapter(WhatClashes).dump_json(FLOUR)
    assert adapter(WhatClashes).validate_python(json.loads(text)) == FLOUR


def offer(**changes: object) -> SwapOffer:
    fields: dict[str, object] = {
        "dish": "Stew", "nearer": (), "further": (), "waste": (), "minutes": 0, "hands_on_minutes": 0, "points": 1.0,
    }  # fmt: skip
    return SwapOffer(**(fields | changes))  # type: ignore[arg-type]


def swaps_text(*offers: SwapOffer) -> str:
    paper = Paper()
    write_swaps(paper, kitchen(), (MONDAY, "supper", "main", "Bean soup"), offers)
    return paper.text()


def test_a_swap_says_evenness_waste_and_minutes() -> None:
    text = swaps_text(
        offer(nearer=("Eggs, beaten", "Carrots"), further=("Beans",), waste=(("Beans", qty("1/2 qt")),), minutes=-10)
    )
    assert "Nearer to an even share: Eggs, beaten; Carrots. Further from it: Beans." in text
    assert "More would go over: 1/2 qt Beans." in text
    assert "On the table 10 minutes sooner, with as much work." in text


def test_a_swap_that_saves_and_takes_longer_says_so() -> None:
    text = swaps_text(
        offer(
            waste=(("Beans", -qty("1 qt")),), minutes=5, hands_on_minutes=-5, besides=("no side of its own is needed",)
        )
    )
    assert "1. Stew (no side of its own is needed)" in text
    assert "As even as before." in text
    assert "Saved from going over: 1 qt Beans." in text
    assert "On the table 5 minutes later, with 5 minutes less of hands-on work." in text


def test_no_offer_is_said() -> None:
    assert "Nothing else fits there." in swaps_text()


def changes_text(*changes: MealChange, fewest: bool = True) -> str:
    paper = Paper()
    scaled = ((day(1), "supper", "Bean soup", 1, 2), (day(2), "supper", "Stew", 3, 2))
    write_changes(paper, (MONDAY, date(2026, 1, 9)), ["8 are at supper."], changes, scaled, fewest)
    return paper.text()


def test_changes_are_counted_by_meal_and_told_one_by_one() -> None:
    text = changes_text(
        MealChange(MONDAY, "supper", "main", "Bean soup", "Stew", "a turn for the carrots"),
        MealChange(MONDAY, "supper", "side", "Slaw", ""),
        MealChange(day(1), "lunch", "lunch", "", "Toast"),
    )
    assert "2 meals change; no menu that keeps the rules changes fewer." in text
    assert "Monday 5 January, supper, main: Stew instead of Bean soup" in text
    assert "A turn for the carrots." in text
    assert "supper, side: Slaw falls out" in text
    assert "lunch: Toast (nothing stood there)" in text
    assert "Bean soup stays; make it double." in text
    assert "Stew stays; make 2 batches instead of 3." in text


def test_no_change_is_said_and_nothing_unproven_is_claimed() -> None:
    assert "No dish changes." in changes_text()
    one = changes_text(MealChange(MONDAY, "supper", "main", "A", "B"), fewest=False)
    assert "1 meal changes." in one
    assert "fewer" not in one
