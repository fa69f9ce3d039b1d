"""The week and its pull list on paper: one page each, where they fit, in letters as large as the page allows."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from pantrymeals.plans.menu import PlannedDish, PlannedMeal, PullList
from pantrymeals.records import MEALS, WEEKDAYS, Household, MealName
from pantrymeals.reports.pages.typeset import (
    AS_USUAL,
    TICK,
    Block,
    Cell,
    Col,
    Printing,
    boxed,
    cautions,
    chapter,
    origin_of,
    page,
    set_pages,
    side_by_side,
    table,
    title,
    words,
)
from pantrymeals.reports.proof_words import THIN, nearness, settled, unsettled, waste_words
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.batch_days import batch_cautions, heading_of, takes_and_makes
from pantrymeals.reports.terminal.menu import in_order, times_words
from pantrymeals.reports.terminal.pull import (
    DayRow,
    WalkRow,
    ahead,
    by_place,
    empties_words,
    lift_outs,
    to_come_words,
    walk_rows,
)
from pantrymeals.reports.words import place_name, reckoned_words, sized_name
from pantrymeals.words import capital, day_of_month, long_day, sentence, span, the_house

_WEEK = 7


def menu_pdf(sheet: MenuSheet, printing: Printing = AS_USUAL) -> bytes:
    """The PDF's bytes; the same sheet gives the same bytes."""
    return set_pages(
        f"The menu at {the_house(sheet.household.name)} table", pages(sheet, large=printing.large),
        origin_of(sheet.household), printing,
    )  # fmt: skip


def pages(sheet: MenuSheet, *, large: bool = False) -> list[Block]:
    """A page for each week, then the pull list. large: what stands below the last week has a page of its own."""
    plan = sheet.plan
    days = [plan.first + timedelta(days=number) for number in range(plan.days)]
    weeks = [days[start : start + _WEEK] for start in range(0, len(days), _WEEK)]
    made = [list(_week(sheet, week)) for week in weeks]
    if large:
        made.append(list(_below(sheet)))
    else:
        made[-1] += _below(sheet)
    return [*(page(each, fit=True) for each in made), pull_page(sheet.household, sheet.pull, _to_come(sheet))]


def _to_come(sheet: MenuSheet) -> str:
    return "" if sheet.reckoned_from is None else to_come_words(sheet.plan.first)


def _week(sheet: MenuSheet, days: Sequence[date]) -> Iterator[Block]:
    yield title(f"The menu at {the_house(sheet.household.name)} table", span(days[0], days[-1]))
    if sheet.broken:
        yield boxed(["Do not cook from this menu: the checker finds broken rules.", *sheet.broken])
    if sheet.reckoned_from is not None:
        yield words(("strong", reckoned_words(sheet.reckoned_from, sheet.plan.first)))
    if doubts := unsettled(sheet.plan):
        yield words(*(("strong", note) for note in doubts))
    early = _to_do(sheet, None, sheet.plan.first) if days[0] == sheet.plan.first else []
    if early:
        yield words(("strong", f"Before {long_day(days[0])}:"), *early)
    meals = [name for name in MEALS if any(m.meal == name and m.day in days for m in sheet.plan.meals)]
    columns = [
        Col("", "5.2"),
        *(Col(capital(name), "1.55fr" if name == "supper" else "1fr") for name in meals),
        Col("To do that day", "1.15fr"),
    ]
    yield table(columns, [_day(sheet, day, meals) for day in days], "lines", air=0.38)


def _day(sheet: MenuSheet, day: date, meals: Sequence[MealName]) -> list[Cell]:
    at_table = sheet.at_table.get(day, "")
    cells: list[Cell] = [[("big", day_of_month(day)), *((("small", at_table),) if at_table else ())]]
    for name in meals:
        here = [meal for meal in sheet.plan.meals if meal.day == day and meal.meal == name]
        cells.append([part for meal in here for part in _meal(meal)] + [("quiet", THIN)] * sheet.fed.thin(day, name))
    return [*cells, _to_do(sheet, day, None)]


def _meal(meal: PlannedMeal) -> Iterator[tuple[str, str]]:
    for place, (_, planned) in enumerate(in_order(meal)):
        if isinstance(planned, PlannedDish):
            times = f", {times_words(planned.batches)}" if planned.batches != 1 else ""
            yield "plain" if place else "strong", planned.dish + times
            for person in planned.instead:
                yield "quiet", f"for {person}"
        else:
            yield "strong", f"{planned} left open"


