"""Tables of reports against sums done apart: by hand from the demo's text twin, or from a plan of a few lines."""

from __future__ import annotations

import csv
import shutil
from collections import defaultdict
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from pantrymeals import tables
from pantrymeals.actions.season import make_notes
from pantrymeals.plans.menu import PullList, SwapOffer
from pantrymeals.plans.no_store import Emptied, Ending, Slip
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.put_up_list import put_up_list
from pantrymeals.tables.shapes import heads
from tests.kitchens.seasons import open_season
from tests.kitchens.tiny import day, jar, kitchen, lot, menu, qty, supper

DEMO = Path(__file__).parents[3] / "demo"


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> SeasonQuestion:
    copy = tmp_path_factory.mktemp("season") / "demo"
    shutil.copytree(DEMO, copy, ignore=shutil.ignore_patterns("*.sqlite*", "__pycache__"))
    return open_season(copy, None, date(2026, 1, 17))


def test_season_notes_have_what_the_text_twin_says_was_put_up_and_given(asked: SeasonQuestion) -> None:
    made: dict[str, Fraction] = defaultdict(Fraction)
    given: dict[str, Fraction] = defaultdict(Fraction)
    with (DEMO / "put-up-book.csv").open(encoding="utf-8-sig", newline="") as file:
        for row in csv.DictReader(file):
            if row["what"] == "jars" and "2024-05-01" <= row["day"] < "2025-05-01":
                product = asked.household.products[row["product"]]
                size = product.size(row["size"])
                assert size is not None
                count = Fraction(row["count"]) * size.content / product.sizes[0].content
                if row["reason"] in ("put up", "bought", "arrived"):
                    made[product.name] += count
                if row["reason"] in ("given", "bartered"):
                    given[product.name] -= count
    (frame,) = tables.season_notes(make_notes(asked, 2024))
    assert len(frame) > 40
    for row in frame.itertuples():
        assert (row.put_up, row.given) == (made[row.product], given[row.product]), row.product
    assert (frame["carried_in"] + frame["put_up"] - frame["given"] - frame["lost"] - frame["used"]).tolist() == (
        frame["carried_out"].tolist()
    )


def test_the_put_up_list_is_whole_loads_and_all_of_it_fits_before_any_limit(asked: SeasonQuestion) -> None:
    wanted = put_up_list(asked)
    frame = tables.put_up_list(wanted)
    assert frame["product"].tolist() == [line.product for line in wanted.lines]
    assert (frame["put_up"] == frame["loads"] * frame["load"]).all()
    assert (frame["loads_that_fit"] == frame["loads"]).all()
    short = frame[frame["put_up"] + frame["carried_over"] < frame["aim"]]
    assert set(short["crop"]) == {"pigs"}, "an animal comes whole: for a few pounds of one cut no other is taken"
    assert short["why"].str.endswith("too little for one more").all()
    sauce = frame.set_index("product").loc["Applesauce"]
    assert (sauce["size"], sauce.way, sauce.put_up % 7) == ("qt", "canner", 0)


def test_how_a_month_without_the_store_ended_with_the_size_of_each_count() -> None:
    home = kitchen(products=[jar("Sauce"), jar("Jam")], lots=[lot("Sauce", 4)])
    ended = Ending(
        "Tiny", day(0), day(6), day(6), 7, 6, (Slip(day(2), "coffee", Fraction(13, 2)),), (("Sauce", Fraction(7, 2)),),
        Fraction(9), (), Fraction(50), (Emptied("Jam", day(3), Fraction(2)),), (), (("Jam", "gone before its day"),),
        True,
    )  # fmt: skip
    used, slips, emptied, more_of = tables.no_store_end(home, ended)
    assert used.to_dict("records") == [{"product": "Sauce", "size": "qt", "used": Fraction(7, 2)}]
    assert heads(used) == ["product", "size", "used (containers)"]
    assert slips.to_dict("records") == [{"day": day(2), "what": "coffee", "price": Fraction(13, 2)}]
    assert emptied["had"].tolist() == [2]
    assert more_of["why"].tolist() == ["gone before its day"]


def test_offers_say_how_much_of_what_goes_over() -> None:
    home = kitchen(products=[jar("Sauce")], lots=[lot("Sauce", 4)])
    offer = SwapOffer("Soup", ("Sauce",), (), (("Sauce", qty("1 pt")),), 5, -5, 1.5)
    offers, over = tables.offers(home, [offer])
    assert offers[["dish", "nearer", "hands_on"]].values.tolist() == [["Soup", ("Sauce",), -5]]
    assert over.values.tolist() == [["Soup", "Sauce", "qt", Fraction(1, 2)]]


def test_a_role_left_open_is_a_row_without_a_dish() -> None:
    home = kitchen(products=[jar("Sauce")], lots=[lot("Sauce", 4)])
    plan = menu(home, [supper(day(0), open_roles=("main",))])
    meals, pull = tables.menu(plan, PullList((), (), (), ()))
    assert meals[["day", "meal", "role", "dish"]].values.tolist() == [[day(0), "supper", "main", None]]
    assert (len(pull), len(tables.draws(home, plan))) == (0, 0)
