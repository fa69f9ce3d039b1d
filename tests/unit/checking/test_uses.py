"""Rules 2 and 11: what a dish takes, and who must not have it."""

from datetime import date

from msgspec.structs import replace

from pantrymeals.plans.menu import ChosenUse
from tests.kitchens.tiny import cooked, day, dish, instead, jar, kitchen, loose, lot, person, qty, supper
from tests.unit.checking.sound import opens, told


def _choice():
    return kitchen(
        dishes=[dish("Hash", ["1 qt Beans or 1 lb Carrots", "1 lb Carrots"])],
        lots=[lot("Beans", 8), lot("Carrots", 9, "lb")],
    )


def test_each_use_takes_exactly_one_of_its_options() -> None:
    home = _choice()
    assert told(home, [supper(day(0), cooked(home, "Hash"))], [opens(0, "Beans")]) == []
    assert told(home, [supper(day(0), cooked(home, "Hash", options={0: 1}))]) == []
    summed = replace(cooked(home, "Hash"), uses=(ChosenUse("Carrots", qty("2 lb")),))
    assert told(home, [supper(day(0), summed)]) == []


def test_half_of_each_option_both_or_too_little_is_told() -> None:
    home = _choice()
    for uses in (
        (ChosenUse("Beans", qty("1/2 qt")), ChosenUse("Carrots", qty("3/2 lb"))),
        (ChosenUse("Beans", qty("1 qt")), ChosenUse("Carrots", qty("2 lb"))),
        (ChosenUse("Beans", qty("1 qt")),),
        (),
    ):
        planned = replace(cooked(home, "Hash"), uses=uses)
        openings = [opens(0, "Beans")] if uses else []
        [message] = told(home, [supper(day(0), planned)], openings)
        assert message.startswith("Mon 5 January, supper, Hash: takes ")
        assert "1 x (1 qt Beans or 1 lb Carrots; 1 lb Carrots)" in message


def test_uses_are_for_all_batches() -> None:
    home = kitchen(people=[person("Crowd", 8)])
    two = cooked(home, "Bean soup", 2)
    assert told(home, [supper(day(0), two, portions=8)], [opens(0, "Beans", 2)]) == []
    short = replace(cooked(home, "Bean soup"), batches=2)
    [message] = told(home, [supper(day(0), short, portions=8)], [opens(0, "Beans")])
    assert "takes 1 qt Beans; 2 x (1 qt Beans)" in message


def _salty(people, **changes):
    return kitchen(
        products=[jar("Kraut", contents=frozenset({"salty"})), loose("Cabbage"), jar("Honey")],
        lots=[lot("Kraut", 3), lot("Cabbage", 9, "lb")],
        people=people,
        dishes=[dish("Warm kraut", ["1 qt Kraut"], **changes)],
    )


def test_a_mark_bars_the_dish_at_its_eaters_meal_only() -> None:
    meals = lambda home: [supper(day(0), cooked(home, "Warm kraut"))]  # noqa: E731
    free = _salty([person("Ann"), person("Ben")])
    assert told(free, meals(free), [opens(0, "Kraut")]) == []
    barred = _salty([person("Ann"), person("Edda", must_not=["salty"])])
    assert told(barred, meals(barred), [opens(0, "Kraut")]) == [
        "Mon 5 January, supper, Warm kraut: Kraut has salty: not for Edda"
    ]


def test_an_alternative_by_name_mark_or_low_salt_lets_them_sit_by_and_takes_its_own_once() -> None:
    for whom in ("Edda", "edda", "salty", "low salt"):
        note = instead(whom, "plain cabbage", ["1/4 lb Cabbage"])
        home = _salty([person("Ann", 4), person("Edda", 4, must_not=["salty"])], instead=(note,))
        planned = cooked(home, "Warm kraut", 2, instead=[0])
        openings = [opens(0, "Kraut", 2)]
        assert told(home, [supper(day(0), planned, portions=8)], openings) == []
        unnamed = replace(planned, instead=())
        assert told(home, [supper(day(0), unnamed, portions=8)], openings) == [
            f"Mon 5 January, supper, Warm kraut: does not say that {whom} has plain cabbage"
        ]
        without = replace(planned, uses=planned.uses[:1])
        [message] = told(home, [supper(day(0), without, portions=8)], openings)
        assert "with plain cabbage for" in message


def test_an_alternative_for_another_mark_does_not_help_and_is_not_served() -> None:
    note = instead("tree nut", "plain cabbage", ["1/4 lb Cabbage"])
    home = _salty([person("Ann"), person("Edda", must_not=["salty"])], instead=(note,))
    assert told(home, [supper(day(0), cooked(home, "Warm kraut"))], [opens(0, "Kraut")]) == [
        "Mon 5 January, supper, Warm kraut: Kraut has salty: not for Edda"
    ]


def test_an_alternative_must_suit_the_one_it_is_for() -> None:
    note = instead("Edda", "rinsed kraut", ["1 qt Kraut"])
    home = _salty([person("Ann"), person("Edda", must_not=["salty"])], instead=(note,))
    planned = cooked(home, "Warm kraut", instead=[0])
    assert told(home, [supper(day(0), planned)], [opens(0, "Kraut", 2)]) == [
        "Mon 5 January, supper, Warm kraut: rinsed kraut has salty: not for Edda"
    ]


def test_no_honey_before_the_first_birthday_and_then_it_is_allowed() -> None:
    for born, allowed in ((date(2025, 1, 5), True), (date(2025, 1, 6), False)):
        for options, has_honey in (({0: 0}, True), ({0: 1}, False)):
            home = kitchen(
                products=[jar("Honey", contents=frozenset({"honey"})), loose("Sugar")],
                lots=[lot("Honey", 3), lot("Sugar", 9, "lb")],
                people=[person("Ann"), person("Odo", 1, born=born)],
                dishes=[dish("Oat bars", ["1 qt Honey or 1 lb Sugar"])],
            )
            said = told(
                home,
                [supper(day(0), cooked(home, "Oat bars", options=options))],
                [opens(0, "Honey")] if has_honey else [],
            )
            if allowed or not has_honey:
                assert said == []
            else:
                assert said == ["Mon 5 January, supper, Oat bars: Honey has honey: not for Odo"]


def test_a_dishs_own_contents_bar_it_and_baby_names_the_youngest() -> None:
    baby = person("Odo", 1, born=date(2025, 4, 20))
    plain = dish("Oat bars", ["1 lb Carrots"], contents=["Honey"])
    home = kitchen(people=[person("Ann"), baby], dishes=[plain])
    assert told(home, [supper(day(0), cooked(home, "Oat bars"))]) == [
        "Mon 5 January, supper, Oat bars: Oat bars has honey: not for Odo"
    ]
    noted = replace(plain, instead=(instead("baby", "mashed carrot"),))
    home = kitchen(people=[person("Ann"), baby], dishes=[noted])
    assert told(home, [supper(day(0), cooked(home, "Oat bars", instead=[0]))]) == []