def _to_do(sheet: MenuSheet, day: date | None, before: date | None) -> list[tuple[str, str]]:
    """Boxes for one day, or for all days before one: lift out, soak, batch days."""

    def then(when: date) -> bool:
        return when == day if before is None else when < before

    found = [
        (
            line.fetch,
            f"lift out {sized_name(line.count, line.size, line.product)}, for {WEEKDAYS[line.needed.weekday()]}",
        )
        for line in sheet.pull.lines
        if line.kind == "lift out" and then(line.fetch)
    ]
    found += [(s.day, f"{s.what}, for {_weekday(s.dish_day)}") for s in sheet.pull.ahead if then(s.day)]
    found += [(work.day, f"batch day: {heading_of(work)}") for work in sheet.plan.batch_work if then(work.day)]
    return [("tick", what if before is None else f"{day_of_month(when)}: {what}") for when, what in sorted(found)]


def _weekday(day: date) -> str:
    return WEEKDAYS[day.weekday()]


def _below(sheet: MenuSheet) -> Iterator[Block]:
    """The batch days, what is open, what goes over, and how near the best it is."""
    works = [(work, takes_and_makes(sheet.household, work)) for work in sheet.plan.batch_work]
    yield words(
        *(
            ("small", f"{heading_of(work)} ({day_of_month(work.day)}): {sentence(takes)}")
            for work, takes in works
            if takes
        )
    )
    yield cautions(batch_cautions(sheet.household, sheet.plan))
    is_open = [f"{row.what}, {', '.join(row.days)}" for row in walk_rows(sheet.pull.lines, "part jar")]
    said = [f"Open already: {'; '.join(is_open)}."] if is_open else []
    said += [*waste_words(sheet), nearness(sheet.plan), *settled(sheet.plan)]
    yield words(*(("small", text) for text in said))


def pull_page(household: Household, pull: PullList, to_come: str = "") -> Block:
    """What to bring up, place by place in walking order. to_come: said in its stead."""
    if to_come:
        return page([title("The pull list", to_come)])
    days = [line.needed for line in pull.lines]
    head = title("The pull list", span(min(days), max(days)) if days else "Nothing to bring up.")
    last = [cautions(pull.cautions)]
    if pull.empties:
        last.insert(0, words(("plain", f"Comes back as empties: {empties_words(pull)}.")))
    whole, brief, things = (_chapters(household, pull, brief=n > 0, days=n < 2) for n in range(3))
    blocks = [head, *(block for each in whole for block in each), *last]
    return page(blocks, fit=True, briefer=[[head, side_by_side(way), *last] for way in (brief, things)])


def _chapters(household: Household, pull: PullList, *, brief: bool, days: bool) -> list[list[Block]]:
    """Chapter by chapter. brief: the days that things are for, without the dishes; days: these at least."""
    columns = (Col(), Col("", "1.25fr"), Col("", "2fr"))
    if brief:
        columns = (Col(), Col("", "1.5fr"), Col("", "1fr")) if days else (Col(), Col("", "1fr"), Col())

    def walk(name: str, rows: Sequence[WalkRow]) -> list[Block]:
        cells: list[Sequence[Cell]] = [
            (
                TICK,
                _what(row),
                [("small", "; ".join(row.days) if days else "")] if brief else [("plain", use) for use in row.uses],
            )
            for row in rows
        ]
        return chapter(name, columns, cells, close=brief)

    def by_day(name: str, rows: Sequence[DayRow]) -> list[Block]:
        cells: list[Sequence[Cell]] = [
            (TICK, [("strong", f"{r.day}: {r.what}"), *([("tail", r.where)] if r.where else [])],
             [("small" if brief else "plain", f"for {r.needed}")])
            for r in rows
        ]  # fmt: skip
        return chapter(name, columns, cells, close=brief)

    found = [walk("Open already: use these first", walk_rows(pull.lines, "part jar"))]
    found.append(by_day("Lift out to thaw in the fridge", lift_outs(pull, dish=not brief)))
    found += [walk(capital(place_name(household, where)), rows) for where, rows in by_place(pull)]
    return [*found, by_day("Do ahead", ahead(pull))]


def _what(row: WalkRow) -> list[tuple[str, str]]:
    return [("strong", row.what), ("tail", row.lot)] if row.lot else [("strong", row.what)]
