"""The run-out table, the back-test, what if and the whole larder's cover, on the terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby
from textwrap import wrap

from msgspec import Struct

from pantrymeals.plans.marks import Mark
from pantrymeals.plans.outlook import (
    UNTOLD,
    AtPace,
    BackTest,
    FamilyWeek,
    Forecast,
    ForecastRow,
    GapChange,
    LarderCover,
    WhatIf,
)
from pantrymeals.reports.lasts_words import lasts_words
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.reports.words import about_sized, by_the_book, own_pace_words
from pantrymeals.words import (
    capital,
    day_and_year,
    listed,
    month_name,
    near_day,
    plural,
    sentence,
    short_date,
    the_house,
)

CHAPTERS: tuple[tuple[Mark, str, str], ...] = (
    ("eat first", "Eat first: it will not keep", "magenta"),
    ("short", "Short of the day it must reach", "bold red"),
    ("tight", "Tight: within a jar or two", "yellow"),
    ("reaches", "Reaches its day", "green"),
    ("glut", "Glut: more than will be eaten", "cyan"),
    ("sitter", "Sitters: put up and not eaten", "cyan"),
    ("held", "Held: not to be eaten or counted", "red"),
    ("not on menus", "Kept off the menus", "dim"),
)
STYLES: Mapping[Mark, str] = {mark: style for mark, _, style in CHAPTERS}
_LONGEST_NAME = 24


def write_forecast(
    paper: Paper, forecast: Forecast, *, everything: bool = True, cover: LarderCover | None = None
) -> None:
    """How long the food lasts; the table by mark, with reasons and advice; ``everything``: what reaches its day too."""
    paper.line((f"Will it reach the new crop? {capital(the_house(forecast.household))} larder", "bold"))
    if cover is not None:
        paper.line((lasts_words(cover), "bold"))
    paper.line(_rests_on(forecast))
    for note in forecast.notes:
        paper.line(note)
    young = [row for row in forecast.rows if row.untold()]
    if young:
        paper.heading(f"Too young to tell ({len(young)})")
        paper.line(f"{UNTOLD} these go.")
        paper.line(listed((f"{row.product} ({about_sized(row.on_hand, row.size)})" for row in young), 200) + ".")
    for mark, title, _ in CHAPTERS:
        rows = [row for row in forecast.rows if row.leading().mark == mark and row not in young]
        if not rows:
            continue
        paper.heading(f"{title} ({len(rows)})")
        if mark == "reaches" and not everything:
            paper.line(listed((row.product for row in rows), 12) + ".")
        else:
            pace_ledger(paper, forecast, [(row, _remark(row, forecast)) for row in rows])


def _rests_on(forecast: Forecast) -> str:
    day = day_and_year(forecast.today)
    if all(row.as_eaten is None for row in forecast.rows):
        return f"{day}, {planned_words(forecast)}."
    return (
        f"{day}, from {forecast.book_weeks} weeks of the book; {forecast.paths} futures drawn "
        f"(seed {forecast.seed}); a season's pace drifts by {forecast.season_drift:.0%} or so."
    )


class GapRun(Struct, frozen=True):
    """Weeks running in which the same of a family is there: of its kinds a part, 0 to 1; until: the day after them."""

    family: str
    day: date
    until: date
    part: float
    gone: tuple[str, ...]


def gap_runs(weeks: Iterable[FamilyWeek]) -> list[GapRun]:
    """Each family's weeks in which the same is there, as one piece."""
    runs = []
    for (family, gone), same in groupby(weeks, key=lambda week: (week.family, week.gone)):
        found = list(same)
        part = found[0].there / found[0].kinds
        runs.append(GapRun(family, found[0].day, found[-1].day + timedelta(days=7), part, gone))
    return runs


def write_hungry_gap(paper: Paper, household: str, weeks: Sequence[FamilyWeek]) -> None:
    """Family by family, when none of its kinds, or not all of them, are there in the year ahead."""
    paper.line((f"The hungry gap at {the_house(household)} table, by family of food", "bold"))
    lacking = [run for run in gap_runs(weeks) if run.part < 1]
    if not lacking:
        paper.line("Every kind of every family is there all the year.")
        return
    today, end = weeks[0].day, weeks[-1].day + timedelta(days=7)
    for title, none in (("None of it", True), ("Not all of its kinds", False)):
        found = [run for run in lacking if (not run.part) is none]
        if found:
            paper.heading(title)
        for run in found:
            until = "the end of the year ahead" if run.until == end else near_day(run.until, today)
            said = f": {near_day(run.day, today)} to {until}; gone: {listed(run.gone, 6)}."
            paper.line((run.family, "bold"), said, hang=2)


