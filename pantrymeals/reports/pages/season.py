"""The put-up list and the putting-up calendar, for the wall: a box for each load, to be crossed off as it is done."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pantrymeals.plans.season import FittedSeason, PutUpLine, PutUpList, ToBuy
from pantrymeals.reports.pages.typeset import (
    Block,
    Cell,
    Col,
    Origin,
    Printing,
    cautioned,
    chapter,
    page,
    picture,
    set_pages,
    table,
    title,
    words,
)
from pantrymeals.reports.season_words import jar_count, percent, range_words, weeks_of, window_words
from pantrymeals.reports.terminal.cautions import BEFORE
from pantrymeals.words import day_of_month, near_short_day

_LIST = (
    Col("Product", "1.3fr"), Col("Put up", "auto", "right"), Col("Raw", "auto"), Col("In from", "auto"),
    Col("A box for each load", "1.2fr"),
)  # fmt: skip
_CUT = (
    Col("To cut, in this order", "1.4fr"),
    Col("How many", "auto", "right"),
    Col("Would be called for", "auto", "right"),
    Col("For want of", "1fr"),
)
_BUY = (Col("To buy", "1.2fr"), Col("How many", "auto", "right"), Col("By", "auto"), Col("What for", "1.6fr"))
_WEEKS = (Col("Week", "auto"), Col("Hours", "auto", "right"), Col("What to put up", "1fr"))
_WAYS = (("canner", "To put up in jars"), ("freezer", "For the freezer"), ("other", "For cellar, loft and dry store"))


def season_pdf(
    wanted: PutUpList, fitted: FittedSeason, svg: str, origin: Origin, printing: Printing, bought: Sequence[ToBuy] = ()
) -> bytes:
    """The PDF's bytes. svg: the season by week, drawn. bought: what the list takes that is to be bought."""
    name = f"The season of {wanted.called()}, {origin.household}"
    sheets = [page(_list(wanted, fitted, bought), fit=True), page(_calendar(wanted, fitted, svg), fit=True)]
    return set_pages(name, sheets, origin, printing)


def _list(wanted: PutUpList, fitted: FittedSeason, bought: Sequence[ToBuy]) -> list[Block]:
    blocks: list[Block] = [
        title(f"The put-up list of {wanted.called()}", "As far as jars, hours, freezer and ground allow.")
    ]
    for way, said in _WAYS:
        blocks += chapter(
            said, _LIST, [_line(line, fitted, metric=wanted.metric) for line in wanted.lines if line.way == way]
        )
    if wanted.none:
        none = "; ".join(product for product, _ in wanted.none)
        blocks.append(words(("strong", "None of these:"), ("plain", f"{none}.")))
    cut = [(c.product, jar_count(c.jars, c.size), percent(c.chance), c.why) for c in fitted.cuts]
    blocks += chapter("What does not fit", _CUT, cut, close=True)
    blocks += chapter("To buy", _BUY, [_bought(item, wanted.today) for item in bought], close=True)
    return [*blocks, *cautioned(BEFORE, wanted.cautions)]


def _bought(item: ToBuy, today: date) -> Sequence[Cell]:
    count = jar_count(item.count, item.size) if item.size else str(round(item.count))
    return item.what, count, near_short_day(item.by, today) if item.by else "", item.why


def _line(line: PutUpLine, fitted: FittedSeason, *, metric: bool) -> Sequence[Cell]:
    fits = fitted.loads.get(line.product, line.loads)
    jars = jar_count(fits * line.load, line.size)
    less = f" of {jar_count(line.jars, line.size)}" if fits < line.loads else ""
    return (
        line.product,
        jars + less,
        range_words(line.raw_lb, metric=metric),
        window_words(line.first, line.last),
        {"strokes": fits if line.way == "canner" else min(fits, 1)},
    )


def _calendar(wanted: PutUpList, fitted: FittedSeason, svg: str) -> list[Block]:
    rows: list[Sequence[Cell]] = [
        (
            [("strong", week.name)],
            week.hours,
            [("tick", f"{day_of_month(day)}: {'; '.join(what)}") for day, what in week.days],
        )
        for week in weeks_of(wanted, fitted)
    ]
    blocks: list[Block] = [
        title(f"The putting-up calendar of {wanted.called()}", "Week by week; hours are taken of those there are.")
    ]
    if not rows:
        return [*blocks, words(("plain", "Nothing to put up."))]
    return [*blocks, picture(svg, "Hours and loads of each week of the season"), table(_WEEKS, rows, "lines", air=0.3)]
