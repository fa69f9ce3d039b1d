"""Pictures of what is foreseen: one product going down, the whole larder on one board, the hungry gap by family."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from msgspec.structs import asdict

from pantrymeals.plans.outlook import Course, FamilyWeek, Forecast, ForecastRow
from pantrymeals.reports.pictures.draw import (
    GREY,
    INK,
    LIGHT,
    PALE,
    Chart,
    Picture,
    amounts,
    days,
    layers,
    mark,
    named,
    on,
    titled,
    values,
    words,
)
from pantrymeals.reports.terminal.run_out_forecast import gap_runs
from pantrymeals.reports.words import about_sized, own_pace_words
from pantrymeals.words import capital, day_and_year, plural, the_house

_ROW = 15
"""Points to a line of the board."""
_ARROW = "M-1,0H1M0.2,-0.8L1,0L0.2,0.8"
"""Drawn and not written: a letter takes a hundred times as long."""
_FURTHEST = timedelta(weeks=80)
"""Beyond, the board ends with an arrow: two winters are all that anybody plans for."""


_MISSING: Mapping[str, object] = {"fill": "white", "stroke": INK, "strokeDash": [3, 2], "strokeWidth": 1}
"""How a box looks in which nothing is."""


def _months(field: str, **axis: object) -> Chart:
    return days(field, tickCount="month", **axis)


def course_picture(course: Course) -> Picture:
    """One product: its band as eaten, both paces, and the day it must last to."""
    row, due = course.row, course.row.due()
    back = f" above the {about_sized(row.reserve, row.size)} set back" if row.reserve else ""
    said = f"{row.product}: {about_sized(row.on_hand, row.size)} on hand on {day_and_year(course.today)}"
    dots = "dots: if the menus are followed" if row.as_eaten else "dots: at an even hand, or as the menus say"
    own = own_pace_words([row])
    key = f"line: {own}, grey: so in 80 of 100 futures; {dots}" if row.as_eaten else dots

    def there(field: str) -> Chart:
        return amounts(field, title=row.size + back, scale={"domainMin": 0})

    marks: list[Chart] = []
    if row.as_eaten is not None:
        marks.append(mark("area", {"y": there("low"), "y2": {"field": "high"}}, color=PALE))
        marks.append(mark("line", {"y": amounts("middle")}, color=INK, strokeWidth=2.2))
    marks.append(mark("line", {"y": there("planned")}, color=INK, strokeWidth=1.8, strokeDash=[2, 3]))
    if due is not None and due > course.today:
        why = "to be gone by" if row.eat_by else "must last to"
        told = {"y": {"value": 0}, "text": words("said")}
        line = mark("rule", {}, color=INK, strokeDash=[7, 4], strokeWidth=1.4)
        beside = mark("text", told, angle=270, align="right", dx=-3, dy=-8)
        marks.append({"data": values([{"day": due, "said": f"{why} {day_and_year(due)}"}]), "layer": [line, beside]})
    title = titled(said, row.leading().reason, key)
    points = (asdict(point) for point in course.points)
    chart = layers(points, {"x": _months("day")}, marks, width=620, height=260, title=title)
    return Picture(f"{said}. {row.leading().reason}", chart)


def board_picture(forecast: Forecast) -> Picture:
    """All products on one time line: from today to the last one, the gap before the new crop, what keeps past it.

    What is short is drawn though none is there; what is too young to tell is counted and not drawn.
    """
    told_of = [row for row in forecast.rows if not row.untold() and row.leading().mark not in ("held", "not on menus")]
    rows = [row for row in told_of if row.on_hand > 0 or row.leading().mark == "short"]
    end = forecast.today + _FURTHEST
    rows.sort(key=lambda row: (min(row.leading().out or end, end), row.product))
    drawn = [_bar(row, forecast.today, end) for row in rows]
    short = [row.product for row in rows if row.leading().mark == "short"]
    untold = sum(row.untold() for row in forecast.rows)
    told = f"{plural(len(rows), 'product')}, {len(short)} short of their day"
    told += f"; too young to tell of {untold} more" if untold else ""
    said = f"{capital(the_house(forecast.household))} larder from {day_and_year(forecast.today)}: {told}"

    ahead = {"x": on("due")}
    marks = [
        mark("bar", {"x": _months("start", orient="top"), "x2": {"field": "late"}}, color=PALE, height=9),
        mark("bar", {"x": on("out"), "x2": {"field": "due"}}, only="datum.gap", height=9, **_MISSING),
        mark("bar", {"x": on("start"), "x2": {"field": "out"}}, color=INK, height=4),
        mark("point", ahead, only="datum.due != null", shape="diamond", fill="white", stroke=INK, strokeWidth=1.3,
             size=55, opacity=1),
        mark("point", {"x": on("out")}, only="datum.beyond", shape=_ARROW, stroke=INK, size=90, strokeWidth=1.2,
             xOffset=8, opacity=1),
    ]  # fmt: skip
    title = titled(
        said,
        "black: until the last one goes; grey: as long as it may last; diamond: its day, to last to or be gone by;",
        "dashed box: missing before that day; arrow: it lasts longer than is shown",
    )
    lines: dict[str, object] = {
        "ticks": False, "domain": False, "labelFontSize": 11, "grid": True, "gridColor": LIGHT,
    }  # fmt: skip
    names = {"y": named("product", [str(each["product"]) for each in drawn], **lines)}
    chart = layers(drawn, names, marks, width=640, height=_ROW * max(1, len(rows)), title=title)
    return Picture(f"{said}{': ' if short else ''}{', '.join(short)}.", chart)


def _bar(row: ForecastRow, today: date, end: date) -> Mapping[str, object]:
    pace, due = row.leading(), row.due()
    out = min(pace.out or end, end)
    ahead = due if due is not None and today < due <= end else None
    return {
        "product": f"{row.product}, {about_sized(row.on_hand, row.size)}",
        "start": today,
        "out": max(out, today + timedelta(days=1)),
        "late": min(pace.out_late or end, end),
        "due": ahead,
        "gap": bool(row.must_last_to and ahead and out < ahead),
        "beyond": pace.out is None or pace.out > end,
    }


def gap_picture(weeks: Sequence[FamilyWeek], household: str) -> Picture:
    """The hungry gap: each family of food over the year, dark where all its kinds are there, an open box for none."""
    runs = gap_runs(weeks)
    lean = sorted({run.family for run in runs if not run.part})
    first = {run.family: run.day for run in reversed(runs) if run.part < 1}
    shown = list(first)
    shown.sort(key=lambda name: (name not in lean, first[name], name))
    whole = len({week.family for week in weeks}) - len(shown)
    told = f"{plural(len(lean), 'family')} of food gone for a while" if lean else "no family of food is ever gone"
    said = f"The hungry gap at {the_house(household)} table: {told}"

    shade = amounts("part", scale={"domain": [0, 1], "range": [LIGHT, GREY]}, legend=None)
    marks = [
        mark("bar", {"color": shade}, only="datum.part > 0", height=11),
        mark("bar", {}, only="datum.part == 0", height=11, **_MISSING),
    ]
    title = titled(
        said,
        "darker: more of its kinds are there; dashed box: none is, to its new crop where that day is known",
        f"not shown: {plural(whole, 'family')} of which every kind is there all the year",
    )
    shared = {
        "y": named("family", shown, ticks=False, domain=False),
        "x": _months("day", orient="top"),
        "x2": {"field": "until"},
    }
    parts = (asdict(run) for run in runs if run.family in first)
    chart = layers(parts, shared, marks, width=600, height=17 * max(1, len(shown)), title=title)
    return Picture(f"{said}{': ' if lean else ''}{', '.join(lean)}.", chart)