def planned_words(forecast: Forecast) -> str:
    """What the second pace is called."""
    return "if these menus are followed" if forecast.menu_days else "at an even hand"


def pace_ledger(
    paper: Paper, forecast: Forecast, rows: Sequence[tuple[ForecastRow, str]], there: str = "on hand"
) -> None:
    """One row a product with its mark and last day at each pace, a remark below; one column where one pace is known.

    there: the head of what is there.
    """
    planned = "if these menus\nare followed" if forecast.menu_days else "at an\neven hand"
    both = any(row.as_eaten for row in forecast.rows)
    known = "\n".join(wrap(own_pace_words(row for row, _ in rows), 12))
    heads = ("product", there, *((known,) if both else ()), planned)
    cells = []
    for row, remark in rows:
        name = paper.name_within(_LONGEST_NAME, row.product)
        paces = [row.as_eaten, row.as_planned] if both else [row.as_planned]
        shown = [_mark_and_day(pace, forecast.today) for pace in paces]
        cells.append(((name, about_sized(row.in_the_house(), row.size), *shown), remark))
    paper.ledger(heads, cells, right=(1,))


def _mark_and_day(pace: AtPace | None, today: date) -> Piece:
    if pace is None:
        return "-"
    if pace.mark in ("held", "not on menus", "sitter"):
        return pace.mark, STYLES[pace.mark]
    out = "over 2 years" if pace.out is None else short_date(pace.out)
    if pace.out is not None and pace.out.year != today.year:
        out = f"{month_name(pace.out)[:3]} {pace.out.year}"
    return f"{pace.mark}, {out}", STYLES[pace.mark]


def _remark(row: ForecastRow, forecast: Forecast) -> str:
    """Reason and advice, the range, the paces side by side, and the menus' reason where their mark is another."""
    pace, today = row.leading(), forecast.today
    words = [pace.reason]
    if row.leading().mark in ("held", "not on menus"):
        return pace.reason
    if pace.advice:
        words.append(sentence(pace.advice))
    if pace.out_early != pace.out_late and row.leading().mark != "sitter":
        early, late = (
            near_day(day, today) if day else "more than two years" for day in (pace.out_early, pace.out_late)
        )
        words.append(f"Last one, 8 times in 10: {early} to {late} ({_trust(row)}).")
    by_book = "as eaten" if by_the_book(row) else "as far as is known"
    eaten = f"{_rate(row.as_eaten.weekly)} {by_book}, " if row.as_eaten else ""
    planned = "by the menus" if forecast.menu_days else "at an even hand"
    stated = f", {_rate(row.stated)} stated" if row.stated is not None else ""
    words.append(f"A week: {eaten}{_rate(row.as_planned.weekly)} {planned}{stated}.")
    if row.as_eaten and not by_the_book(row):
        words.append(f"Told by {listed(row.told_by, 5)}.")
    if row.reserve:
        words.append(f"Set back: {about_sized(row.reserve, row.size)}.")
    if row.as_eaten and row.as_planned.mark not in (row.leading().mark, "reaches"):
        words.append(
            f"{capital(planned_words(forecast))}: {row.as_planned.reason[:1].lower()}{row.as_planned.reason[1:]}"
        )
    return " ".join(words)


def _trust(row: ForecastRow) -> str:
    """How far a range is to be trusted: how often such ones held before."""
    if not row.range_tested:
        return "not tried before"
    return f"such a range held {row.range_held} of {plural(row.range_tested, 'time')}"


def _rate(rate: float) -> str:
    return f"{rate:.1f}" if rate >= 10 else f"{rate:.2f}"


def write_cover(paper: Paper, cover: LarderCover) -> None:
    """How long the whole larder feeds the household, and the five products that limit it."""
    paper.heading("How long the whole larder feeds us")
    if cover.meal_days is not None:
        paper.line(
            "Full meals: every dish cooked as often as need be, with what comes in week by week and without new crops "
            "or orders."
        )
    if cover.kcal_a_day and cover.energy_days is not None:
        paper.line(
            f"Energy and protein: from the shelves alone, which hold {cover.stored_kcal:,.0f} kcal. The household "
            f"needs about {cover.kcal_a_day:,.0f} kcal and {cover.protein_a_day_g:,.0f} g of protein a day."
        )
    for limit in cover.limiting:
        there = about_sized(limit.on_hand, limit.size)
        more = _days(limit.days_a_container)
        paper.line(("* ", "dim"), f"{limit.product}: {there} to use; one more adds {more}", indent=2, hang=2)
    if cover.unknown:
        paper.line(f"Not counted, no food figures: {listed(cover.unknown, 8)}.")


