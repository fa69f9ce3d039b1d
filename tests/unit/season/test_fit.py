"""The model of loads against every choice there is, its marginal values, and its calendar."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from fractions import Fraction
from itertools import product as every

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pantrymeals.plans.season import CropRisk, Need, PutUpLine
from pantrymeals.season.calendar import deal_days
from pantrymeals.season.fit import choose_loads, load_worth
from pantrymeals.season.fitted import fit_season, taken_of
from pantrymeals.season.limits import GRAIN, Limit, SeasonLimits, monday, one_more_of, weeks_of

F = Fraction
WEEK = date(2026, 8, 3)  # a Monday


def line(name, loads, worth=3, load=7, days=14, first=WEEK, chances=None, hours=(2, 1)):
    chances = chances or tuple(1 - i / (2 * loads) for i in range(loads))
    return PutUpLine(
        name, "qt", "crop", Need(F(loads * load), "stated", 0.1), CropRisk(F(0), F(0)), F(0), loads * load,
        loads * load, loads, load, 1.0, F(loads * load), tuple(chances), loads * load, "canner", first,
        first + timedelta(days=days - 1), F(hours[0]), F(hours[1]), F(worth), "why",
    )  # fmt: skip


def limits(lines, jars=10**6, hours=10**6, most=4):
    weeks = sorted({w for ln in lines for w in weeks_of(ln)})
    return SeasonLimits(
        (
            Limit("quart jars", "jars", "running", dict.fromkeys(weeks, jars * GRAIN),
                  {ln.product: ln.load * GRAIN for ln in lines}, step=7 * GRAIN, step_words="seven more"),
            Limit("kitchen hours", "hours", "week", dict.fromkeys(weeks, hours * GRAIN),
                  {ln.product: int(ln.hours_next_load * GRAIN) for ln in lines},
                  {ln.product: int((ln.hours_first_load - ln.hours_next_load) * GRAIN) for ln in lines},
                  step=GRAIN, step_words="one more hour"),
        ),
        most,
    )  # fmt: skip


def best_by_trying(lines, jars, hours, most, days=6):
    """The most worth of any choice of loads and days, tried one by one (one week)."""
    best = 0
    for loads in every(*(range(ln.loads + 1) for ln in lines)):
        if sum(n * ln.load for n, ln in zip(loads, lines, strict=True)) > jars:
            continue
        needs = [-(-n // most) for n in loads]
        if sum(needs) > days:
            continue
        spent = sum(
            d * (ln.hours_first_load - ln.hours_next_load) + n * ln.hours_next_load
            for n, d, ln in zip(loads, needs, lines, strict=True)
        )
        if spent <= hours:
            best = max(best, sum(load_worth(ln, k) for n, ln in zip(loads, lines, strict=True) for k in range(n)))
    return best


@settings(max_examples=25, deadline=None)
@given(
    shape=st.lists(st.tuples(st.integers(1, 4), st.integers(1, 9)), min_size=1, max_size=3),
    jars=st.integers(0, 70),
    hours=st.integers(0, 14),
    most=st.integers(1, 4),
)
def test_the_model_agrees_with_trying_every_choice(shape, jars, hours, most):
    lines = [line(f"p{i}", n, worth, days=7) for i, (n, worth) in enumerate(shape)]
    chosen = choose_loads(lines, limits(lines, jars, hours, most))
    assert chosen.proven
    assert chosen.worth == best_by_trying(lines, jars, hours, most)


def test_all_fits_when_there_is_enough():
    lines = [line("a", 3), line("b", 2)]
    fitted = fit_season(lines, limits(lines), {"regular": 0, "wide": 4}, F(1, 4))
    assert fitted.loads == {"a": 3, "b": 2}
    assert fitted.cuts == ()
    assert fitted.one_more == ()
    assert fitted.flats_to_buy == {"regular": 26, "wide": 5}


@pytest.mark.parametrize(("jars", "loads"), [(20, 2), (21, 3)])
def test_both_sides_of_the_last_jar(jars, loads):
    lines = [line("a", 3)]
    assert choose_loads(lines, limits(lines, jars)).of("a") == loads


def test_the_least_missed_is_cut_first_and_the_reason_named():
    lines = [line("a", 2, worth=5), line("b", 2, worth=1)]
    fitted = fit_season(lines, limits(lines, jars=21), {}, F(0))
    assert [(c.product, c.loads, c.jars, c.why) for c in fitted.cuts] == [("b", 1, 7, "quart jars")]
    assert fitted.proven
    assert fitted.worth == fitted.bound


def test_one_more_is_what_solving_again_brings():
    lines = [line("a", 2, worth=5), line("b", 2, worth=1)]
    less = limits(lines, jars=21)
    fitted = fit_season(lines, less, {}, F(0))
    jars = next(item for item in fitted.one_more if item.what == "seven more")
    more = choose_loads(lines, one_more_of(less, "quart jars"))
    assert jars.gain == more.worth - fitted.worth == load_worth(lines[1], 1)
    assert jars.jars == (("b", "qt", 7),)
    assert jars.proven


def test_one_more_of_what_is_not_short_brings_nothing():
    lines = [line("a", 3)]
    fitted = fit_season(lines, limits(lines, jars=14), {}, F(0))
    assert all(item.gain == 0 for item in fitted.one_more if item.what != "seven more")


def test_the_first_jars_of_a_years_need_weigh_most():
    one = line("a", 4, chances=(1.0, 1.0, 1.0, 1.0))
    assert [load_worth(one, k) for k in range(4)] == [4200, 3675, 3150, 2625]


def test_hours_bind_in_their_own_week():
    early, late = line("a", 2, days=7), line("b", 2, days=7, first=WEEK + timedelta(days=7))
    both = limits([early, late], hours=2)
    chosen = choose_loads([early, late], both)
    assert (chosen.of("a"), chosen.of("b")) == (1, 1)
    hours = both.limits[1]
    assert all(taken_of(hours, chosen, w) <= h for w, h in hours.have.items())


def test_what_comes_free_of_new_jars_is_no_more_than_was_put_up():
    first, later = line("a", 2, days=7), line("b", 2, days=7, first=WEEK + timedelta(days=28))
    base = limits([first, later], jars=14)
    last = monday(later.first)
    freed = Limit(
        "quart jars", "jars", "running", base.limits[0].have, base.limits[0].takes,
        freed={"a": {last: 14 * GRAIN}},
    )  # fmt: skip
    chosen = choose_loads([first, later], SeasonLimits((freed,), 4))
    assert (chosen.of("a"), chosen.of("b")) == (2, 2)


@settings(max_examples=25, deadline=None)
@given(
    shape=st.lists(st.tuples(st.integers(1, 6), st.integers(0, 12), st.integers(1, 12)), min_size=1, max_size=5),
    hours=st.integers(4, 20),
)
def test_the_calendar_keeps_days_loads_and_hours(shape, hours):
    lines = [
        line(f"p{i}", n, first=WEEK + timedelta(days=start), days=length) for i, (n, start, length) in enumerate(shape)
    ]
    least = limits(lines, hours=hours)
    chosen = choose_loads(lines, least, even_weeks=True)
    days = deal_days(lines, chosen, least.most_loads_a_day, least.canning_days)
    by_name = {ln.product: ln for ln in lines}
    for item in days:
        assert by_name[item.product].first <= item.day <= by_name[item.product].last
        assert 1 <= item.loads <= 4
        assert item.day.weekday() < 6
    assert max(Counter(item.day for item in days).values(), default=0) <= 1, "one product to a canning day"
    for name in by_name:
        assert sum(d.loads for d in days if d.product == name) == chosen.of(name)
    spent = Counter()
    for item in days:
        spent[monday(item.day)] += 2 + (item.loads - 1)
    assert all(h <= hours for h in spent.values())


def test_nothing_to_fit_is_an_answer():
    assert choose_loads([], limits([])).proven
