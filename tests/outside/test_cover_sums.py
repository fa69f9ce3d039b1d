"""Cover, starting again, the odds of a season, use now and then, two open jars: published answers."""

from __future__ import annotations

from math import exp

import pytest

from pantrymeals.forecast import closed_forms as sums

# Weygandt, Kimmel and Kieso, Financial Accounting, solved exercise on days of cover (read): opening and
# closing stock, cost of goods used, printed days.
COVER = [(1926, 2290, 18038, 42), (2290, 2522, 20351, 43), (2522, 2618, 20099, 47)]


@pytest.mark.parametrize(("opening", "closing", "used", "printed"), COVER)
def test_days_of_cover_agree_with_the_printed_days(opening: float, closing: float, used: float, printed: float) -> None:
    # Printed from the rounded turnover, so within a day.
    assert sums.days_of_cover((opening + closing) / 2, used) == pytest.approx(printed, abs=1)


def test_nothing_used_lasts_for_ever() -> None:
    assert sums.days_of_cover(5, 0) == float("inf")


# Heizer and Render, Principles of Operations Management, ch. 12: the first read, the next four from memory;
# the last a printed statement (read) with its answer computed.
START_AGAIN = [
    ("weekly use 60, six weeks' wait, sd 2", 60, 6, 1.28, 0, 2, 513.6),
    ("8,000 a year over 250 days, three days' wait", 32, 3, 0, 0, 0, 96),
    ("need while waiting normal(350, 10)", 350, 1, 1.65, 10, 0, 366.5),
    ("daily use normal(15, 5), two days' wait", 15, 2, 1.28, 5, 0, 39.05),
    ("daily use 10, wait normal(6, 1)", 10, 6, 2.055, 0, 1, 80.55),
    ("daily use 12,500, wait normal(4, 1)", 12500, 4, 1.88, 0, 1, 73500),
]


@pytest.mark.parametrize(("what", "use", "wait", "z", "use_sd", "wait_sd", "printed"), START_AGAIN)
def test_when_to_start_the_next_batch(
    what: str, use: float, wait: float, z: float, use_sd: float, wait_sd: float, printed: float
) -> None:
    found = sums.start_again_at(use, wait, z, use_sd, wait_sd)
    assert found == pytest.approx(printed, abs=0.01 * max(1, printed / 1000)), what


# Nahmias, Production and Operations Analysis, ch. 5 (demands read; costs from memory).
WEEKLY = """15 19 9 12 9 22 14 11 6 11 9 18 10 5 4 17 18 14 15 8 9 4 6 7 12 15 15 19 4 7 8 11 0 14 12 9 10 8 9
16 8 11 11 18 15 17 19 14 14 17 13 12"""


def test_one_season_one_decision() -> None:
    needs = [float(n) for n in WEEKLY.split()]
    assert len(needs) == 52
    assert sum(needs) / 52 == pytest.approx(11.73, abs=0.005)
    assert sums.enough_for_odds(needs, cost_over=0.15, cost_short=0.50) == 15


# Hyndman and Athanasopoulos, Forecasting: Principles and Practice, 2nd ed., sect. 12.2: series read; the
# three answers from memory and recomputed. Syntetos-Boylan factor read in the reference page of R's forecast.
LUBRICANT = """0 2 0 1 0 11 0 0 0 0 2 0 6 3 0 0 0 0 0 7 0 0 0 0 0 0 0 3 1 0 0 1 0 1 0 0"""


def test_use_now_and_then_by_croston_and_syntetos_boylan() -> None:
    use = sums.smoothed_goes([float(x) for x in LUBRICANT.split()])
    assert use.go == pytest.approx(2.7502538, abs=1e-6)
    assert use.gap == pytest.approx(2.7932801, abs=1e-6)
    assert use.a_period == pytest.approx(0.9845965, abs=1e-6)
    assert sums.less_biased(use) == pytest.approx(0.9353667, abs=1e-6)


def test_a_series_without_use_has_no_pace() -> None:
    with pytest.raises(ValueError, match="no use"):
        sums.smoothed_goes([0, 0, 0])


# Feller, An Introduction to Probability Theory and Its Applications, vol. I, ch. VI sect. 8: N = 19 read,
# N = 50 from memory and recomputed.
BOXES = [
    (19, 4.0148275, [0.1285853, 0.1285853, 0.1251100, 0.1181595, 0.1080315, 0.0953219], 5e-8),
    (50, 7.0385130, [0.079589, 0.079589, 0.078785, 0.077177, 0.074791, 0.071674], 5e-7),
]


@pytest.mark.parametrize(("size", "mean", "first", "off"), BOXES)
def test_two_jars_drawn_on_at_random(size: int, mean: float, first: list[float], off: float) -> None:
    chances = sums.left_in_the_other(size)
    assert chances[:6] == pytest.approx(first, abs=off)
    assert sum(chances) == pytest.approx(1, abs=1e-12)
    assert sums.mean_left_in_the_other(size) == pytest.approx(mean, abs=5e-8)
    assert sum(k * p for k, p in enumerate(chances)) == pytest.approx(mean, abs=5e-8)


# Poisson table (textbook, from memory).
@pytest.mark.parametrize(("mean", "count", "printed"), [(5, 8, 0.9319), (2, 4, 0.9473), (10, 15, 0.9513)])
def test_poisson_table(mean: float, count: int, printed: float) -> None:
    assert sums.poisson_at_most(count, mean) == pytest.approx(printed, abs=5e-5)


def test_twelve_jars_at_one_week_in_four() -> None:
    # Textbook negative binomial (from memory): mean 12 / 0.25 = 48 weeks, variance 12 x 0.75 / 0.25**2 = 144.
    weeks = range(1, 400)
    chance = [sums.gone_by_week(12, 0.25, w) - sums.gone_by_week(12, 0.25, w - 1) for w in weeks]
    mean = sum(w * p for w, p in zip(weeks, chance, strict=True))
    variance = sum((w - mean) ** 2 * p for w, p in zip(weeks, chance, strict=True))
    assert (mean, variance) == (pytest.approx(48, abs=1e-4), pytest.approx(144, abs=0.02))


def test_weeks_until_uniform_use_passes_the_stock_exceed_stock_over_mean() -> None:
    # Ross, Introduction to Probability Models, renewal chapter (from memory): uniform(0, 1) weekly use and a
    # stock of t <= 1 last e**t weeks until passed, not 2 t.
    import numpy as np

    rng = np.random.Generator(np.random.PCG64(5))
    for t in (0.5, 1.0):
        passed = (np.cumsum(rng.random((200_000, 12)), axis=1) > t).argmax(axis=1) + 1
        assert passed.mean() == pytest.approx(exp(t), abs=0.01)
        assert exp(t) > t / 0.5
