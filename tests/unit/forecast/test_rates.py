"""What is learnt of paces: the truth where it is known, the family's word where the book is thin."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import numpy as np
import pytest

from pantrymeals.forecast.forecast import what_to_expect
from pantrymeals.forecast.history import read_history
from pantrymeals.forecast.losses import learn_losses
from pantrymeals.forecast.rate_drift import UNSURE_WITHOUT_BOOK
from pantrymeals.forecast.rates import Rates, learn
from pantrymeals.larder.book_history import lines_of
from pantrymeals.records import Household, Movement
from tests.kitchens.tiny import dish, jar, kitchen, loose, lot, standing
from tests.unit.forecast.made_up_years import TODAY, made_up


def rates_of(household: Household, book: tuple[Movement, ...]) -> Rates:
    history = read_history(household.products, lines_of(household.products, book), household.today)
    return learn(history, what_to_expect(household, history, household.today))


def test_steady_paces_are_found() -> None:
    known = made_up("steady")
    rates = rates_of(known.household, known.book)
    found = np.array([rates.of[n].weekly for n in known.household.products])
    truth = np.array([known.true_use[n].mean() for n in known.household.products])
    assert np.median(np.abs(found / truth - 1)) < 0.12
    assert found.sum() == pytest.approx(truth.sum(), rel=0.1)


def test_seasons_are_found() -> None:
    known = made_up("wintry")
    rates = rates_of(known.household, known.book)
    likeness = []
    for name, use in known.true_use.items():
        if use.mean() > 0.3:
            first = TODAY - timedelta(weeks=len(use))
            months = np.array([(first + timedelta(days=7 * w + 3)).month - 1 for w in range(len(use))])
            true_year = np.array([use[months == m].mean() for m in range(12)])
            likeness.append(np.corrcoef(true_year, rates.of[name].by_month)[0, 1])
    assert np.median(likeness) > 0.9


def lines(product: str, count: int, every_weeks: float) -> list[Movement]:
    begin = date(2024, 1, 20)
    weeks = int((TODAY - begin).days / 7 / every_weeks)
    put_up = [Movement(begin, product, "qt", Fraction(20 + count * weeks), "put up")]
    days = [begin + timedelta(days=round(7 * every_weeks * n)) for n in range(1, weeks)]
    return put_up + [Movement(d, product, "qt", Fraction(-count), "eaten") for d in days if d < TODAY]


def family(names: list[str], **stated: str) -> Household:
    products = [jar(n, family="bean", must_last_to=date(2026, 8, 1), deadline_kind="new crop") for n in names]
    return kitchen(
        products=products,
        lots=[lot(n, 20) for n in names],
        dishes=[dish(f"{n} pot", [f"1 qt {n}"]) for n in names],
        standing=tuple(standing(n, amount) for n, amount in stated.items()),
        today=TODAY,
    )


def test_a_product_with_few_lines_borrows_from_its_family() -> None:
    """Four are eaten about as they come in; the fifth has only two months of book and two jars used."""
    names = ["A", "B", "C", "D", "New"]
    home = family(names)
    share = 20 / ((date(2026, 8, 1) - TODAY).days / 7)
    book = [m for n in names[:4] for m in lines(n, 1, 1 / (2 * share))]
    few = [Movement(TODAY - timedelta(days=60), "New", "qt", Fraction(22), "put up")]
    few += [Movement(TODAY - timedelta(days=d), "New", "qt", Fraction(-1), "eaten") for d in (40, 20)]
    rate = rates_of(home, tuple(book + few)).of["New"].weekly
    own = 2 / (60 / 7)
    assert 1.2 * own < rate < 1.1 * share


def test_many_lines_outweigh_the_family() -> None:
    names = ["A", "B", "C", "D", "Own"]
    home = family(names)
    book = [m for n in names[:4] for m in lines(n, 1, 1)] + lines("Own", 1, 5)
    assert rates_of(home, tuple(book)).of["Own"].weekly == pytest.approx(0.2, rel=0.15)


def test_a_new_product_goes_at_the_stated_pace() -> None:
    home = family(["Jam"], Jam="1/2 qt")
    rate = rates_of(home, ()).of["Jam"]
    assert rate.weekly == pytest.approx(20 / ((date(2026, 8, 1) - TODAY).days / 7))
    undished = kitchen(products=[jar("Jam")], lots=[lot("Jam", 20)], dishes=[], standing=(standing("Jam", "1/2 qt"),))
    assert rates_of(undished, ()).of["Jam"].weekly == pytest.approx(0.5)


def test_months_in_which_it_is_not_eaten_have_no_use() -> None:
    soup = jar("Soup", eaten_in=frozenset({10, 11, 12, 1, 2, 3}))
    home = kitchen(products=[soup], lots=[lot("Soup", 20)], today=TODAY, dishes=[dish("Soup", ["1 qt Soup"])])
    year = rates_of(home, tuple(lines("Soup", 1, 1))).of["Soup"].by_month
    assert [m + 1 for m in range(12) if year[m] > 0] == [1, 2, 3, 10, 11, 12]
    assert sum(year) / 6 == pytest.approx(1)


def test_stated_months_shape_the_year() -> None:
    oats = loose("Oats", kind="dry")
    home = kitchen(
        products=[oats],
        lots=[lot("Oats", 40, "lb")],
        dishes=[],
        standing=(standing("Oats", "3 lb", months=[11, 12, 1]), standing("Oats", "1 lb", months=[2, 3])),
        today=TODAY,
    )
    rate = rates_of(home, ()).of["Oats"]
    assert rate.weekly * rate.by_month[0] == pytest.approx(3)
    assert rate.weekly * rate.by_month[1] == pytest.approx(1)
    assert rate.by_month[6] == 0


def test_regular_use_is_known_to_be_steady_and_batches_to_be_rough() -> None:
    regular = rates_of(family(["A"]), tuple(lines("A", 1, 1))).of["A"]
    rough = rates_of(family(["A"]), tuple(lines("A", 6, 6))).of["A"]
    assert regular.grain < 0.5
    assert rough.grain > 1.5
    assert regular.weekly == pytest.approx(rough.weekly, rel=0.2)


def test_a_pace_that_changes_at_every_dish_at_once_is_believed() -> None:
    """A year at one jar a week each; then, for six weeks, two."""
    names = ["A", "B", "C", "D", "E", "F", "G", "H"]
    home = family(names)
    steady = tuple(m for n in names for m in lines(n, 1, 1))
    more = tuple(
        Movement(TODAY - timedelta(days=7 * w + 3), n, "qt", Fraction(-1), "eaten") for n in names for w in range(6)
    )
    assert rates_of(home, steady).present == 1
    changed = rates_of(home, steady + more)
    assert changed.present == pytest.approx(2, abs=0.3)
    assert changed.of["A"].weekly == pytest.approx(2, abs=0.4)


def test_one_product_alone_does_not_change_the_tables_pace() -> None:
    names = ["A", "B", "C", "D", "E", "F", "G", "H"]
    steady = tuple(m for n in names for m in lines(n, 1, 1))
    more = tuple(Movement(TODAY - timedelta(days=7 * w + 3), "A", "qt", Fraction(-1), "eaten") for w in range(6))
    assert rates_of(family(names), steady + more).present == 1


def test_a_household_that_changes_from_year_to_year_is_known_to_wander() -> None:
    steady, fickle = made_up("steady"), made_up("fickle")
    assert rates_of(fickle.household, fickle.book).season_drift > 0.1
    assert rates_of(steady.household, steady.book).season_drift < 0.1


def test_without_a_book_the_wander_is_taken_from_nowhere_but_named() -> None:
    assert rates_of(family(["A"]), ()).season_drift == UNSURE_WITHOUT_BOOK


def test_losses_are_drawn_from_the_kind_and_from_the_product_itself() -> None:
    products = {p.name: p for p in [loose("Sound"), loose("Rotting"), jar("Jar")]}
    begin = TODAY - timedelta(weeks=60)
    book = [Movement(begin, n, "lb", Fraction(100), "put up") for n in ("Sound", "Rotting")]
    book += [Movement(begin, "Jar", "qt", Fraction(100), "put up")]
    book += [Movement(begin + timedelta(weeks=3 * n), "Rotting", "lb", Fraction(-2), "compost") for n in range(1, 19)]
    losses = learn_losses(read_history(products, lines_of(products, book), TODAY), products)
    mean = {name: sum(loss.weekly) / 12 for name, loss in losses.items()}
    assert mean["Rotting"] > 2 * mean["Sound"] > 5 * mean["Jar"] > 0
    assert losses["Rotting"].go == pytest.approx(2)
