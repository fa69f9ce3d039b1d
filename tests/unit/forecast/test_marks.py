"""From chances to marks, on both sides of each edge, and the words for it."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction

import pytest
from msgspec.structs import replace

from pantrymeals.errors import PantryError
from pantrymeals.forecast.marks import Facts, Thresholds, mark_of, reason, thresholds_from
from pantrymeals.forecast.rationing import eat_down, ration
from pantrymeals.forecast.words import pace_words
from pantrymeals.records import Product
from tests.kitchens.tiny import jar, loose

TODAY = date(2026, 1, 17)
PEARS = jar("Pears in syrup", must_last_to=date(2026, 9, 12), deadline_kind="new crop")
CABBAGE = loose("Cabbage", must_last_to=date(2026, 3, 20), deadline_kind="keeps to")
FACTS = Facts(
    to_use=10.0, on_hand=10.0, chance=0.9, left=3.0, gap_weeks=0.0, out=date(2026, 11, 1),
    due=date(2026, 9, 12),
    cover_weeks=41.0, weekly=0.25,
)  # fmt: skip
USUAL = Thresholds()


def mark(product: Product = PEARS, limits: Thresholds = USUAL, **changes: object) -> str:
    keeps_to = product.must_last_to if product.deadline_kind == "keeps to" else None
    return mark_of(product, replace(FACTS, eat_by=keeps_to, **changes), TODAY, limits)  # type: ignore[arg-type]


def test_short_tight_and_reaches_by_the_chance() -> None:
    assert mark(chance=0.49) == "short"
    assert mark(chance=0.51) == "tight"
    assert mark(chance=0.79) == "tight"
    assert mark(chance=0.81) == "reaches"
    assert mark(chance=0.75, left=8.0, to_use=20.0, cover_weeks=60.0) == "tight"


def test_the_households_own_thresholds_count() -> None:
    ours = thresholds_from({"short_below": 0.2, "tight_below": 0.95})
    assert mark(limits=ours, chance=0.3) == "tight"
    assert mark(limits=ours, chance=0.9) == "tight"


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"shorter": 0.3}, "no threshold"),
        ({"short_below": 35}, "between 0 and 1"),
        ({"short_below": 0.95}, "not be more"),
    ],
)
def test_wrong_thresholds_are_named(said: dict[str, float], words: str) -> None:
    with pytest.raises(PantryError, match=words):
        thresholds_from(said)


def test_a_glut_leaves_half_a_dozen_a_third_and_a_season_more() -> None:
    assert mark(chance=0.99, left=7.0, to_use=20.0, cover_weeks=60.0) == "glut"
    assert mark(chance=0.99, left=5.0, to_use=12.0, cover_weeks=60.0) == "reaches"
    assert mark(chance=0.99, left=7.0, to_use=40.0, cover_weeks=60.0) == "reaches"
    assert mark(chance=0.99, left=7.0, to_use=20.0, cover_weeks=40.0) == "reaches"
    assert mark(chance=0.99, left=4.0, to_use=5.0, cover_weeks=float("inf")) == "glut"


def test_without_chance_what_is_missing_or_hardly_over_decides() -> None:
    def fixed(lacking: float = 0.0, **more: object) -> str:
        return mark(fixed=True, chance=float(not lacking), lacking=lacking, weekly=1.0, **more)

    assert fixed(lacking=3.0, gap_weeks=2.0) == "tight"
    assert fixed(lacking=3.0, gap_weeks=2.1) == "short"
    assert fixed(lacking=1.0, gap_weeks=9.0) == "tight"
    assert fixed(lacking=1.1, gap_weeks=9.0) == "short"
    assert fixed(left=2.0) == "tight"
    assert fixed(left=2.1) == "reaches"
    assert fixed(left=0.0, even=True) == "reaches"
    assert fixed(left=0.0, takes=False) == "reaches"


def test_a_sitter_is_one_at_any_pace() -> None:
    assert mark(sitting=True) == mark(sitting=True, fixed=True) == mark(CABBAGE, sitting=True, left=9.0) == "sitter"


def test_what_does_not_keep_must_go_when_much_would_be_left() -> None:
    assert mark(CABBAGE, left=2.0) == "eat first"
    assert mark(CABBAGE, left=1.4) == "reaches"
    assert mark(CABBAGE, to_use=2.0, left=0.4) == "reaches"
    near = replace(CABBAGE, must_last_to=TODAY + timedelta(days=21))
    assert mark(near, left=0.0) == "eat first"
    assert mark(replace(near, must_last_to=TODAY + timedelta(days=22)), left=0.0) == "reaches"
    assert mark(replace(near, must_last_to=TODAY - timedelta(days=1)), left=0.0, due=None) == "eat first"


def test_held_lots_and_what_is_kept_off_the_menus() -> None:
    assert mark(on_hand=0.0, to_use=0.0, held=True) == "held"
    assert mark(replace(PEARS, on_menus=False)) == "not on menus"
    assert mark(on_hand=0.0, to_use=0.0) == "short"


def test_what_comes_in_week_by_week_reaches() -> None:
    assert mark(chance=0.6) == "tight"
    assert mark(chance=None, due=None, rolling=True, cover_weeks=float("inf")) == "reaches"


@pytest.mark.parametrize("name", ["short", "tight", "reaches", "glut", "sitter", "eat first", "held", "not on menus"])
def test_every_mark_has_one_sentence(name: str) -> None:
    product = CABBAGE if name == "eat first" else PEARS
    words = reason(name, product, replace(FACTS, gap_weeks=6.0, eat_by=product.must_last_to), TODAY)  # type: ignore[arg-type]
    assert words.endswith(".")
    assert ". " not in words
    assert "safe" not in words
    assert "expire" not in words


@pytest.mark.parametrize(
    ("out", "said"),
    [
        (date(2026, 6, 12), ", 13 weeks before; it gets there 30 in 100 times."),
        (date(2026, 9, 4), ", a week before; it gets there"),
        (date(2026, 9, 8), ", some days before; it gets there"),
        (date(2026, 9, 10), ", a day before; it gets there"),
        (date(2026, 9, 11), "the last one goes about 11 September; it gets there"),
        (date(2026, 10, 1), "the last one goes about 1 October; it gets there"),
        (None, "it lasts more than two years; it gets there"),
    ],
)
def test_how_long_before_its_day_is_from_the_day_that_is_named(out: date | None, said: str) -> None:
    """Not the mean of the futures' gaps, which in a wide range is weeks where the days named lie days apart."""
    facts = replace(FACTS, chance=0.3, gap_weeks=9.0, out=out)
    assert said in reason("short", PEARS, facts, TODAY)


