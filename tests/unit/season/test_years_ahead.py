"""Years of the list's rule against closed forms worked out by hand (own arithmetic), and what the draws must obey."""

from __future__ import annotations

import json
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from msgspec.structs import replace
from typer.testing import CliRunner

from pantrymeals.actions.season import years_answer
from pantrymeals.cli.main import app
from pantrymeals.plans.years_ahead import YearsAhead
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.years_ahead import Lost, years_ahead
from pantrymeals.season_facts import Odds
from tests.kitchens.seasons import open_season

DEMO = Path(__file__).parents[3] / "demo"


@pytest.fixture(scope="module")
def asked() -> SeasonQuestion:
    return open_season(DEMO, date(2026, 1, 17), date(2026, 1, 17))


@pytest.fixture(scope="module")
def plain(asked: SeasonQuestion) -> YearsAhead:
    return years_ahead(asked, 10, paths=200)


def test_nothing_that_fails_and_a_steady_table_never_runs_out(asked: SeasonQuestion) -> None:
    """Use that does not vary, crops that never fail: every year's need is there, whatever the reserve.

    Each cut by itself: what comes with whole animals is judged in test_whole_animals.
    """
    harvests = tuple(replace(h, each_gives={}) for h in asked.facts.harvests)
    steady = replace(asked, facts=replace(asked.facts, odds=(), harvests=harvests), spread=0.0)
    ahead = years_ahead(steady, 10, paths=50)
    assert {round(row.years_out, 3) for row in ahead.products} == {0.0}
    assert all(reserve.served > 0.999 for reserve in ahead.reserves)


def test_what_a_failed_crop_still_brings_is_eaten_of_roots_too(asked: SeasonQuestion) -> None:
    """Potatoes that fail every year and still bring the whole need: no reserve is laid by, and none runs out."""
    crop = next(h.crop for h in asked.facts.harvests if "Potatoes, main crop" in h.products)
    out = {}
    for brings in (Fraction(1), Fraction(0)):
        odds = (Odds(crop, Fraction(1), "", brings),)
        ahead = years_ahead(replace(asked, facts=replace(asked.facts, odds=odds), spread=0.0), 10, paths=5)
        out[brings] = next(row.years_out for row in ahead.products if row.product == "Potatoes, main crop")
    assert round(out[Fraction(1)], 3) == 0
    assert out[Fraction(0)] >= 9


def test_a_garden_lost_every_year_brings_nothing_grown(asked: SeasonQuestion) -> None:
    """What stands there is eaten, if it be for years; then nothing comes."""
    grown = {name for h in asked.facts.harvests if h.grown for name in h.products}
    found = [row for row in years_ahead(asked, 10, Lost(garden=1), 50).products if row.product in grown]
    assert len(found) > 10
    assert {row.ever_out for row in found} == {1.0}


def test_more_reserve_runs_out_less_and_costs_more(plain: YearsAhead) -> None:
    none, listed, more = plain.reserves
    assert none.out > listed.out > more.out
    assert none.served < listed.served < more.served
    assert none.standing < listed.standing < more.standing
    assert none.jars <= listed.jars <= more.jars


def test_a_lost_freezer_touches_what_is_frozen_alone(asked: SeasonQuestion, plain: YearsAhead) -> None:
    lost = {row.product: row.years_out for row in years_ahead(asked, 10, Lost(freezer=2), 200).products}
    for row in plain.products:
        if asked.household.products[row.product].kind != "freezer":
            assert lost[row.product] == row.years_out, row.product
    frozen = [row for row in plain.products if asked.household.products[row.product].kind == "freezer"]
    assert sum(lost[row.product] for row in frozen) > 2 * sum(row.years_out for row in frozen)


def test_the_same_seed_gives_the_same_years(asked: SeasonQuestion, plain: YearsAhead) -> None:
    assert years_ahead(asked, 10, paths=200) == plain


@pytest.mark.parametrize("beside", [("--pdf", "x.pdf"), ("--without", "Peas"), ("--buy-lids", "3"), ("--ics", "x.ics")])
def test_what_goes_with_the_list_is_refused_with_years_and_not_dropped(beside: tuple[str, str], tmp_path: Path) -> None:
    option, value = beside
    value = str(tmp_path / value) if option in ("--pdf", "--ics") else value
    done = CliRunner().invoke(app, ["season", "--larder", str(DEMO), "--years", "2", option, value])
    assert done.exit_code == 2
    assert "--years" in done.output
    assert not list(tmp_path.iterdir())


def test_the_households_own_odds_are_drawn_by_and_the_command_goes_before_them(asked: SeasonQuestion) -> None:
    own = replace(asked, facts=replace(asked.facts, lost_freezer=7, lost_garden=9))

    def drawn(*given: int | None) -> tuple[int, int]:
        told = json.loads(years_answer(own, 3, *given).json_text())["years_ahead"]
        return told["lost_freezer"], told["lost_garden"]

    assert drawn() == (7, 9)
    assert drawn(20, 0) == (20, 0)


def test_the_shelf_is_the_width_of_the_jars_that_stand(asked: SeasonQuestion) -> None:
    """Each jar a tenth of a metre wide: the metres of every reserve are a tenth of its jars."""
    widths = dict.fromkeys((p.sizes[0].name for p in asked.household.products.values()), Fraction(100))
    ahead = years_ahead(replace(asked, facts=replace(asked.facts, jar_width_mm=widths)), 5, paths=40)
    assert ahead.reserves[0].standing > 0
    for reserve in ahead.reserves:
        assert reserve.metres == pytest.approx(reserve.standing / 10)
