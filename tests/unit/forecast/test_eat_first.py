"""The eat-first list, the round and cautions at their moment; and the freezer-off sheet."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.actions.food_tables import keeping
from pantrymeals.errors import PantryError
from pantrymeals.forecast.eat_first import eat_first
from pantrymeals.forecast.forecast import learn_paces
from pantrymeals.forecast.foresee import foresee
from pantrymeals.forecast.freezer_off import freezer_off
from pantrymeals.forecast.keeping import names_any
from pantrymeals.plans.outlook import EatFirst
from pantrymeals.records import Household, LotState, PartJar, Size, StorePlace
from pantrymeals.reports.pages.freezer_off import freezer_pdf, write_freezer_off
from pantrymeals.reports.pages.typeset import origin_of
from pantrymeals.reports.terminal.eat_first import write_eat_first
from pantrymeals.reports.terminal.paper import Paper
from tests.kitchens.tiny import MONDAY, dish, jar, kitchen, loose, lot, part_jar, person
from tests.outside.printed import by_pdftotext

APPLES = loose("Apples", family="apple", must_last_to=date(2026, 1, 20), deadline_kind="keeps to")


def sheet(household: Household) -> EatFirst:
    return eat_first(household, foresee(household, learn_paces(household, ()), paths=400), keeping())


def numbers(found: EatFirst) -> list[str]:
    return [caution.number for caution in found.cautions]


def jam(opened: int, **changes: object) -> Household:
    return kitchen(
        products=[jar("Jam", opened_days=10, **changes)],
        lots=[],
        part_jars=(part_jar("Jam", "1/2 qt", MONDAY - timedelta(days=opened)),),
        dishes=[dish("Jam tarts", ["1/4 qt Jam"])],
    )


def test_a_part_jar_on_its_last_day_is_eaten_and_a_day_later_thrown_out() -> None:
    last, past = sheet(jam(9)).must_go[0], sheet(jam(10)).must_go[0]
    assert (last.eat_by, last.past, last.dishes) == (MONDAY, False, ("Jam tarts",))
    assert (past.past, past.dishes) == (True, ())
    assert "without tasting" in past.why
    assert numbers(sheet(jam(9))) == ["C15", ""]


def test_a_part_jar_is_told_in_its_own_size() -> None:
    sizes = (Size("pt", Fraction("473.176473")), Size("hp", Fraction("236.5882365")))
    home = kitchen(
        products=[replace(jar("Jam", opened_days=10), sizes=sizes)],
        lots=[],
        part_jars=(PartJar("Jam", "hp", Fraction("236.5882365"), MONDAY - timedelta(days=9)),),
        dishes=[dish("Jam tarts", ["1/4 pt Jam"])],
    )
    told = sheet(home).must_go[0]
    assert (told.size, told.amount) == ("hp", 1), "a whole half-pint, not half of one"


def test_a_keeper_near_its_day_is_on_the_list_with_a_dish() -> None:
    home = kitchen(
        products=[APPLES], lots=[lot("Apples", 40, "lb", where="C", note="wrinkling")],
        dishes=[dish("Baked apples", ["2 lb Apples"])],
    )  # fmt: skip
    found = sheet(home)
    assert [(m.product, m.kind, m.dishes) for m in found.must_go] == [("Apples", "keeper", ("Baked apples",))]
    assert "wrinkling" in found.must_go[0].why
    assert numbers(found) == ["C22"]


def test_a_dish_names_whom_it_is_not_for() -> None:
    home = kitchen(
        products=[APPLES], lots=[lot("Apples", 40, "lb", where="C")],
        dishes=[dish("Honey apples", ["2 lb Apples"], contents=["honey"])],
        people=(person("Ann"), person("Odo", born=date(2025, 4, 20))),
    )  # fmt: skip
    assert sheet(home).must_go[0].dishes == ("Honey apples (not for Odo (honey))",)


def test_frozen_things_past_their_best_bring_the_frozen_caution() -> None:
    ground = jar("Ground beef", kind="freezer", family="beef")
    new = kitchen(products=[ground], lots=[lot("Ground beef", 4, where="F", put_up=date(2025, 10, 1))], dishes=[])
    old = kitchen(products=[ground], lots=[lot("Ground beef", 4, where="F", put_up=date(2025, 8, 1))], dishes=[])
    assert sheet(new).must_go == ()
    assert [m.kind for m in sheet(old).must_go] == ["frozen"]
    assert "3-4 months" in sheet(old).must_go[0].source
    assert numbers(sheet(old)) == ["C18"]


def test_held_jars_are_never_on_the_list() -> None:
    home = kitchen(
        products=[jar("Beans")], lots=[lot("Beans", 4, put_up=date(2022, 9, 1), state="held")], dishes=[]
    )  # fmt: skip
    assert sheet(home).must_go == ()


def test_enemies_in_one_place_are_named_and_neighbours_in_two_are_not() -> None:
    apples, carrots = loose("Apples", family="apple"), loose("Carrots", family="carrot")
    onions, potatoes = loose("Onions", family="onion"), loose("Potatoes", family="potato")

    def kept(*where: tuple[str, str]) -> EatFirst:
        products = [p for p in (apples, carrots, onions, potatoes) if p.name in {n for n, _ in where}]
        return sheet(kitchen(products=products, lots=[lot(n, 5, "lb", where=w) for n, w in where], dishes=[]))

    together = kept(("Apples", "C"), ("Carrots", "C"))
    assert "C21" in numbers(together)
    assert "Apples beside Carrots" in next(c.words for c in together.cautions if c.number == "C21")
    assert "C21" not in numbers(kept(("Apples", "C"), ("Carrots", "D")))
    pair = kept(("Onions", "C"), ("Potatoes", "C"))
    assert {"apart", "C20"} <= set(numbers(pair))
    assert "C20" not in numbers(kept(("Onions", "C")))


def test_the_round_follows_the_walk() -> None:
    places = (StorePlace("L", "loft", "loft"), StorePlace("C", "cellar", "cellar"))
    home = kitchen(
        products=[loose("Carrots", family="carrot"), loose("Onions", family="onion")],
        lots=[lot("Carrots", 5, "lb", where="C"), lot("Onions", 5, "lb", where="L")],
        places=places, dishes=[],
    )  # fmt: skip
    found = sheet(home).round
    assert [line.place_name for line in found] == ["loft", "cellar"]
    assert found[0].weeks_in_store == 18
    assert found[0].keeps == "5 to 8 months"


def test_the_list_fits_eighty_columns_in_plain_letters() -> None:
    paper = Paper(colour=False)
    write_eat_first(paper, sheet(jam(9)), sources=True)
    assert all(len(line) <= 80 for line in paper.text().splitlines())
    assert "Jam tarts" in paper.text()
    assert "\x1b" not in paper.text()


FREEZERS = (
    StorePlace("F1", "upright", "freezer", note="about half full"),
    StorePlace("F2", "chest", "freezer", note="full"),
    StorePlace("F3", "old one", "freezer"),
)


def frozen() -> Household:
    return kitchen(
        products=[
            jar("Beef", kind="freezer", family="beef"),
            jar("Gooseberries", kind="freezer", family="gooseberry"),
            jar("Eggs", kind="freezer", family="egg"),
        ],
        lots=[
            lot("Beef", 3, where="F2 top"),
            lot("Beef", 1, where="F2", put_up=date(2024, 1, 1), year_only=True),
            lot("Gooseberries", 2, where="F1"),
            lot("Eggs", 5, where="F1"),
        ],
        places=FREEZERS, dishes=[],
    )  # fmt: skip


def clocks(household: Household, *wanted: str, **said: object) -> list[tuple[str, int]]:
    return [(c.what, c.hours) for c in freezer_off(household, wanted, **said).clocks]  # type: ignore[arg-type]


def test_a_freezer_keeps_cold_as_its_note_says() -> None:
    assert ("F1, shut, half full", 24) in clocks(frozen(), "F1")
    assert ("F2, shut, full", 48) in clocks(frozen(), "F2")
    assert len(clocks(frozen(), "F2")) == 3
    # Nothing said of the old one: both clocks.
    assert len(clocks(frozen(), "F3")) == 4
    assert ("F1, shut, full", 48) in clocks(frozen(), "F1", full=True)


def test_less_than_half_full_has_no_hour_of_its_own() -> None:
    place = replace(next(one for one in FREEZERS if one.code == "F1"), note="a quarter full")
    home = replace(frozen(), places=(place,))
    found = freezer_off(home, off_since=datetime(2026, 1, 17, 6, 30)).clocks
    own = [(c.what, c.until) for c in found if c.what.startswith("F1")]
    assert own == [("F1, shut, less than half full: less than half full's", None)]
    assert not any(c.hours == 48 for c in found)


def test_clocks_run_from_when_it_went_off() -> None:
    found = freezer_off(frozen(), ["F2"], off_since=datetime(2026, 1, 17, 6, 30))
    assert {c.what: c.until for c in found.clocks}["F2, shut, full"] == datetime(2026, 1, 19, 6, 30)
    assert found.clocks[-1].until is None


def test_contents_by_shelf_judged_by_what_they_are() -> None:
    found = freezer_off(frozen())
    assert [(p.where, p.product, p.group) for p in found.packs] == [
        ("F1", "Eggs", "milk, cheese and eggs"),
        ("F1", "Gooseberries", "vegetables, fruit and the rest"),
        ("F2", "Beef", "meat, poultry and fish"),
        ("F2 top", "Beef", "meat, poultry and fish"),
    ]
    assert found.packs[2].oldest == "2024"
    assert found.cautions[0].number == "C16"


def test_a_place_that_is_no_freezer_is_said() -> None:
    with pytest.raises(PantryError, match="its freezers are F1"):
        freezer_off(frozen(), ["Cellar"])
    with pytest.raises(PantryError, match="no place of kind freezer"):
        freezer_off(kitchen(places=()))


def test_the_sheet_prints_the_same_twice_and_fits_the_terminal() -> None:
    found = freezer_off(frozen(), off_since=datetime(2026, 1, 17, 6, 30))
    origin = origin_of(frozen())
    assert freezer_pdf(found, origin) == freezer_pdf(found, origin)
    text = by_pdftotext(freezer_pdf(found, origin))
    for said in ("F2, shut, full: about 48 hours, until Mon 19 Jan 06:30", *(pack.product for pack in found.packs)):
        assert said in text
    paper = Paper(colour=False)
    write_freezer_off(paper, found)
    assert "F2, shut, full: about 48 hours, until Mon 19 Jan 06:30" in paper.text()
    assert all(len(line) <= 80 for line in paper.text().splitlines())


def test_words_are_whole_words() -> None:
    assert names_any("gooseberries", ("gooseberry",))
    assert not names_any("gooseberries", ("goose",))
    assert names_any("beef chunks", ("beef",))
    assert not names_any("peaches", ("pea",))


def test_a_jar_that_is_still_to_be_opened_says_so() -> None:
    assert sheet(jam(-2)).must_go[0].why.startswith("to be opened 7 Jan")
    assert sheet(jam(2)).must_go[0].why.startswith("opened 3 Jan")


@pytest.mark.parametrize("state", ["held", "promised", "seed", "suspect"])
def test_no_dish_is_proposed_that_would_take_what_is_not_on_the_shelf(state: LotState) -> None:
    home = kitchen(
        products=[APPLES, jar("Honey")],
        lots=[lot("Apples", 40, "lb", where="C", note="wrinkling"), lot("Honey", 3, state=state)],
        dishes=[dish("Honey apples", ["2 lb Apples", "1 qt Honey"])],
    )
    [apples] = [m for m in sheet(home).must_go if m.product == "Apples"]
    assert apples.dishes == ()
    free = replace(home, lots=(home.lots[0], lot("Honey", 3)))
    assert [m.dishes for m in sheet(free).must_go if m.product == "Apples"] == [("Honey apples",)]


def test_a_dish_that_takes_a_jar_to_be_thrown_out_is_not_proposed() -> None:
    """The jam's last day was yesterday: it goes, and no dish of today may count on it."""
    home = kitchen(
        products=[APPLES, jar("Jam", opened_days=10)],
        lots=[lot("Apples", 40, "lb", where="C", note="wrinkling")],
        part_jars=(part_jar("Jam", "1/2 qt", MONDAY - timedelta(days=10)),),
        dishes=[dish("Apples with jam", ["2 lb Apples", "1/4 qt Jam"])],
    )
    assert [(m.product, m.past, m.dishes) for m in sheet(home).must_go] == [("Jam", True, ()), ("Apples", False, ())]


def test_no_dish_is_proposed_that_takes_what_is_past_the_day_it_keeps_to() -> None:
    """A menu does not take it either, unless something new has come in since."""
    for keeps_to, dishes in ((MONDAY, ("Apple and turnip",)), (MONDAY - timedelta(days=1), ())):
        turnips = loose("Turnips", must_last_to=keeps_to, deadline_kind="keeps to")
        home = kitchen(
            products=[APPLES, turnips],
            lots=[lot("Apples", 40, "lb", where="C", note="wrinkling"), lot("Turnips", 9, "lb")],
            dishes=[dish("Apple and turnip", ["2 lb Apples", "1 lb Turnips"])],
        )
        assert [m.dishes for m in sheet(home).must_go if m.product == "Apples"] == [dishes]
