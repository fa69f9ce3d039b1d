"""One sheet to hang on the door: the days and who eats, what thaws and soaks tonight, the trip, what pinches most."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from itertools import groupby
from math import ceil
from operator import itemgetter

from pantrymeals.cautions import STANDING_LINE, grave, in_few_words
from pantrymeals.plans.marks import Mark
from pantrymeals.plans.menu import PlannedDish, PlannedMeal
from pantrymeals.plans.outlook import ForecastRow
from pantrymeals.plans.trip import StillToCome, TripRow
from pantrymeals.reports.proof_words import SAME_MONTH, THIN, how_good
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.batch_days import heading_of
from pantrymeals.reports.terminal.menu import in_order, times_words, write_head
from pantrymeals.reports.terminal.paper import WIDTH, Paper
from pantrymeals.reports.terminal.pull import to_come_words
from pantrymeals.reports.terminal.run_out import pinching
from pantrymeals.reports.words import about_sized, by_hand, hand_number, place_name, sized_name
from pantrymeals.units import unit_named
from pantrymeals.words import PIECES, capital, day_of_month, listed, long_day, near_day, short_day, small_count

_DAY, _LABEL, _PLACE = 8, 10, 32
MOST_PINCHES = 5
_BITE: tuple[Mark, ...] = ("short", "eat first")


MOST_LINES = 110
"""Two pages of paper by the door hold so many."""
OVER_IT = 3
"""Lines that may stand over it: a day or a count that is long past."""


def write_sheet(paper: Paper, sheet: MenuSheet) -> None:
    """The whole sheet. Where it would have too many lines, places stand by their codes, which saves some twenty."""
    trial = Paper()
    _write(trial, sheet, codes=False)
    _write(paper, sheet, codes=len(trial.text().splitlines()) > MOST_LINES - OVER_IT)


def _write(paper: Paper, sheet: MenuSheet, *, codes: bool) -> None:
    usual = Counter(sheet.at_table.values()).most_common(1)[0][0] if sheet.at_table else ""
    write_head(paper, sheet, f"; {usual} where nothing else is said" if usual else "")
    _write_days(paper, sheet, usual)
    _write_trip(paper, sheet, codes)
    _write_pinches(paper, sheet)
    _heading(paper, "How good this menu is")
    paper.line(" ".join(how_good(sheet, full=False)))
    _write_cautions(paper, sheet)


def _heading(paper: Paper, text: str) -> None:
    paper.blank()
    paper.line((text.upper(), "bold"))


def _write_days(paper: Paper, sheet: MenuSheet, usual: str) -> None:
    """A line a meal beside its day; who is at table is said once, and of a day where it is otherwise."""
    plan, tonight = sheet.plan, evenings(sheet)
    for said in sheet.at_home:
        paper.line(said)
    days = {plan.first + timedelta(days=n) for n in range(plan.days)}
    for day in sorted(days | {day for day in tonight if day < plan.first}):
        lines = list(_day_lines(sheet, day, usual))
        lines += tonight.get(day, [])
        for number, (label, words) in enumerate(lines or [("", "nothing to cook")]):
            beside = (day_of_month(day) if number == 0 else "").ljust(_DAY) + label
            paper.labelled(beside, _DAY + _LABEL, capital(words))


def _day_lines(sheet: MenuSheet, day: date, usual: str) -> Iterator[tuple[str, str]]:
    """Who is at table where that is not as usual, each meal, and the day's batch work."""
    table = sheet.at_table.get(day, usual)
    if table != usual:
        yield "table", table
    for meal in sheet.plan.meals:
        if meal.day == day and (meal.dishes or meal.open_roles):
            words = meal_words(meal, sheet.who_eats.get((day, meal.meal), ""))
            yield meal.meal, words + (f" ({THIN})" if sheet.fed.thin(day, meal.meal) else "")
    works = [heading_of(work) for work in sheet.plan.batch_work if work.day == day]
    if works:
        yield "batch day", "; ".join(works)


def meal_words(meal: PlannedMeal, who: str) -> str:
    """'Ham supper (for Edda: plain beans); Slaw; sweet left open': a meal's dishes and for whom they are."""
    said = [
        dish_words(planned) if isinstance(planned, PlannedDish) else f"{planned} LEFT OPEN"
        for _, planned in in_order(meal)
    ]
    return (f"{capital(who)}: " if who else "") + "; ".join(said)


def dish_words(planned: PlannedDish) -> str:
    """'Carrot stew, made double (for Ann: raw sticks)'."""
    name = planned.dish + (f", {times_words(planned.batches)}" if planned.batches != 1 else "")
    beside = "; ".join(f"for {person}" for person in planned.instead)
    return f"{name} ({beside})" if beside else name


