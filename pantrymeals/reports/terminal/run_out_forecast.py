"""The run-out table, the back-test, what if and the whole larder's cover, on the terminal."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from pantrymeals.plans.menu import Mark
from pantrymeals.plans.outlook import BackTest, Forecast, ForecastRow, GapChange, LarderCover, WhatIf
from pantrymeals.reports.outlook_words import about_sized
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.words import day_and_year, listed, near_day

_CHAPTERS: tuple[tuple[Mark, str, str], ...] = (
    ("eat first", "Eat first: it will not keep", "magenta"),
    ("short", "Short of the day it must reach", "bold red"),
    ("tight", "Tight: within a jar or two", "yellow"),
    ("reaches", "Reaches its day", "green"),
    ("glut", "Glut: more than will be eaten", "cyan"),
    ("sitter", "Sitters: put up and not eaten", "cyan"),
    ("held", "Held: not to be eaten or counted", "red"),
    ("not on menus", "Kept off the menus", "dim"),
)
_HEADS = ("product", "on hand", "a week", "runs out", "must last to", "chance")
_QUIET = frozenset({"reaches", "held", "not on menus"})
_LONGEST_NAME = 26


def write_forecast(paper: Paper, forecast: Forecast, *, everything: bool = True) -> None:
    """The table by mark, with reasons and advice; ``everything`` also lists what reaches its day."""
    paper.line((f"Will it reach the new crop? The {forecast.household} larder", "bold"))
    paper.line(_rests_on(forecast))
    for note in forecast.notes:
        paper.line(note)
    for mark, title, style in _CHAPTERS:
        rows = [row for row in forecast.rows if row.mark == mark]
        if not rows:
            continue
        if mark == "reaches" and not everything:
            paper.heading(f"{title} ({len(rows)})")
            paper.line(listed((row.product for row in rows), 12) + ".")
            continue
        paper.heading(f"{title} ({len(rows)})")
        quiet = mark in _QUIET
        table = [(_cells(row, forecast.today, style), "" if quiet else _remark(row, forecast.today)) for row in rows]
        paper.ledger(_HEADS, table, right=(1, 2, 5))


def _rests_on(forecast: Forecast) -> str:
    day = day_and_year(forecast.today)
    if not forecast.book_weeks:
        return f"{day}, {forecast.paths} futures drawn (seed {forecast.seed})."
    return (
        f"{day}, from {forecast.book_weeks} weeks of the book; {forecast.paths} futures drawn "
        f"(seed {forecast.seed}); a season's pace strays by {forecast.season_wander:.0%} or so."
    )


def _cells(row: ForecastRow, today: date, style: str) -> Sequence[Piece]:
    name = row.product if len(row.product) <= _LONGEST_NAME else row.product[: _LONGEST_NAME - 1] + "…"
    pace = row.rates.book if row.rates.book is not None else row.rates.stated
    sound = row.mark not in ("held", "not on menus")
    return (
        (name, style),
        about_sized(row.on_hand if sound else row.on_hand + row.elsewhere, row.size),
        _rate(pace) if sound else "",
        _out(row, today) if sound else "",
        near_day(row.must_last_to, today) if row.must_last_to and sound else "",
        f"{row.chance:.0%}" if row.chance is not None and sound else "",
    )


def _out(row: ForecastRow, today: date) -> str:
    return near_day(row.out, today) if row.out else "> 2 years"


def _rate(rate: float | None) -> str:
    if rate is None:
        return "-"
    return f"{rate:.1f}" if rate >= 10 else f"{rate:.2f}"


def _remark(row: ForecastRow, today: date) -> str:
    """Reason and advice, then the range and the three rates side by side."""
    words = [row.reason]
    if row.advice:
        words.append(row.advice[:1].upper() + row.advice[1:] + ".")
    early = near_day(row.out_early, today) if row.out_early else "more than two years"
    late = near_day(row.out_late, today) if row.out_late else "more than two years"
    if row.mark != "sitter":
        words.append(f"Last one: {early} to {late} (10-90 %).")
    rates = row.rates
    words.append(f"A week: planned {_rate(rates.planned)}, book {_rate(rates.book)}, stated {_rate(rates.stated)}.")
    if row.reserve:
        words.append(f"Set back: {about_sized(row.reserve, row.size)}.")
    return " ".join(words)


def write_cover(paper: Paper, cover: LarderCover) -> None:
    """How long the whole larder feeds the household, and the five products that limit it."""
    paper.heading("How long the whole larder feeds us")
    if cover.meal_days is not None:
        paper.line(
            f"Full meals: {cover.meal_days:.0f} days at most, every dish cooked as often as need be, with "
            "what comes in week by week and without new crops or orders."
        )
    paper.line(
        f"Energy: {cover.energy_days:.0f} days. Protein: {cover.protein_days:.0f} days. "
        f"({cover.stored_kcal:,.0f} kcal stored; the household needs about {cover.kcal_a_day:,.0f} kcal and "
        f"{cover.protein_a_day_g:,.0f} g of protein a day.)"
    )
    for limit in cover.limiting:
        there = about_sized(limit.on_hand, limit.size)
        more = _days(limit.days_a_container)
        paper.line(("* ", "dim"), f"{limit.product}: {there} to use; one more adds {more}", indent=2, hang=2)
    if cover.unknown:
        paper.line(f"Not counted, no food figures: {listed(cover.unknown, 8)}.")


def _days(days: float) -> str:
    return f"{days:.1f} days" if days >= 0.95 else f"{days * 24:.0f} hours"


def write_back_test(paper: Paper, test: BackTest, *, months: int = 12) -> None:
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
        f"The 10-90 % range held {test.held:.0%} of the time ({test.held_evenly:.0%} with whole jars on its "
        f"edge shared out; 80 % would be just right). Less was used {test.below:.0%}, more {test.above:.0%}."
    )
    better = 1 - test.pinball / test.plain_pinball if test.plain_pinball else 0.0
    paper.line(
        f"Pinball loss {test.pinball:.2f} containers against {test.plain_pinball:.2f} for a plain average "
        f"of the last 12 weeks ({better:.0%} less)."
    )
    rows = [(day_and_year(m.day), str(m.cases), f"{m.held:.0%}", f"{m.held_evenly:.0%}") for m in test.months[-months:]]
    paper.table(("month-end", "asked", "held", "shared out"), rows, right=(1, 2, 3), widths=(14, 8, 8, 12))


def write_what_if(paper: Paper, change: WhatIf, today: date, *, most: int = 10) -> None:
    """What changes: days of food, first gaps, dishes and menus that fall."""
    paper.line(("What if", "bold"))
    for words in change.said:
        paper.line(("* ", "dim"), words, indent=2, hang=2)
    paper.heading("Days of food")
    rows: list[Sequence[Piece]] = []
    if change.meal_days_before is not None and change.meal_days_after is not None:
        rows.append(_before_after("full meals, at most", change.meal_days_before, change.meal_days_after))
    rows.append(_before_after("energy", change.energy_days_before, change.energy_days_after))
    paper.table(("", "now", "then", "change"), rows, right=(1, 2, 3), widths=(24, 8, 8, 8))
    paper.heading(f"First gaps ({len(change.first_gaps)})")
    if change.first_gaps:
        gaps = [_gap(gap, today) for gap in change.first_gaps[:most]]
        paper.table(("product", "mark", "then", "runs out", "then"), gaps, widths=(28, 10, 10, 12, 12))
        if len(change.first_gaps) > most:
            paper.line(f"and {len(change.first_gaps) - most} more")
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


_STYLE: Mapping[str, str] = {mark: style for mark, _, style in _CHAPTERS}


def _gap(gap: GapChange, today: date) -> Sequence[Piece]:
    def shown(day: date | None) -> str:
        if day is None:
            return "> 2 years"
        return "gone" if day <= today else near_day(day, today)

    return (
        gap.product,
        (gap.mark_before, _STYLE.get(gap.mark_before, "")),
        (gap.mark_after, _STYLE.get(gap.mark_after, "")),
        shown(gap.out_before),
        shown(gap.out_after),
    )
