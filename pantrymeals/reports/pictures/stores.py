"""Pictures of the shelf through the years of the book, and of the season by week."""

from __future__ import annotations

from collections.abc import Sequence

from pantrymeals.plans.book import ShelfDay
from pantrymeals.plans.season import SeasonWeek
from pantrymeals.reports.pictures.draw import (
    GREY,
    INK,
    LIGHT,
    PALE,
    Picture,
    amounts,
    days,
    layers,
    mark,
    named,
    titled,
    values,
    words,
)
from pantrymeals.reports.season_words import week_words
from pantrymeals.words import day_and_year, plural


def shelf_picture(name: str, unit: str, past: Sequence[ShelfDay]) -> Picture:
    """What stood on the shelf through the years of the book; a triangle where some came in."""
    told = (
        f"from {day_and_year(past[0].day)} to {day_and_year(past[-1].day)}" if past else "the book says nothing of it"
    )
    said = f"{name} on the shelf, {told}"

    there = {"y": amounts("there", title=unit)}
    marks = [
        mark("area", there, color=LIGHT, interpolate="step-after"),
        mark("line", there, color=INK, interpolate="step-after", strokeWidth=1.6),
        mark("point", there, only="datum.came > 0", shape="triangle-up", filled=True, color=INK, size=45, dy=-7,
             opacity=1),
    ]  # fmt: skip
    rows = ({"day": d.day, "there": float(d.there), "came": float(d.came)} for d in past)
    title = titled(said, "triangle: put up, brought in or bought")
    return Picture(f"{said}.", layers(rows, {"x": days("day")}, marks, width=640, height=240, title=title))


def season_picture(season: str, weeks: Sequence[SeasonWeek]) -> Picture:
    """The season by week: hours taken of those there are, and below them loads, jars and packs."""
    loads, jars = sum(week.loads for week in weeks), sum(week.jars for week in weeks)
    said = f"The season of {season} by week: {loads} loads, {jars} jars and packs in {plural(len(weeks), 'week')}"
    rows = [
        {"week": week_words(w.monday), "taken": float(w.hours), "there": float(w.hours_there), "loads": w.loads,
         "jars": w.jars, "said": str(w.jars) if w.jars else ""}
        for w in weeks
    ]  # fmt: skip
    names = [week_words(week.monday) for week in weeks]
    at, bare = {"x": named("week", names, labelAngle=-60)}, {"x": named("week", names, labels=False, ticks=False)}
    jars_at = {"y": amounts("jars", title="jars, packs")}
    charts = [
        (bare, 110, [
            mark("bar", {"y": amounts("there", title="hours")}, fill="white", stroke=GREY, strokeDash=[3, 2]),
            mark("bar", {"y": amounts("taken")}, color=GREY),
        ]),
        (bare, 60, [mark("bar", {"y": amounts("loads", title="loads", axis={"tickMinStep": 1})}, color=INK)]),
        (at, 110, [
            mark("bar", jars_at, color=PALE, stroke=INK, strokeWidth=0.6),
            mark("text", {**jars_at, "text": words("said")}, dy=-6),
        ]),
    ]  # fmt: skip
    chart = {
        "data": values(rows),
        "vconcat": [{"encoding": x, "layer": marks, "width": 640, "height": high} for x, high, marks in charts],
        "spacing": 6,
        "title": titled(said, "dashed: kitchen hours there are; grey: those it takes"),
    }
    return Picture(f"{said}.", chart)