def evenings(sheet: MenuSheet) -> dict[date, list[tuple[str, str]]]:
    """('lift out', packs) and ('do ahead', steps) by their day; 'for Sun 18' where that is not the next one."""
    packs: dict[tuple[date, date, str, str, str], Fraction] = {}
    for line in sheet.pull.lines:
        if line.kind == "lift out":
            key = (line.fetch, line.needed, line.where, line.product, line.size)
            packs[key] = packs.get(key, Fraction(0)) + line.count
    found: dict[date, dict[str, list[str]]] = {}
    for (day, needed, where, product, size), count in sorted(packs.items()):
        words = f"{sized_name(count, size, product)} ({where}){_later(day, needed)}"
        found.setdefault(day, {}).setdefault("lift out", []).append(words)
    for step in sheet.pull.ahead:
        words = f"{step.what} ({step.dish}{_later(step.day, step.dish_day)})"
        found.setdefault(step.day, {}).setdefault("do ahead", []).append(words)
    return {day: [(label, "; ".join(words)) for label, words in tasks.items()] for day, tasks in found.items()}


def _later(day: date, needed: date) -> str:
    return f" for {day_of_month(needed)}" if needed > day + timedelta(days=1) else ""


def _write_trip(paper: Paper, sheet: MenuSheet, codes: bool) -> None:
    """The pull list of the trip, a box a product and place; then what only comes in meanwhile.

    codes: places by their codes, and two boxes on most lines.
    """
    _heading(paper, "The pull list")
    if sheet.reckoned_from is not None:
        paper.line(to_come_words(sheet.plan.first))
        return
    if sheet.trip.last < sheet.plan.last:
        paper.line(f"For the days to {long_day(sheet.trip.last)}; the rest when they are eaten, or with --full.")
    if not sheet.trip.rows and not sheet.trip.open_already:
        paper.line("Nothing to bring up.")
    if codes:
        for line in _two_columns([f"{where} [ ] {what}" for where, what in _trip_lines(sheet)]):
            paper.line(line, hang=4 if len(line) > WIDTH else 0)
    else:
        _write_places(paper, sheet)
    if sheet.trip.to_come:
        come = "; ".join(to_come(row) for row in sheet.trip.to_come)
        paper.line(("Not there yet, as it comes in: ", "bold"), f"{come}.", hang=2)


def _write_places(paper: Paper, sheet: MenuSheet) -> None:
    """Each place by its name, and its boxes beside it."""
    walk = [
        (_named(sheet, place), [f"[ ] {what}" for _, what in lines])
        for place, lines in groupby(_trip_lines(sheet), key=itemgetter(0))
    ]
    wide = min(max((len(place) for place, _ in walk), default=0), _PLACE) + 1
    for place, boxes in walk:
        paper.labelled(place, wide, "\n".join(_two_up(boxes, WIDTH - wide)))