def _days(days: float) -> str:
    return f"{days:.1f} days" if days >= 0.95 else plural(round(days * 24), "hour")


_MONTHS_BACK = 12
"""Month-ends of a back-test that are listed, the last ones."""


def write_back_test(paper: Paper, test: BackTest) -> None:
    """How well use was foreseen at past month-ends."""
    paper.heading("Was it right before?")
    if not test.cases:
        paper.line("The book is too short to tell: it takes a year of it.")
        return
    paper.line(
        f"At {len(test.months)} past month-ends the use of the next {test.weeks_ahead} weeks was foreseen "
        f"from what was known then, {test.cases} times in all."
    )
    paper.line(
        f"What was used lay in the range said {test.held:.0%} of the time ({test.held_evenly:.0%} with whole jars on "
        f"its edge shared out; 80% would be just right). Less was used {test.below:.0%}, more {test.above:.0%}."
    )
    better = 1 - test.pinball / test.plain_pinball if test.plain_pinball else 0.0
    paper.line(
        f"Its misses, those counted more that it called less likely, come to {test.pinball:.2f} containers a time; "
        f"a plain average of the last 12 weeks would have come to {test.plain_pinball:.2f} ({better:.0%} less)."
    )
    rows = [
        (day_and_year(m.day), str(m.cases), f"{m.held:.0%}", f"{m.held_evenly:.0%}")
        for m in test.months[-_MONTHS_BACK:]
    ]
    paper.table(("month-end", "asked", "held", "shared out"), rows, right=(1, 2, 3), widths=(14, 8, 8, 12))


_MOST_GAPS = 10
"""First gaps of a what-if that are listed."""


def write_what_if(paper: Paper, change: WhatIf, today: date) -> None:
    """What changes: days of food, first gaps, dishes and menus that fall."""
    paper.line(("What if", "bold"))
    for words in change.said:
        paper.line(("* ", "dim"), words, indent=2, hang=2)
    paper.heading("Days of food")
    rows: list[Sequence[Piece]] = []
    if change.meal_days_before is not None and change.meal_days_after is not None:
        rows.append(_before_after("full meals, at most", change.meal_days_before, change.meal_days_after))
    if change.energy_days_before is not None and change.energy_days_after is not None:
        rows.append(_before_after("energy", change.energy_days_before, change.energy_days_after))
    if not rows:
        paper.line("Not known: no meals are written down, and nothing on the shelves has food figures.")
    paper.table(("", "now", "then", "change"), rows, right=(1, 2, 3), widths=(24, 8, 8, 8))
    paper.heading(f"First gaps ({len(change.first_gaps)})")
    if change.first_gaps:
        gaps = [_gap(gap, today) for gap in change.first_gaps[:_MOST_GAPS]]
        paper.table(("product", "mark", "then", "runs out", "then"), gaps, widths=(28, 10, 10, 12, 12))
        if len(change.first_gaps) > _MOST_GAPS:
            paper.line(f"and {len(change.first_gaps) - _MOST_GAPS} more")
    else:
        paper.line("No product comes off worse.")
    paper.heading(f"Dishes that fall ({len(change.fallen)})")
    paper.line(listed(change.fallen, 20) + "." if change.fallen else "None.")
    if change.fallen_meals:
        paper.heading(f"Planned meals that fall ({len(change.fallen_meals)})")
        for meal in change.fallen_meals:
            paper.line(meal, indent=2)


def _before_after(name: str, before: float, after: float) -> Sequence[Piece]:
    return name, f"{before:.0f}", f"{after:.0f}", f"{after - before:+.0f}"


def _gap(gap: GapChange, today: date) -> Sequence[Piece]:
    def shown(day: date | None) -> str:
        if day is None:
            return "> 2 years"
        return "gone" if day <= today else near_day(day, today)

    return (
        gap.product,
        (gap.mark_before, STYLES[gap.mark_before]),
        (gap.mark_after, STYLES[gap.mark_after]),
        shown(gap.out_before),
        shown(gap.out_after),
    )
