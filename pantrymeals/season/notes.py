"""The notes of a book year: put up, eaten, given, lost, carried over; and how that spring's list did.

The list is made again from the years before, so that a plan can be judged that nobody wrote down.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from pantrymeals.errors import PantryError
from pantrymeals.forecast.sitters import TOO_YOUNG, is_sitter, too_young_to_tell
from pantrymeals.larder.book_history import book_year_of
from pantrymeals.plans.book import BookYear
from pantrymeals.plans.season import NoteRow, SeasonNotes
from pantrymeals.records import TABLE_WORDS, Household
from pantrymeals.season.asked import SeasonQuestion
from pantrymeals.season.history import need_from_history
from pantrymeals.season.kitchen_work import load_of
from pantrymeals.season.loads import whole_loads
from pantrymeals.season.put_up_list import put_up_list, worth_of
from pantrymeals.season.words import counted
from pantrymeals.units import JAR_SIZES
from pantrymeals.words import times

MOST_CHANGES = 10


def season_notes(asked: SeasonQuestion, year: int) -> SeasonNotes:
    """The notes of the book year that began in ``year``.

    Raises PantryError, naming the years there are, when the book has nothing of it.
    """
    records = [y for y in asked.years if y.year == year and y.product in asked.household.products]
    if not records:
        years = sorted({y.year for y in asked.years})
        has = f"the book has {', '.join(map(str, years))}" if years else "the book has no years yet"
        raise PantryError(f"nothing is written of the season of {year}; {has}")
    rows = tuple(_row(asked, record) for record in sorted(records, key=lambda r: r.product))
    running = year == book_year_of(asked.today, asked.household.year_opens)
    ours = {n for n, p in asked.household.products.items() if p.on_menus and p.must_last_to is not None}
    sitting = tuple(r.product for r in records if running and is_sitter(asked.household, r, asked.put_up_here))
    summary = (*_summary(rows, running, ours), *_sitters(asked, sitting, running), *table_words(asked.household, year))
    changes = () if running else _changes(asked, rows)
    return SeasonNotes(year, running, rows, summary, sitting, asked.household.year_opens, changes)


def _changes(asked: SeasonQuestion, rows: tuple[NoteRow, ...]) -> tuple[tuple[str, str], ...]:
    """What to put up more or less of than that year: today's list against it, the ten that weigh most in money."""
    made = put_up_list(asked)
    listed = {line.product: (line.loads * line.load, line.why.rsplit(":", 1)[0]) for line in made.lines}
    listed |= {name: (0, why) for name, why in made.none}
    weighed = []
    for row in rows:
        put_up, name = row.record.put_up, row.record.product
        now, why = listed.get(name, (put_up, ""))
        worth = abs(now - put_up) * worth_of(asked.household.products[name])
        if worth and row.record.full:
            then = counted(put_up, row.size) if put_up else "none"
            asks = counted(Fraction(now), row.size) if now else "none"
            weighed.append((-worth, name, f"{then} put up; the list of today says {asks}: {why}"))
    return tuple((name, said) for _, name, said in sorted(weighed)[:MOST_CHANGES])


def table_words(household: Household, year: int) -> tuple[str, ...]:
    """'The table on Cellar beet soup: not again, twice (Corin, Linnet).' of each dish that had words that year."""
    said = []
    for name, heard in sorted(household.heard.items()):
        told = []
        for word in TABLE_WORDS:
            mine = [w for w in heard.words if w.word == word and book_year_of(w.day, household.year_opens) == year]
            who = ", ".join(dict.fromkeys(w.who for w in mine if w.who))
            often = f", {times(len(mine))}" if len(mine) > 1 else ""
            told += [f"{word}{often}{f' ({who})' if who else ''}"] if mine else []
        said += [f"The table on {name}: {'; '.join(told)}."] if told else []
    return tuple(said)


def _sitters(asked: SeasonQuestion, sitting: tuple[str, ...], running: bool) -> tuple[str, ...]:
    if not running:
        return ()
    if too_young_to_tell(asked.years):
        return (TOO_YOUNG,)
    return (f"Sitters: {'; '.join(sorted(sitting))}.",) if sitting else ()


def list_of_that_spring(asked: SeasonQuestion, record: BookYear) -> int | None:
    """Containers that the list would have asked for, by the pencil rule, from the full years before.

    None where there are none. Carry-over is what the year opened with.
    """
    before = [y for y in asked.years if y.product == record.product and y.full and y.year < record.year]
    if not before:
        return None
    need = Fraction(ceil(need_from_history(before, asked.spread).a_year))
    harvest = asked.facts.harvest_of(record.product)
    odds = asked.facts.odds_of(harvest.crop) if harvest else None
    aim = ceil(need * (1 + (1 / odds.one_year_in if odds else Fraction(0))))
    if record.carried_in >= need:
        return 0
    load = load_of(asked, asked.household.products[record.product])
    return whole_loads(max(0, aim - int(record.carried_in)), load) * load


def _row(asked: SeasonQuestion, record: BookYear) -> NoteRow:
    size = asked.household.products[record.product].sizes[0].name
    listed = list_of_that_spring(asked, record)
    return NoteRow(record, size, listed, _verdict(record, size, listed))


def _verdict(record: BookYear, size: str, listed: int | None) -> str:
    """One plain sentence part: how it went, and what the list would have done."""
    if record.used == 0 and record.carried_out > 0:
        went = "not one used"
    elif record.carried_out <= 0 and record.full:
        went = "went to the last"
    elif record.full and record.carried_out >= record.used:
        went = "more left than was eaten"
    else:
        went = f"{counted(record.carried_out, size)} {'over' if record.full else 'on hand'}"
    if listed is None:
        return went
    over = record.carried_in + listed - record.used - record.given - record.lost
    if not record.full:
        return f"{went}; the list said {listed}"
    if over < 0:
        return f"{went}; the list said {listed}, and would have been {counted(-over, size)} short"
    return f"{went}; the list said {listed}, and would have left {counted(over, size)}"


def _summary(rows: tuple[NoteRow, ...], running: bool, ours: set[str]) -> tuple[str, ...]:
    by_size: dict[str, Fraction] = {}
    for row in rows:
        by_size[row.size] = by_size.get(row.size, Fraction(0)) + row.record.put_up
    jars = [counted(by_size[s], s) for s in JAR_SIZES if by_size.get(s)]
    out = [f"Put up so far: {', '.join(jars)}." if running else f"Put up: {', '.join(jars)}."] if jars else []
    none = [
        row.record.product
        for row in rows
        if not running and row.record.used == 0 and row.record.carried_out > 0 and row.record.product in ours
    ]
    if none:
        out.append(f"Not one opened of: {'; '.join(none)}.")
    judged = [row for row in rows if row.listed is not None and row.record.full]
    if judged:
        gone = [r.record.used + r.record.given + r.record.lost - r.record.carried_in for r in judged]
        over = [(row.listed or 0) - g for row, g in zip(judged, gone, strict=True)]
        close, short = sum(0 <= jars <= 14 for jars in over), sum(jars < 0 for jars in over)
        out.append(
            f"The list from the years before: of {len(judged)} products {close} would have come out even or up to two "
            f"loads over, {len(judged) - close - short} further over, and {short or 'none'} short."
        )
    return tuple(out)
