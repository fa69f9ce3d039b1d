"""Rules 3, 4 and 5: the shelf day by day, standing use first, whole containers and their opened life."""

import pytest
from msgspec.structs import replace

from pantrymeals.plans.menu import Waste
from tests.kitchens.tiny import arrival, cooked, day, dish, jar, kitchen, loose, lot, part_jar, qty, standing, supper
from tests.unit.checking.sound import opens, told

CARROTS = [dish("Roast", ["1 lb Carrots"])]


def _bin(pounds: int = 2, reserve: str = "0 lb", **changes):
    return kitchen(
        products=[loose("Carrots", reserve=qty(reserve))],
        lots=[lot("Carrots", pounds, "lb", where="C")],
        dishes=CARROTS,
        **changes,
    )


def _roasts(home, *days: int, of: int = 1):
    return [
        supper(day(n), cooked(home, "Roast")) if n in days else supper(day(n), open_roles=("main",)) for n in range(of)
    ]


def test_a_bin_gives_what_it_holds_and_no_more() -> None:
    home = _bin(2)
    assert told(home, _roasts(home, 0, 1, of=2)) == []
    assert told(home, _roasts(home, 0, 1, 2, of=3)) == [
        "Wed 7 January: 3 lb Carrots taken so far; shelf and arrivals less standing use and reserve leave 2 lb Carrots"
    ]


@pytest.mark.parametrize("state", ["held", "promised", "seed", "suspect"])
def test_lots_with_a_state_and_the_reserve_are_not_on_the_shelf(state: str) -> None:
    for home in (
        _bin(2, "1 lb"),
        replace(_bin(2), lots=(lot("Carrots", 1, "lb"), lot("Carrots", 9, "lb", state=state))),
    ):
        assert told(home, _roasts(home, 0)) == []
        [message] = told(home, _roasts(home, 0, 1, of=2))
        assert message.startswith("Tue 6 January: 2 lb Carrots taken so far")


def test_arrivals_count_from_their_day() -> None:
    home = _bin(1, arrivals=(arrival("Carrots", "1 lb", day(1)),))
    assert told(home, _roasts(home, 0, 1, of=2)) == []
    late = _bin(1, arrivals=(arrival("Carrots", "1 lb", day(2)),))
    [message] = told(late, _roasts(late, 0, 1, of=3))
    assert message.startswith("Tue 6 January: 2 lb Carrots taken so far")


def test_standing_use_comes_first_in_every_month_of_its_own() -> None:
    home = _bin(2, standing=(standing("Carrots", "7 lb"),))
    assert told(home, _roasts(home, 0)) == []
    [message] = told(home, _roasts(home, 0, of=2))
    assert message.startswith("Tue 6 January: 1 lb Carrots taken so far")
    assert message.endswith("leave 0 lb Carrots")
    summer = _bin(2, standing=(standing("Carrots", "7 lb", [7]),))
    assert told(summer, _roasts(summer, 0, 1, of=2)) == []


def test_standing_use_of_jars_takes_whole_jars() -> None:
    def home(weekly: str):
        return kitchen(
            products=[jar("Jam")],
            lots=[lot("Jam", 2)],
            dishes=[dish("Tart", ["1 qt Jam"])],
            standing=(standing("Jam", weekly),),
        )

    some, more = home("1 qt"), home("8 qt")
    tart = [supper(day(0), cooked(some, "Tart"))]
    assert told(some, tart, [opens(0, "Jam")]) == []
    [message] = told(more, tart, [opens(0, "Jam")])
    assert message.endswith("leave 0 qt Jam")


def test_openings_are_held_by_their_own_size() -> None:
    home = kitchen(
        products=[jar("Beans", sizes=("qt", "pt"))],
        lots=[lot("Beans", 1), lot("Beans", 4, "pt")],
        dishes=[dish("Pot", ["2 qt Beans"])],
    )
    pot = [supper(day(0), cooked(home, "Pot"))]
    assert told(home, pot, [opens(0, "Beans", 1), opens(0, "Beans", 2, "pt")]) == []
    assert told(home, pot, [opens(0, "Beans", 2)]) == [
        "Mon 5 January: 2 x qt Beans opened so far, 1 of that size there"
    ]
    coming = replace(home, arrivals=(arrival("Beans", "1 qt", day(0)),))
    assert told(coming, pot, [opens(0, "Beans", 2)]) == []
    taken = replace(home, standing=(standing("Beans", "1 qt"),))
    assert told(taken, pot, [opens(0, "Beans", 4, "pt")]) == []
    assert told(taken, pot, [opens(0, "Beans", 1), opens(0, "Beans", 2, "pt")]) == [
        "Mon 5 January: 1 x qt Beans opened so far, 0 of that size there"
    ]


def _half_jars(opened_days: int | None = 3, **changes):
    return kitchen(
        products=[jar("Broth", opened_days=opened_days)],
        lots=[lot("Broth", 4)],
        dishes=[dish("Soup", ["1/2 qt Broth"])],
        **changes,
    )


def _soups(home, *days: int, of: int | None = None):
    last = of or max(days) + 1
    return [
        supper(day(n), cooked(home, "Soup")) if n in days else supper(day(n), open_roles=("main",)) for n in range(last)
    ]