def test_rationing_is_said_as_a_cook_would() -> None:
    # Five quarts over the 34 weeks to 12 September: one every 48 days, which is seven weeks.
    assert ration(PEARS, 5.0, TODAY, date(2026, 9, 12)) == "one quart every seven weeks carries the pears to September"
    assert ration(PEARS, 24.0, TODAY, date(2026, 9, 12)) == "one quart every ten days carries the pears to September"
    assert "set back" in ration(PEARS, 0.0, TODAY, date(2026, 9, 12))


def test_a_ration_kept_reaches_the_day() -> None:
    """One jar every d days, the first today, needs no more than there are; one alone has no pace."""
    for jars in range(2, 60):
        words = ration(PEARS, float(jars), TODAY, date(2026, 9, 12))
        every = _days_between(words)
        assert (238 - 1) / every <= jars + 1e-9, words


def _days_between(words: str) -> Fraction:
    small = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    before = words.split(" carries")[0].split()
    if before[-2:] == ["a", "week"]:
        return Fraction(7, small.index(before[0]))
    number = before[-2]
    count = int(number) if number.isdigit() else small.index(number)
    return Fraction(count * (7 if before[-1] == "weeks" else 1))


def test_eating_down_says_the_pace_that_finishes_it() -> None:
    beans = jar("Green beans", must_last_to=date(2026, 8, 1), deadline_kind="new crop")
    said = eat_down(beans, 50.0, 1.0, TODAY, date(2026, 8, 1))
    assert said == "open two quarts a week to finish the green beans by the new crop"
    assert eat_down(CABBAGE, 18.0, 1.0, TODAY, date(2026, 3, 20)).endswith("before they are past keeping")
    near = eat_down(CABBAGE, 7.6, 40.0, TODAY, TODAY + timedelta(days=2))
    assert near.startswith("use eight"), near
    assert " in two days to finish the cabbage before " in near
    week = eat_down(CABBAGE, 7.6, 40.0, TODAY, TODAY + timedelta(days=7))
    assert " a week to finish" in week


def test_the_last_one_has_no_pace() -> None:
    """'One pint every forty weeks' is no pace: what is there is one pint."""
    butter = jar("Apple butter", must_last_to=date(2026, 10, 20), deadline_kind="new crop")
    assert ration(butter, 1.0, TODAY, date(2026, 10, 20)) == "one quart is all there is of the apple butter to October"
    assert ration(butter, 0.5, TODAY, date(2026, 10, 20)).startswith("half a quart is all there is")
    assert "every" in ration(butter, 2.0, TODAY, date(2026, 10, 20))


def test_what_no_table_could_eat_is_not_to_be_eaten_down() -> None:
    """Fourteen quarts by a crop two weeks off are seven a week: with one in four weeks nobody opens seven."""
    pears = jar("Pears", must_last_to=date(2026, 1, 31), deadline_kind="new crop")
    assert eat_down(pears, 14.0, 7.1 / 3, date(2026, 1, 17), date(2026, 1, 31)).startswith("open seven quarts a week")
    said = eat_down(pears, 14.0, 0.25, date(2026, 1, 17), date(2026, 1, 31))
    assert said == "carry the pears over, give some away, and put up fewer"
    said = eat_down(CABBAGE, 18.0, 0.1, TODAY, date(2026, 3, 20))
    assert said == "make some of the cabbage over, or give some away, before they are past keeping"
    assert eat_down(loose("Sugar", kind="dry"), 10.0, 0.01, TODAY, None) == "buy no more sugar for now"


@pytest.mark.parametrize(
    ("size", "weekly", "sparing", "words"),
    [
        ("qt", 2.4, True, "two quarts a week"),
        ("qt", 2.4, False, "three quarts a week"),
        ("lb", 2.4, True, "two pounds a week"),
        ("lb", 2.6, True, "2 1/2 pounds a week"),
        ("pt", 0.5, True, "one pint every two weeks"),
        ("hp", 0.3, True, "one half-pint every 24 days"),
        ("each", 0.25, False, "one every four weeks"),
        ("qt bag", 0.7, True, "one qt bag every ten days"),
        ("pack of 6", 2.0, True, "two packs of 6 a week"),
    ],
)
def test_paces_in_words(size: str, weekly: float, sparing: bool, words: str) -> None:
    assert pace_words(size, weekly, sparing=sparing) == words
