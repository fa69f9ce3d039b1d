"""The season's report for a terminal or a pipe, 80 columns: list, what fits, calendar, ground, cautions."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from pantrymeals.plans.season import FittedSeason, PutUpLine, PutUpList, ShelfPlace, SizeAdvice, ToBuy, TwoNeeds
from pantrymeals.reports.season_words import gain_words, jar_count, limit_words, range_words, weeks_of, window_words
from pantrymeals.reports.terminal import season_in_short as short
from pantrymeals.reports.terminal.cautions import BEFORE, write_cautions
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.words import capital, listed, plural, sentence, short_day

MOST_ONE_MORE = 8


class SeasonShown(Struct, frozen=True):
    """All that the season's report shows. without: what is left out, in the asker's words. menu_days: of menus."""

    household: str
    wanted: PutUpList
    fitted: FittedSeason
    sizes: tuple[SizeAdvice, ...]
    service: float
    without: tuple[str, ...] = ()
    bought: tuple[ToBuy, ...] = ()
    places: tuple[ShelfPlace, ...] = ()
    money: str = ""
    differ: tuple[TwoNeeds, ...] = ()
    menu_days: int = 0


def write_season(paper: Paper, shown: SeasonShown, *, full: bool = False) -> None:
    """The season in the order of deciding, on two screens; in full each product with its reasons after it."""
    wanted, fitted = shown.wanted, shown.fitted
    _write_head(paper, shown)
    short.write_cuts_in_short(paper, wanted, fitted, shown.places)
    short.write_two_needs(paper, shown.differ, shown.menu_days)
    short.write_buying(paper, shown.bought, shown.money, wanted.today)
    short.write_weeks_in_short(paper, wanted, fitted)
    if not full:
        short.write_none_in_short(paper, wanted)
        short.write_cautions_in_short(paper, wanted)
        return
    write_one_more(paper, fitted)
    write_limits(paper, wanted, fitted)
    write_list(paper, wanted, fitted)
    write_none(paper, wanted)
    write_calendar(paper, wanted, fitted)
    write_ground(paper, wanted)
    write_sizes(paper, shown.sizes)
    write_cautions(paper, BEFORE, wanted.cautions)


def _write_head(paper: Paper, shown: SeasonShown) -> None:
    wanted = shown.wanted
    paper.line((f"{shown.household}: the season of {wanted.called()}", "bold"))
    pace = "as run-out has it" if wanted.by_the_book else "at a year's need, the book being too young for a pace"
    paper.line(
        f"As of {short_day(wanted.today)} {wanted.today.year}. Aim: {round(shown.service * 100)} of every 100 called "
        f"for over the years, and a year's need with the odds of a failed crop; less what is carried over, {pace}, "
        "beyond what is set back."
    )
    if shown.without:
        paper.line(("Without: ", "bold"), listed(shown.without) + ".")


_CHAPTERS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("canner", "To put up in jars", ("product", "put up", "loads", "raw", "in from")),
    ("freezer", "For the freezer", ("product", "put up")),
    ("other", "For cellar, loft and dry store", ("product", "wanted")),
)


def write_list(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """What goes in jars, freezer and store: loads, jars, pounds; and the reason of each below it."""
    for way, title, heads in _CHAPTERS:
        rows = [
            (_cells(line, fitted, metric=wanted.metric), _remark(line, fitted, metric=wanted.metric))
            for line in wanted.lines
            if line.way == way
        ]
        if rows:
            paper.heading(title)
            paper.ledger(heads, rows, right=(2,) if way == "canner" else ())


def _cells(line: PutUpLine, fitted: FittedSeason, *, metric: bool) -> list[Piece]:
    fits = fitted.loads.get(line.product, line.loads)
    jars: Piece = jar_count(line.jars, line.size)
    if line.way != "canner":
        return [line.product, jars]
    loads: Piece = str(line.loads) if fits == line.loads else (f"{fits} of {line.loads}", "bold yellow")
    return [line.product, jars, loads, range_words(line.raw_lb, metric=metric), window_words(line.first, line.last)]


def _remark(line: PutUpLine, fitted: FittedSeason, *, metric: bool) -> str:
    parts = [sentence(line.why)]
    if line.containers_in is not None and not metric:  # bushels are no measure of a metric kitchen
        parts.append(sentence(range_words(line.containers_in)))
    if line.need.note:
        parts.append(sentence(line.need.note))
    fits = fitted.loads.get(line.product, line.loads)
    if fits < line.loads:
        jars = jar_count(fits * line.load, line.size)
        parts.append(f"Of these {jars} fit." if line.in_kitchen else f"The ground brings {jars}.")
    return " ".join(parts)


def write_none(paper: Paper, wanted: PutUpList) -> None:
    """Products to leave alone, with why."""
    if not wanted.none:
        return
    paper.heading("None of these")
    for product, why in wanted.none:
        paper.line((f"{product}: ", "bold"), sentence(why), hang=2)


def write_one_more(paper: Paper, fitted: FittedSeason) -> None:
    """What one more of each scarce thing would bring."""
    if not fitted.cuts:
        return
    gains = [item for item in fitted.one_more if item.gain > 0 and item.jars][:MOST_ONE_MORE]
    nothing = [item.what for item in fitted.one_more if item.gain <= 0]
    paper.heading("What one more would bring")
    for item in gains:
        paper.line((f"{capital(item.what)}: ", "bold"), gain_words(item), hang=2)
    if nothing:
        paper.line("Nothing: ", "; ".join(nothing) + ".", hang=2)


def write_limits(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """Jars and loads in all, and each limit at its tightest."""
    canned = [line for line in wanted.lines if line.way == "canner"]
    jars = sum(fitted.loads.get(line.product, line.loads) * line.load for line in canned)
    loads = sum(fitted.loads.get(line.product, line.loads) for line in canned)
    paper.heading("What it takes")
    paper.line(f"{plural(jars, 'jar')}, {plural(loads, 'load')}.")
    if fitted.uses:
        paper.blank()
        cells = [(use.what, limit_words(use, metric=wanted.metric)) for use in fitted.uses]
        paper.table(["limit", "taken at its tightest"], cells)


def write_calendar(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """Week by week: hours, and loads by day."""
    weeks = weeks_of(wanted, fitted)
    if weeks:
        paper.heading("Week by week, day by day")
    for week in weeks:
        paper.line((f"{week.name}{f': {week.hours} hours' if week.hours else ''}", "bold"))
        for day, what in week.days:
            paper.line(f"{short_day(day)}  " + "; ".join(what), indent=2, hang=12)


def write_ground(paper: Paper, wanted: PutUpList) -> None:
    """Feet of row and plants for what the garden must bring, as ranges with their source."""
    lines = [line for line in wanted.lines if line.row_ft is not None or line.plants is not None]
    if not lines:
        return
    paper.heading("From the garden")
    rows: list[tuple[list[Piece], str]] = []
    for line in lines:
        both = [w for w in (range_words(line.row_ft, metric=wanted.metric), range_words(line.plants)) if w]
        rows.append(([line.product, range_words(line.raw_lb, metric=wanted.metric), " or ".join(both)], ""))
    paper.ledger(["for", "raw", "row or plants"], rows)
    paper.blank()
    spans = [s for line in lines for s in (line.raw_lb, line.row_ft, line.plants) if s is not None]
    spans += [line.raw_lb for line in wanted.lines if line.raw_lb is not None]
    sources = sorted({part for span in spans for part in span.source.split("; ")} - {"by weight"})
    paper.line("Ranges from: " + "; ".join(_short(sources)) + ".", hang=2)
    if any(span.from_memory for span in spans):
        paper.line("* a published figure recalled, not read again", hang=2)


def _short(sources: Iterable[str]) -> list[str]:
    """Publications once each; the reissue and the way it was seen are in the tables themselves."""
    names = []
    for source in sources:
        name = source.split(", Guide")[0].split(", Home Vegetable")[0]
        if name[:1].isupper() and name not in names:
            names.append(name)
    return names


def write_sizes(paper: Paper, sizes: tuple[SizeAdvice, ...]) -> None:
    """Jar sizes that leave no half jars."""
    if not sizes:
        return
    paper.heading("Another jar size")
    for advice in sizes:
        paper.line((f"{advice.product}: ", "bold"), sentence(advice.why), hang=2)
