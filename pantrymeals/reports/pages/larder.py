"""The whole larder on one page for a browser or a mail: pictures and tables, no script, nothing fetched."""

from __future__ import annotations

from base64 import b64encode
from collections import Counter
from collections.abc import Sequence
from importlib.resources import files

from msgspec import Struct

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.outlook import AtPace, EatFirst, FamilyWeek, Forecast, LarderCover
from pantrymeals.reports.lasts_words import lasts_words
from pantrymeals.reports.pages.typeset import Origin
from pantrymeals.reports.pictures.draw import Picture, svg
from pantrymeals.reports.terminal.run_out_forecast import CHAPTERS, gap_runs, planned_words
from pantrymeals.reports.words import about_sized, own_pace_words
from pantrymeals.words import capital, day_and_year, listed, plural, sentence, the_house


class HtmlTable(Struct, frozen=True):
    """A table of the page; right: the columns of figures."""

    name: str
    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    right: frozenset[int] = frozenset()


class Chapter(Struct, frozen=True):
    """A chapter of the page."""

    name: str
    lines: Sequence[str] = ()
    drawn: Sequence[Picture] = ()
    tables: Sequence[HtmlTable] = ()

    @property
    def pictures(self) -> list[dict[str, str]]:
        """Its pictures as the page takes them."""
        return [
            {
                "name": each.said.split(":")[0],
                "said": each.said,
                "data": b64encode(svg(each).encode("utf-8")).decode("ascii"),
            }
            for each in self.drawn
        ]


def larder_html(origin: Origin, parts: Sequence[Chapter]) -> bytes:
    """The page; the same parts give the same bytes."""
    from jinja2 import Environment, StrictUndefined

    text = files("pantrymeals.reports.pages").joinpath("larder.html").read_text(encoding="utf-8")
    template = Environment(autoescape=True, undefined=StrictUndefined).from_string(text)
    title = f"{capital(the_house(origin.household))} larder, {day_and_year(origin.today)}"
    page = template.render(
        title=title,
        origin=origin.words,
        parts=[p for p in parts if p.lines or p.drawn or p.tables],
        caution=STANDING_LINE,
    )
    return page.encode("utf-8")


def run_out_part(forecast: Forecast, cover: LarderCover, board: Picture) -> Chapter:
    """Will it reach: how many of each mark, the board, and every product."""
    marks: dict[str, str] = {"": "Too young to tell"} | {mark: title for mark, title, _ in CHAPTERS}
    led = Counter("" if row.untold() else row.leading().mark for row in forecast.rows)
    counted = [f"{title}: {led[mark]}" for mark, title in marks.items() if led[mark]]
    lines = [f"{'; '.join(counted)}."] if counted else ["Nothing is in the house."]
    lines.append(lasts_words(cover))
    rows = [
        (
            row.product,
            about_sized(row.in_the_house(), row.size),
            day_and_year(due) if (due := row.due()) else "",
            "too young to tell" if row.untold() else _at(row.as_eaten),
            "" if row.untold() else _at(row.as_planned),
        )
        for row in sorted(forecast.rows, key=lambda row: (list(marks).index(row.leading().mark), row.product))
    ]
    heads = ("Product", "On hand", "Its day", capital(own_pace_words(forecast.rows)), capital(planned_words(forecast)))
    return Chapter(
        "Will it reach the new crop?",
        lines,
        [board],
        [HtmlTable("When each product runs out", heads, rows, frozenset({1}))],
    )


def _at(pace: AtPace | None) -> str:
    if pace is None:
        return "-"
    if pace.mark in ("held", "not on menus"):
        return pace.mark
    return f"{pace.mark}, {'over two years' if pace.out is None else day_and_year(pace.out)}"


def gap_part(weeks: Sequence[FamilyWeek], picture: Picture) -> Chapter:
    """The hungry gap: the picture, and when what is gone."""
    rows = [
        (
            run.family,
            "none" if not run.part else "not all",
            day_and_year(run.day),
            day_and_year(run.until),
            listed(run.gone, 6),
        )
        for run in gap_runs(weeks)
        if run.part < 1
    ]
    table = HtmlTable("What is gone when", ("Family", "There", "From", "To", "Gone"), rows)
    return Chapter(
        "The hungry gap",
        () if rows else ("Every kind of every family is there all the year.",),
        [picture],
        [table] if rows else [],
    )


def eat_first_part(sheet: EatFirst) -> Chapter:
    """What will not wait."""
    rows = [
        (row.product, about_sized(row.amount, row.size), row.where, sentence(capital(row.why)), " or ".join(row.dishes))
        for row in sheet.must_go
    ]
    table = HtmlTable("What to eat first", ("Product", "How much", "Where", "Why", "Cook"), rows, frozenset({1}))
    lines = [f"{plural(len(rows), 'thing')} that will not wait." if rows else "Nothing presses just now."]
    return Chapter("Eat first", lines, (), [table] if rows else [])
