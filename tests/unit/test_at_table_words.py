"""Who is at table, in words: guests and feasts on their days, a run of days that moves nobody once."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from pantrymeals.actions.menu import at_tables
from pantrymeals.records import Occasion
from tests.kitchens.tiny import MONDAY, day, kitchen, person

HOLIDAYS = Occasion(day(1), date(2026, 1, 20), "school holidays", no_tins=frozenset({"Ben"}))
VISIT = Occasion(day(2), day(3), "Ann at her sister's", away=frozenset({"Ann"}))
UNCLE = Occasion(day(3), day(3), "uncle", guests=1)


def test_a_run_of_days_is_said_on_its_first_day_and_what_moves_somebody_on_each() -> None:
    home = kitchen(people=[person("Ann"), person("Ben")], occasions=(HOLIDAYS, VISIT, UNCLE))
    days = [day(number) for number in range(5)]
    assert list(at_tables(home, days).values()) == [
        "2 at table",
        "2 at table; school holidays, to 20 Jan",
        "1 at table: Ann at her sister's",
        "1 at table, company for 1: Ann at her sister's and uncle",
        "2 at table",
    ]
    assert at_tables(home, days[2:])[day(2)] == "1 at table: Ann at her sister's; school holidays, to 20 Jan"
    assert at_tables(replace(home, occasions=()), [MONDAY]) == {MONDAY: "2 at table"}