def test_an_opened_jar_is_good_for_its_days_and_then_goes_over() -> None:
    home = _half_jars(3)
    assert told(home, _soups(home, 0, 2), [opens(0, "Broth")]) == []
    [over, missing] = sorted(told(home, _soups(home, 0, 3), [opens(0, "Broth")]))
    assert over == "Broth: 1/2 qt Broth goes over, the plan states 0 qt Broth"
    assert missing == "Thu 8 January: 1/2 qt Broth more is used (Soup) than is open and within its time"
    waste = [Waste(day(2), "Broth", qty("1/2 qt"))]
    again = [opens(0, "Broth"), opens(3, "Broth")]
    assert told(home, _soups(home, 0, 3), again, waste=waste) == []
    assert told(home, _soups(home, 0, 3), again) == [over]


def test_waste_that_is_not_there_is_told() -> None:
    home = _half_jars(3)
    [message] = told(home, _soups(home, 0, 1), [opens(0, "Broth")], waste=[Waste(day(1), "Broth", qty("1/2 qt"))])
    assert message == "Broth: 0 qt Broth goes over, the plan states 1/2 qt Broth"


def test_what_is_left_when_the_menu_ends_before_its_last_day_is_no_waste() -> None:
    home = _half_jars(3)
    assert told(home, _soups(home, 0, of=2), [opens(0, "Broth")]) == []
    assert told(home, _soups(home, 0, of=3), [opens(0, "Broth")]) != []


def test_without_a_clock_an_opened_jar_keeps() -> None:
    home = _half_jars(None)
    assert told(home, _soups(home, 0, 6), [opens(0, "Broth")]) == []


def test_the_oldest_opened_is_used_first() -> None:
    """Jars opened Monday and Tuesday, half a jar used each day: Monday's is empty before its last day."""
    home = _half_jars(3)
    monday_first = [supper(day(0), cooked(home, "Soup")), supper(day(1), cooked(home, "Soup"))]
    rest = [supper(day(n), open_roles=("main",)) for n in (2,)]
    assert told(home, monday_first + rest, [opens(0, "Broth"), opens(1, "Broth")]) == []


@pytest.mark.parametrize(("opened", "good"), [(-2, True), (-3, False)])
def test_a_part_jar_past_its_day_is_nothing(opened: int, good: bool) -> None:
    home = _half_jars(3, part_jars=(part_jar("Broth", "1/2 qt", day(opened)),))
    said = told(home, _soups(home, 0))
    assert (said == []) == good
    if not good:
        assert said == ["Mon 5 January: 1/2 qt Broth more is used (Soup) than is open and within its time"]
        assert told(home, _soups(home, 0), [opens(0, "Broth")]) == []


def test_a_part_jar_left_till_its_last_day_is_waste() -> None:
    home = _half_jars(3, part_jars=(part_jar("Broth", "1/2 qt", day(-1)),))
    meals = [supper(day(n), open_roles=("main",)) for n in (0, 1)]
    assert told(home, meals, waste=[Waste(day(1), "Broth", qty("1/2 qt"))]) == []
    assert told(home, meals[:1]) == []


def _birds(part=(), thaw: int = 2):
    return kitchen(
        products=[jar("Bird", sizes=("bird=1 each",), kind="freezer", thaw_days=thaw, opened_days=2)],
        lots=[lot("Bird", 3, "bird")],
        dishes=[dish("Roast bird", ["1 each Bird"])],
        part_jars=tuple(part),
    )


def _bird_on(home, number: int):
    return [supper(day(n), open_roles=("main",)) for n in range(number)] + [
        supper(day(number), cooked(home, "Roast bird"))
    ]


def test_a_pack_is_ready_only_when_it_has_thawed() -> None:
    home = _birds()
    assert told(home, _bird_on(home, 2), [opens(2, "Bird", size="bird")]) == []
    assert told(home, _bird_on(home, 1), [opens(1, "Bird", size="bird")]) == [
        "Tue 6 January: bird Bird takes 2 days to thaw; lifted out on Mon 5 January it is ready on Wed 7 January"
    ]


@pytest.mark.parametrize(("lifted", "eaten", "good"), [(-1, 1, True), (-1, 0, False), (-2, 1, True), (-3, 1, False)])
def test_a_pack_lifted_out_is_ready_after_its_thaw_days_and_then_keeps_its_time(
    lifted: int, eaten: int, good: bool
) -> None:
    home = _birds([part_jar("Bird", "1 each", day(lifted), "bird")])
    said = told(home, _bird_on(home, eaten))
    assert any("more is used" in m for m in said) != good


def test_openings_are_of_jars_on_days_of_the_menu() -> None:
    home = _bin(2)
    assert told(home, _roasts(home, 0), [opens(0, "Carrots", size="lb")]) == [
        "Mon 5 January: Carrots is dipped into, it has no container to open"
    ]
    broth = _half_jars(None)
    assert told(broth, _soups(broth, 0), [opens(0, "Broth"), opens(1, "Broth")]) == [
        "Tue 6 January: qt Broth is opened outside the menu's days"
    ]
    assert told(broth, _soups(broth, 0), [opens(0, "Broth"), opens(0, "Broth", 0)]) == [
        "Mon 5 January: 0 x qt Broth opened"
    ]


def test_jars_opened_beyond_the_shelf_are_told_even_when_standing_use_takes_them_later() -> None:
    home = kitchen(
        products=[jar("Jam")],
        lots=[lot("Jam", 2)],
        dishes=[dish("Tart", ["2 qt Jam"])],
        standing=(standing("Jam", "7/2 qt"),),
    )
    meals = [supper(day(0), cooked(home, "Tart")), supper(day(1), open_roles=("main",))]
    [message] = told(home, meals, [opens(0, "Jam", 2)])
    assert message.endswith("leave 1 qt Jam")
