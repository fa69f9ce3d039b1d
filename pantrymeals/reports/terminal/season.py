"""The season's report for a terminal or a pipe, 80 columns: list, what fits, calendar, ground, cautions."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.plans.season import FittedSeason, OneMore, PutUpLine, PutUpList, SizeAdvice
from pantrymeals.reports.season_words import (
    jar_count,
    limit_words,
    number,
    percent,
    range_words,
    week_words,
    window_words,
)
from pantrymeals.reports.terminal.cautions import BEFORE, write_cautions
from pantrymeals.reports.terminal.paper import Paper, Piece
from pantrymeals.words import capital, listed, plural, sentence, short_day

MOST_ONE_MORE, MOST_CUTS, MOST_NAMED = 8, 8, 5


def write_season(
    paper: Paper,
    household_name: str,
    wanted: PutUpList,
    fitted: FittedSeason,
    sizes: Iterable[SizeAdvice],
    service: float,
    without: tuple[str, ...] = (),
) -> None:
    """The whole report, in the order of deciding: what to cut, what to buy, which weeks; then each product."""
    paper.line((f"{household_name}: the season of {wanted.season}", "bold"))
    paper.line(f"From the shelf and the book as of {short_day(wanted.today)} {wanted.today.year}.")
    paper.line(
        f"Aim: over the years the shelf gives {round(service * 100)} of every 100 that the table calls for, "
        "and never less than a year's need and the odds of a failed crop again."
    )
    pace = "run-out says is left" if wanted.by_the_book else "a year's need leaves (the book is too young for a pace)"
    paper.line(f"Carried over: what {pace} on the day the crop comes in, beyond what is set back.")
    if without:
        paper.line(("Without: ", "bold"), listed(without) + ".")
    write_cuts(paper, fitted)
    write_one_more(paper, fitted)
    write_lids(paper, wanted, fitted)
    write_weeks(paper, wanted, fitted)
    write_list(paper, wanted, fitted)
    write_none(paper, wanted)
    write_calendar(paper, wanted, fitted)
    write_ground(paper, wanted)
    write_sizes(paper, tuple(sizes))
    write_cautions(paper, BEFORE, wanted.cautions)


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
        parts.append(f"The ground brings {jars}." if line.way == "other" else f"Of these {jars} fit.")
    return " ".join(parts)


def write_none(paper: Paper, wanted: PutUpList) -> None:
    """Products to leave alone, with why."""
    if not wanted.none:
        return
    paper.heading("None of these")
    for product, why in wanted.none:
        paper.line((f"{product}: ", "bold"), sentence(why), hang=2)


def write_cuts(paper: Paper, fitted: FittedSeason) -> None:
    """What does not fit, to be cut in this order; or that all of it does."""
    paper.heading("What fits")
    if not fitted.cuts:
        paper.line("All of it fits the jars, hours, freezer and ground there are.")
        return
    proof = "No better choice exists (proven)." if fitted.proven else "The best found in the time; not proven."
    paper.line(f"Not all of it fits. Cut in this order, what will be missed least first. {proof}")
    paper.blank()
    rows: list[tuple[list[Piece], str]] = []
    for cut in fitted.cuts[:MOST_CUTS]:
        cells: list[Piece] = [cut.product, jar_count(cut.jars, cut.size), percent(cut.chance)]
        rows.append((cells, f"For want of {cut.why}."))
    paper.ledger(["cut", "how many", "would be called for"], rows, right=(2,))
    if more := fitted.cuts[MOST_CUTS:]:
        paper.line(f"And then {listed(dict.fromkeys(cut.product for cut in more), 12)}.")
    for note in fitted.notes:
        paper.blank()
        paper.line(sentence(note))


def write_one_more(paper: Paper, fitted: FittedSeason) -> None:
    """What one more of each scarce thing would bring."""
    if not fitted.cuts:
        return
    gains = [item for item in fitted.one_more if item.gain > 0 and item.jars][:MOST_ONE_MORE]
    nothing = [item.what for item in fitted.one_more if item.gain <= 0]
    paper.heading("What one more would bring")
    for item in gains:
        paper.line((f"{capital(item.what)}: ", "bold"), _gain_words(item), hang=2)
    if nothing:
        paper.line("Nothing: ", "; ".join(nothing) + ".", hang=2)


def _gain_words(item: OneMore) -> str:
    more = [f"{jar_count(n, size)} {product}" for product, size, n in item.jars if n > 0]
    less = [f"{jar_count(-n, size)} {product}" for product, size, n in item.jars if n < 0]
    words = listed(more) + " more" if more else "a better choice"
    if less:
        words += f", for {listed(less)} less"
    return words + ("." if item.proven else " (not proven).")


def write_lids(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """Jars, lids and the other limits at their tightest."""
    canned = [line for line in wanted.lines if line.way == "canner"]
    jars = sum(fitted.loads.get(line.product, line.loads) * line.load for line in canned)
    loads = sum(fitted.loads.get(line.product, line.loads) for line in canned)
    paper.heading("What it takes")
    paper.line(f"{plural(jars, 'jar')}, {plural(loads, 'load')}, {plural(jars, 'lid')}.")
    buy = [f"{n} {kind}" for kind, n in fitted.flats_to_buy.items() if n]
    first = min(
        (item.day for item in fitted.days if any(item.product == line.product for line in canned)), default=None
    )
    by = f", by {short_day(first)}, the first day in jars" if buy and first else ""
    paper.line("Lids to buy: " + (listed(buy) if buy else "none") + by + ".")
    if fitted.uses:
        paper.blank()
        cells = [(use.what, limit_words(use, metric=wanted.metric)) for use in fitted.uses]
        paper.table(["limit", "taken at its tightest"], cells)


@dataclass(frozen=True, slots=True)
class Week:
    """A week of putting up: '20-26 Jul', '12 of 20' hours ('' where it takes none), and what on which day."""

    monday: date
    name: str
    hours: str
    days: tuple[tuple[date, tuple[str, ...]], ...]


def weeks_of(wanted: PutUpList, fitted: FittedSeason) -> tuple[Week, ...]:
    """The weeks in which something is put up in jars or freezer."""
    by_name = {line.product: line for line in wanted.lines}
    weeks: Mapping[date, dict[date, list[str]]] = defaultdict(lambda: defaultdict(list))
    for item in sorted(fitted.days, key=lambda item: (item.day, item.product)):
        line = by_name[item.product]
        if line.way == "other":
            continue
        loads = f" ({plural(item.loads, 'load')})" if line.way == "canner" else ""
        said = f"{item.product} {jar_count(item.loads * line.load, line.size)}{loads}"
        weeks[item.day - timedelta(days=item.day.weekday())][item.day].append(said)
    found = []
    for monday in sorted(weeks):
        taken, have = fitted.hours_by_week.get(monday, (Fraction(0), Fraction(0)))
        hours = f"{number(taken)} of {number(have)}" if taken else ""
        days = tuple((day, tuple(what)) for day, what in sorted(weeks[monday].items()))
        found.append(Week(monday, week_words(monday), hours, days))
    return tuple(found)


def write_weeks(paper: Paper, wanted: PutUpList, fitted: FittedSeason) -> None:
    """The weeks of putting up, a line each: hours, and which products."""
    weeks = weeks_of(wanted, fitted)
    if not weeks:
        return
    by_name = {line.product: line for line in wanted.lines}
    paper.heading("The weeks and their hours (day by day further down)")
    for week in weeks:
        sunday = week.monday + timedelta(days=6)
        names = dict.fromkeys(
            item.product
            for item in fitted.days
            if week.monday <= item.day <= sunday and by_name[item.product].way != "other"
        )
        hours = f" {week.hours} hours" if week.hours else ""
        more = f"; {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
        paper.line((f"{week.name}{hours}: ", "bold"), "; ".join([*names][:MOST_NAMED]) + more + ".", hang=2)


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
