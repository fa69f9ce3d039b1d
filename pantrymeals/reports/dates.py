"""What belongs in a calendar: suppers, what to do beforehand, batch days, putting-up weeks, last days of part jars.

Each has a name that stays as it is while its contents change, so that a plan made anew takes the place of the old.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from msgspec import Struct

from pantrymeals.cautions import STANDING_LINE
from pantrymeals.plans.menu import PlannedDish
from pantrymeals.plans.season import FittedSeason, PutUpList
from pantrymeals.reports.season_words import weeks_of
from pantrymeals.reports.sheet import MenuSheet
from pantrymeals.reports.terminal.batch_days import heading_of, takes_and_makes
from pantrymeals.reports.terminal.menu import from_words, in_order
from pantrymeals.reports.words import sized_name
from pantrymeals.words import capital, listed, short_day


class CalendarDay(Struct, frozen=True):
    """One entry of a calendar: all of a day, or of several from it on. name: its own, for good; told: its particulars.

    reminds: it is to be thought of that morning.
    """

    name: str
    day: date
    said: str
    told: str = ""
    days: int = 1
    reminds: bool = False


class Dates(Struct, frozen=True):
    """Entries of one kind from one household, and the days of which they tell all: what is no longer among them is off.

    chapter: 'menu' or 'season'. first, last: both counted.
    """

    household: str
    chapter: str
    first: date
    last: date
    entries: tuple[CalendarDay, ...]


def menu_dates(sheet: MenuSheet) -> Dates:
    """A menu's suppers, or the last meal of a day without; lift-outs and other steps before; batch days; part jars."""
    plan = sheet.plan
    entries = [*_meals(sheet), *_steps(sheet), *_batch_days(sheet), *_part_jars(sheet)]
    first = min((entry.day for entry in entries), default=plan.first)
    return Dates(sheet.household.name, "menu", min(first, plan.first), plan.last, tuple(entries))


def _meals(sheet: MenuSheet) -> Iterator[CalendarDay]:
    for meal in sheet.plan.meals:
        names, told = [], []
        for _, planned in in_order(meal):
            if isinstance(planned, PlannedDish):
                names.append(planned.dish)
                uses = f" {from_words(sheet.household, planned)}" if planned.uses else ""
                told.append(f"{planned.dish}{uses}")
                told += [f"for {person}" for person in planned.instead]
            else:
                names.append(f"{planned} left open")
        if names and meal.meal == "supper":
            at_table = sheet.at_table.get(meal.day, "")
            lines = "\n".join([*([capital(at_table)] if at_table else []), *told])
            yield CalendarDay(f"supper {meal.day}", meal.day, f"Supper: {', '.join(names)}", lines)


def _steps(sheet: MenuSheet) -> Iterator[CalendarDay]:
    """One reminder for each day on which anything is to be done beforehand."""
    todo: Mapping[date, list[tuple[str, str]]] = defaultdict(list)
    for line in sheet.pull.lines:
        if line.kind == "lift out":
            what = sized_name(line.count, line.size, line.product)
            todo[line.fetch].append((f"lift out {what}", f"from {line.where}, for {short_day(line.needed)}"))
    for step in sheet.pull.ahead:
        todo[step.day].append((step.what, f"for {short_day(step.dish_day)}, {step.dish}"))
    for day, steps in todo.items():
        told = "\n".join(f"{capital(what)}, {why}" for what, why in steps)
        yield CalendarDay(f"beforehand {day}", day, capital(listed(what for what, _ in steps)), told, reminds=True)


def _batch_days(sheet: MenuSheet) -> Iterator[CalendarDay]:
    works: Mapping[date, list[tuple[str, str]]] = defaultdict(list)
    for work in sheet.plan.batch_work:
        works[work.day].append((heading_of(work), takes_and_makes(sheet.household, work)))
    for day, done in works.items():
        told = "\n".join([*(f"{what}: {takes}" for what, takes in done if takes), STANDING_LINE])
        yield CalendarDay(f"batch day {day}", day, f"Batch day: {listed(what for what, _ in done)}", told)


def _part_jars(sheet: MenuSheet) -> Iterator[CalendarDay]:
    """The last day of what is open, or is opened for the menu and kept after its day."""
    last: Mapping[date, dict[str, list[str]]] = defaultdict(dict)
    for opening in sheet.plan.openings:
        if opening.eat_by is not None and sheet.plan.first <= opening.eat_by <= sheet.plan.last:
            last[opening.eat_by].setdefault(opening.product, []).append(f"opened {short_day(opening.day)}")
    for line in sheet.pull.lines:
        if line.kind == "part jar" and line.eat_by is not None:
            last[line.eat_by].setdefault(line.product, []).append(line.put_up)
    for day, what in last.items():
        names = list(dict.fromkeys(what))
        told = "\n".join(f"{name}: {', '.join(dict.fromkeys(when))}" for name, when in what.items())
        yield CalendarDay(f"last day {day}", day, f"Last day of what is open: {listed(names, 6)}", told)


def season_dates(household: str, wanted: PutUpList, fitted: FittedSeason) -> Dates:
    """A season's weeks of putting up."""
    entries = []
    for week in weeks_of(wanted, fitted):
        told = [f"{short_day(day)}: {'; '.join(what)}" for day, what in week.days]
        hours = f", {week.hours} hours" if week.hours else ""
        names = listed((name for _, what in week.days for name in what), 3)
        told.append(STANDING_LINE)
        entries.append(
            CalendarDay(f"putting up {week.monday}", week.monday, f"Putting up{hours}: {names}", "\n".join(told), 7)
        )
    days = [entry.day for entry in entries]
    first, last = (min(days), max(days) + timedelta(days=6)) if days else (wanted.today, wanted.today)
    return Dates(household, "season", min(first, wanted.today), last, tuple(entries))
