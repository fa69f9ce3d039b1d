"""Pictures of the shelf through the years of the book, and of the season by week."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pantrymeals.plans.season import SeasonWeek, ShelfDay
from pantrymeals.reports.pictures.draw import GREY, INK, LIGHT, MONTH_AND_YEAR, PALE, Picture, values
from pantrymeals.reports.season_words import week_words
from pantrymeals.words import day_and_year, plural


def shelf_picture(name: str, unit: str, days: Sequence[ShelfDay]) -> Picture:
    """What stood on the shelf through the years of the book; a triangle where some came in."""
    told = (
        f"from {day_and_year(days[0].day)} to {day_and_year(days[-1].day)}" if days else "the book says nothing of it"
    )
    said = f"{name} on the shelf, {told}"

    def chart() -> Any:
        import altair as alt

        data = values({"day": d.day, "there": float(d.there), "came": float(d.came)} for d in days)
        x = alt.X("day:T", title=None, axis=alt.Axis(format=MONTH_AND_YEAR, labelOverlap=True))
        base = alt.Chart(data).encode(x=x, y=alt.Y("there:Q", title=unit))
        layers = (
            base.mark_area(color=LIGHT, interpolate="step-after"),
            base.mark_line(color=INK, interpolate="step-after", strokeWidth=1.6),
            base.mark_point(shape="triangle-up", filled=True, color=INK, size=45, dy=-7, opacity=1)
            .transform_filter("datum.came > 0"),
        )  # fmt: skip
        title = alt.Title(said, subtitle="triangle: put up, brought in or bought")
        return alt.layer(*layers).properties(width=640, height=240, title=title)

    return Picture(f"{said}.", chart)


def season_picture(season: int, weeks: Sequence[SeasonWeek]) -> Picture:
    """The season by week: hours taken of those there are, and below them loads, jars and packs."""
    loads, jars = sum(week.loads for week in weeks), sum(week.jars for week in weeks)
    said = f"The season of {season} by week: {loads} loads, {jars} jars and packs in {plural(len(weeks), 'week')}"
    rows = [
        {"week": week_words(w.monday), "taken": float(w.hours), "there": float(w.hours_there), "loads": w.loads,
         "jars": w.jars, "said": str(w.jars) if w.jars else ""}
        for w in weeks
    ]  # fmt: skip
    names = [week_words(week.monday) for week in weeks]

    def chart() -> Any:
        import altair as alt

        base = alt.Chart(values(rows))
        named = alt.X("week:N", sort=names, title=None, axis=alt.Axis(labelAngle=-60))
        bare = alt.X("week:N", sort=names, title=None, axis=alt.Axis(labels=False, ticks=False))
        there = base.mark_bar(fill="white", stroke=GREY, strokeDash=[3, 2])
        hours = there.encode(x=bare, y=alt.Y("there:Q", title="hours")) + base.mark_bar(color=GREY).encode(
            x=bare, y="taken:Q"
        )
        whole = alt.Axis(tickMinStep=1)
        canned = base.mark_bar(color=INK).encode(x=bare, y=alt.Y("loads:Q", title="loads", axis=whole))
        filled = base.mark_bar(color=PALE, stroke=INK, strokeWidth=0.6).encode(
            x=named, y=alt.Y("jars:Q", title="jars, packs")
        )
        numbers = base.mark_text(dy=-6).encode(x=named, y="jars:Q", text="said:N")
        parts = [(hours, 110), (canned, 60), (filled + numbers, 110)]
        title = alt.Title(said, subtitle="dashed: kitchen hours there are; grey: those it takes")
        return alt.vconcat(*(each.properties(width=640, height=high) for each, high in parts), spacing=6).properties(
            title=title
        )

    return Picture(f"{said}.", chart)
