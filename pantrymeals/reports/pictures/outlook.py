"""Pictures of what is foreseen: one product going down, the whole larder on one board, the hungry gap by family."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from pantrymeals.plans.outlook import Course, FamilyWeek, Forecast, ForecastRow
from pantrymeals.reports.pictures.draw import GREY, INK, LIGHT, MONTH_AND_YEAR, PALE, Picture, values
from pantrymeals.reports.terminal.run_out_forecast import gap_runs
from pantrymeals.reports.words import about_sized
from pantrymeals.words import day_and_year, plural

if TYPE_CHECKING:
    import altair as alt

_ROW = 15
"""Points to a line of the board."""
_FURTHEST = timedelta(weeks=80)
"""Beyond, the board ends with an arrow: two winters are all that anybody plans for."""


def _months(of: str = "day:T", *, top: bool = False) -> alt.X:
    import altair as alt

    side: dict[str, Any] = {"orient": "top"} if top else {}
    return alt.X(of, title=None, axis=alt.Axis(format=MONTH_AND_YEAR, labelOverlap=True, tickCount="month", **side))


def course_picture(course: Course) -> Picture:
    """One product: its band as eaten, both paces, and the day it must last to."""
    row, due = course.row, course.row.due()
    back = f" above the {about_sized(row.reserve, row.size)} set back" if row.reserve else ""
    said = f"{row.product}: {about_sized(row.on_hand, row.size)} on hand on {day_and_year(course.today)}"
    dots = "dots: if the menus are followed" if row.as_eaten else "dots: at an even hand, or as the menus say"
    key = f"line: as you have been eating, grey: so in 80 of 100 futures; {dots}" if row.as_eaten else dots

    def chart() -> Any:
        import altair as alt

        data = values(asdict(point) for point in course.points)
        up = alt.Scale(domainMin=0)
        base = alt.Chart(data).encode(x=_months())
        layers: list[Any] = []
        if row.as_eaten is not None:
            layers.append(
                base.mark_area(color=PALE).encode(y=alt.Y("low:Q", title=row.size + back, scale=up), y2="high:Q")
            )
            layers.append(base.mark_line(color=INK, strokeWidth=2.2).encode(y="middle:Q"))
        dotted = base.mark_line(color=INK, strokeWidth=1.8, strokeDash=[2, 3])
        layers.append(dotted.encode(y=alt.Y("planned:Q", title=row.size + back, scale=up)))
        if due is not None and due > course.today:
            why = "to be gone by" if row.eat_by else "must last to"
            mark = alt.Chart(values([{"day": due, "said": f"{why} {day_and_year(due)}"}])).encode(x=_months())
            layers.append(mark.mark_rule(color=INK, strokeDash=[7, 4], strokeWidth=1.4))
            layers.append(mark.mark_text(angle=270, align="right", dx=-3, dy=-8).encode(y=alt.value(0), text="said:N"))
        title = alt.Title(said, subtitle=[row.leading().reason, key])
        return alt.layer(*layers).properties(width=620, height=260, title=title)

    return Picture(f"{said}. {row.leading().reason}", chart)


def board_picture(forecast: Forecast) -> Picture:
    """All products on one time line: from today to the last one, the gap before the new crop, what keeps past it."""
    rows = [row for row in forecast.rows if row.on_hand > 0 and row.leading().mark not in ("held", "not on menus")]
    end = forecast.today + _FURTHEST
    rows.sort(key=lambda row: (min(row.leading().out or end, end), row.product))
    drawn = [_bar(row, forecast.today, end) for row in rows]
    names = [str(each["product"]) for each in drawn]
    short = [row.product for row in rows if row.leading().mark == "short"]
    told = f"{plural(len(rows), 'product')}, {len(short)} short of their day"
    said = f"The {forecast.household} larder from {day_and_year(forecast.today)}: {told}"

    def chart() -> Any:
        import altair as alt

        lines = alt.Axis(ticks=False, domain=False, labelFontSize=11, grid=True, gridColor=LIGHT)
        base = alt.Chart(values(drawn)).encode(y=alt.Y("product:N", sort=names, title=None, axis=lines))
        boxes: dict[str, Any] = {"fill": "white", "stroke": INK, "strokeDash": [3, 2], "strokeWidth": 1, "height": 9}
        layers = (
            base.mark_bar(color=PALE, height=9).encode(x=_months("start:T", top=True), x2="late:T"),
            base.mark_bar(**boxes).transform_filter("datum.gap").encode(x="out:T", x2="due:T"),
            base.mark_bar(color=INK, height=4).encode(x="start:T", x2="out:T"),
            base.mark_point(shape="diamond", fill="white", stroke=INK, strokeWidth=1.3, size=55, opacity=1)
            .transform_filter("datum.due != null").encode(x="due:T"),
            base.mark_text(text="\u2192", align="left", dx=2, fontSize=13)
            .transform_filter("datum.beyond").encode(x="out:T"),
        )  # fmt: skip
        key = [
            "black: until the last one goes; grey: as long as it may last; diamond: its day, to last to or be gone by;",
            "dashed box: missing before that day; arrow: it lasts longer than is shown",
        ]
        height = _ROW * max(1, len(rows))
        return alt.layer(*layers).properties(width=640, height=height, title=alt.Title(said, subtitle=key))

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
    said = f"The hungry gap at the {household} table: {told}"

    def chart() -> Any:
        import altair as alt

        base = alt.Chart(values(asdict(run) for run in runs if run.family in first)).encode(
            y=alt.Y("family:N", sort=shown, title=None, axis=alt.Axis(ticks=False, domain=False)),
            x=_months(top=True),
            x2="until:T",
        )
        shade = alt.Color("part:Q", scale=alt.Scale(domain=[0, 1], range=[LIGHT, GREY]), legend=None)
        boxes: dict[str, Any] = {"fill": "white", "stroke": INK, "strokeWidth": 1, "strokeDash": [3, 2], "height": 11}
        layers = (
            base.mark_bar(height=11).transform_filter("datum.part > 0").encode(color=shade),
            base.mark_bar(**boxes).transform_filter("datum.part == 0"),
        )
        key = [
            "darker: more of its kinds are there; dashed box: none is, to its new crop where that day is known",
            f"not shown: {plural(whole, 'family')} of which every kind is there all the year",
        ]
        height = 17 * max(1, len(shown))
        return alt.layer(*layers).properties(width=600, height=height, title=alt.Title(said, subtitle=key))

    return Picture(f"{said}{': ' if lean else ''}{', '.join(lean)}.", chart)
