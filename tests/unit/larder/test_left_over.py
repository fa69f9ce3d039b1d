"""What is cooked and not eaten: used by a later dish of the menu, or named with its portions and its last day."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.actions.menu import lay_out
from pantrymeals.larder.left_over import left_over
from pantrymeals.records import Household, Leaving
from pantrymeals.reports.proof_words import how_good, left_over_words, portions_words
from tests.kitchens.tiny import cooked, day, dish, kitchen, menu, supper


def _home(**hash_changes: object) -> Household:
    return kitchen(
        dishes=[
            dish("Roast", leaves=Leaving("cold roast", Fraction(3), 3), serves=2),
            dish("Hash", needs_left="cold roast", **hash_changes),  # type: ignore[arg-type]
            dish("Beans", serves=6),
            dish("Loaf", role="bread", serves=9),
        ]
    )


def _left(home: Household, *days: tuple[int, str], portions: str = "2", batches: int = 1):
    meals = [supper(day(n), cooked(home, name, batches), portions=portions) for n, name in days]
    return left_over(home, menu(home, meals))


def test_a_leaving_that_a_later_dish_takes_is_used_and_another_is_not() -> None:
    home = _home()
    used = _left(home, (0, "Roast"), (3, "Hash"))
    assert [(one.name, one.becomes) for one in used] == [("cold roast", ("Hash", day(3)))]
    late = _left(home, (0, "Roast"), (4, "Hash"))
    assert [(one.portions, one.keeps_to, one.becomes) for one in late] == [(3, day(3), None)]
    twice = _left(home, (0, "Roast"), (1, "Roast"), (2, "Hash"))
    assert [one.becomes for one in twice] == [("Hash", day(2)), None]


def test_portions_beyond_the_table_are_named_from_one_on() -> None:
    home = _home()
    assert [(one.dish, one.name, one.portions, one.keeps_to) for one in _left(home, (0, "Beans"))] == [
        ("Beans", "", 4, day(3))
    ]
    assert _left(home, (0, "Beans"), portions="21/4") == ()
    assert [one.portions for one in _left(home, (0, "Beans"), portions="5")] == [1]
    assert [one.portions for one in _left(home, (0, "Beans"), portions="5", batches=2)] == [7]
    assert _left(home, (0, "Loaf")) == ()  # a loaf stays in its bin


def test_for_two_what_is_cooked_for_six_is_said() -> None:
    home = _home()
    sheet = lay_out(home, menu(home, [supper(day(0), cooked(home, "Beans"))]))
    said = "Left over, good in the fridge: Beans (four portions of Mon 5, to Thu 8)."
    assert left_over_words(sheet) == [said]
    assert said in how_good(sheet, full=False)
    assert left_over_words(replace(sheet, left_over=())) == []


def test_of_many_leavings_the_sheet_to_hang_up_names_the_first_and_counts_the_others() -> None:
    home = _home()
    for suppers, named, others in ((5, 5, ""), (6, 4, "and two more (--full has all)")):
        sheet = lay_out(home, menu(home, [supper(day(n), cooked(home, "Beans")) for n in range(suppers)]))
        (in_full,), (short,) = left_over_words(sheet), left_over_words(sheet, full=False)
        assert in_full.count("four portions") == suppers
        assert short.count("four portions") == named
        assert short.endswith(f"; {others}." if others else ").")
        assert short in how_good(sheet, full=False)
        assert in_full in how_good(sheet)


def test_portions_in_words() -> None:
    assert [portions_words(Fraction(n)) for n in (1, 3, 13)] == ["one portion", "three portions", "13 portions"]
    assert portions_words(Fraction(5, 2)) == "2 1/2 portions"