def _two_columns(boxes: list[str]) -> Iterator[str]:
    """Each box and the next one beside it, where both find room; read from left to right.

    The second begins in the middle, or right after a first one that is longer than half a line.
    """
    rest = list(boxes)
    while rest:
        first = rest.pop(0)
        begins = max(WIDTH // 2, len(first) + 2)
        beside = rest and begins + len(rest[0]) <= WIDTH
        yield first.ljust(begins) + rest.pop(0) if beside else first


def _named(sheet: MenuSheet, where: str) -> str:
    """A place as it is called, with its code where there is room for it."""
    named = place_name(sheet.household, where)
    return capital(named if len(named) <= _PLACE else named.rpartition(" (")[0] or named)


def _two_up(boxes: list[str], room: int) -> Iterator[str]:
    """Two boxes on a line where both find room: each with the next one that fits."""
    rest = list(boxes)
    while rest:
        first = rest.pop(0)
        beside = next((box for box in rest if len(first) + len(box) + 3 <= room), None)
        if beside is not None:
            rest.remove(beside)
        yield first if beside is None else f"{first}   {beside}"


def _trip_lines(sheet: MenuSheet) -> list[tuple[str, str]]:
    """(place, what) in walking order; at each place what is open or thawing already comes first."""
    lines = []
    for line in sheet.trip.open_already:
        near = line.eat_by is None or (line.eat_by - sheet.plan.first).days < SAME_MONTH
        over = f", to {(day_of_month if near else short_day)(line.eat_by)}" if line.eat_by else ""
        begun = "thawing" if line.put_up.startswith("lifted out") else "open"
        lines.append((line.where, f"{begun}: {line.product}{over}"))
    lines += [(row.where, trip_words(row)) for row in sheet.trip.rows]
    walk = {place.code: number for number, place in enumerate(sheet.household.places)}
    return sorted(lines, key=lambda line: (walk.get(line[0], len(walk)), line[0]))


def trip_words(row: TripRow) -> str:
    """'2 hp Pear butter, 2023', 'about 3 lb Potatoes': what a hand takes; of jars and packs the label to look for."""
    *others, (size, count) = row.takes
    first = [f"{by_hand(n, s)} and " for s, n in others]
    what = sized_name(count, size, row.product) if row.whole else taken_words(count, size, row.product)
    return "".join(first) + what + (f", {', then '.join(row.lots)}" if row.whole and row.lots else "")


def taken_words(count: Fraction, size: str, product: str) -> str:
    """So much of loose goods as a hand takes: pieces whole, with what goes back; weights 'about', never under."""
    if size == "each":
        return f"{'' if count == ceil(count) else 'about '}{sized_name(Fraction(ceil(count)), size, product)}"
    if unit_named(size) is None or size in PIECES:
        whole = ceil(count)
        back = f" ({hand_number(whole - count)} goes back)" if whole > count else ""
        return sized_name(Fraction(whole), size, product) + back
    step = _steps(count, size)
    near = ceil(count / step) * step
    named = sized_name(near, size, product)
    return named if near == count else f"about {named.removeprefix('about ')}"


def _steps(count: Fraction, unit: str) -> Fraction:
    """What a hand weighs or measures out to: quarters of a pound, half pounds beyond five, pounds beyond ten."""
    if unit in ("g", "ml"):
        return Fraction(10)
    if unit in ("kg", "l"):
        return Fraction(1, 20) if count < 1 else Fraction(1, 10)
    small = {"lb": 16, "oz": 1, "gal": 16, "half-gal": 8, "qt": 16, "pt": 8, "hp": 4, "cup": 4}.get(unit, 4)
    if count < 1:
        return Fraction(1, small)
    return Fraction(1, 4) if count < 5 else Fraction(1, 2) if count < 10 else Fraction(1)


def to_come(row: StillToCome) -> str:
    """'3 loaves Bread (Tue 20)'."""
    days = listed(day_of_month(day) for day in row.days)
    return f"{sized_name(row.count, row.size, row.product)} ({days})"


def _write_pinches(paper: Paper, sheet: MenuSheet) -> None:
    """The five things that bite soonest, and how many more there are."""
    rows = pinching_soonest(sheet)
    named = min(len(rows), MOST_PINCHES)
    which = f", {small_count(named)} of {len(rows)} (--full has all)" if len(rows) > named else ""
    _heading(paper, f"What pinches most{', reckoned' if sheet.reckoned_from else ''}{which}")
    if not rows:
        paper.line("Nothing: everything reaches its day at this pace.")
    for row in rows[:MOST_PINCHES]:
        there = "reckoned " if sheet.reckoned_from else ""
        paper.line((row.product, "bold"), f", {there}{pinch_words(row, sheet.forecast.today)}", hang=2)


def pinching_soonest(sheet: MenuSheet) -> list[ForecastRow]:
    """What falls short or will not wait, by the day on which that is: its last one gone, or its keeping over.

    What is gone already comes last: nothing can be done about it at the stove.
    """
    rows = (row for row in sheet.forecast.rows if row.marks() & set(_BITE))
    return sorted(rows, key=lambda row: (not _to_use(row), _bites(row), row.product))


def _to_use(row: ForecastRow) -> bool:
    """Whether anything of it is there that is not set back."""
    return row.on_hand + row.part > row.reserve


def _bites(row: ForecastRow) -> date:
    day = row.eat_by if pinching(row, _BITE).mark == "eat first" else pinching(row, _BITE).out
    return day or date.max


def pinch_words(row: ForecastRow, today: date) -> str:
    """'3 lb: the last about 7 Feb; must last to 15 May.', '18 lb: eat by 15 Feb; about 7 lb would be left.'

    'none left.' where there is none; what is all set back says so.
    """
    there, pace = about_sized(row.on_hand, row.size), pinching(row, _BITE)
    if pace.mark == "eat first" and row.eat_by:
        by = near_day(row.eat_by, today)
        if row.eat_by < today:
            return f"{there}: was to be gone by {by}; go over what is left of it."
        left = about_sized(round(pace.left), row.size)
        return f"{there}: eat by {by}; {f'about {left} would be left' if pace.left >= 1 else 'it will just be gone'}."
    if not _to_use(row):
        return f"{there}: all of it set back." if row.on_hand else "none left."
    out = f"the last about {near_day(pace.out, today)}" if pace.out else "it runs out"
    due = f"; must last to {near_day(day, today)}" if (day := row.due()) else ""
    return f"{there}: {out}{due}."


def _write_cautions(paper: Paper, sheet: MenuSheet) -> None:
    """What can hurt of this menu, in few words; every caution whole with --full."""
    said = [in_few_words(words) for words in sheet.pull.cautions if grave(words)]
    said += [STANDING_LINE] if sheet.pull.lines else []
    if said:
        paper.blank()
        paper.line(("! ", "bold yellow"), " ".join(said), hang=2)
