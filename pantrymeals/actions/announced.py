"""The menu that was announced: kept in the household's folder until the next one takes its place.

`announced/2026-01-17 to 2026-01-23.json` is such a menu, as `menu --json` writes it. A menu announced later takes the
days that both have; what it replaces whole is kept beside it as `... former.json`. Looking at a menu keeps nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from pantrymeals.actions.book.pantry import has_book, pantry_book
from pantrymeals.actions.book.pulled_before import ToPull, still_to_pull
from pantrymeals.actions.stored_menu import announced_in
from pantrymeals.errors import PantryError
from pantrymeals.on_disk import write_safely
from pantrymeals.words import short_day, short_span

if TYPE_CHECKING:
    from pantrymeals.plans.menu import MenuPlan
    from pantrymeals.records import Household

FOLDER = "announced"
_NAME = re.compile(r"(\d{4}-\d\d-\d\d) to (\d{4}-\d\d-\d\d)\.json")


class Announced(Struct, frozen=True):
    """A menu file, and its days that still stand: first and last, both counted."""

    file: Path
    first: date
    last: date

    @property
    def words(self) -> str:
        """'the menu announced for Sat 17 Jan to Fri 23 Jan'."""
        return f"the menu announced for {short_span(self.first, self.last)}"


def announce(folder: Path, text: str, first: date, days: int) -> tuple[Path, tuple[Path, ...]]:
    """Keep a menu's JSON as the announced one; where it is, and the menus that it replaces whole.

    Raises PantryError when it cannot be written; what was announced before then stays.
    """
    last = first + timedelta(days=days - 1)
    path = folder / FOLDER / f"{first} to {last}.json"
    replaced = [a for a in _all(folder) if first <= a.first <= last]
    try:
        path.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise PantryError(f"{path.parent}: cannot be made: {error.strerror}; the menu was not announced") from None
    former = tuple(_former(a.file) for a in replaced)
    try:
        for announced, name in zip(replaced, former, strict=True):
            write_safely(name, announced.file.read_bytes())
        write_safely(path, text.encode("utf-8"))
        for announced in replaced:
            if announced.file != path:
                announced.file.unlink()
    except OSError as error:
        raise PantryError(f"{path.parent}: cannot be written: {error.strerror}; the menu was not announced") from None
    return path, former


def _former(file: Path) -> Path:
    number = 1
    while (name := file.with_name(f"{file.stem} former {number}.json")).exists():
        number += 1
    return name


def _all(folder: Path) -> list[Announced]:
    """Every announced menu by its first day, each up to the day before the next one begins."""
    try:
        names = sorted(path.name for path in (folder / FOLDER).iterdir())
    except OSError:
        return []
    found = []
    for name in names:
        days = _NAME.fullmatch(name)
        try:
            if days is not None:
                first, last = (date.fromisoformat(day) for day in days.groups())
                found.append(Announced(folder / FOLDER / name, first, last))
        except ValueError:
            continue  # a file that somebody else put there
    found.sort(key=lambda a: a.first)
    ends = [a.first - timedelta(days=1) for a in found[1:]] + [date.max]
    return [Announced(a.file, a.first, min(a.last, end)) for a, end in zip(found, ends, strict=True)]


def current(folder: Path, today: date) -> Announced | None:
    """The announced menu of today, else the next one to begin; None when there is none."""
    return next((a for a in _all(folder) if a.last >= today), None)


def next_after(folder: Path, announced: Announced) -> Announced | None:
    """The announced menu that begins after another one ends; None when there is none."""
    return next((a for a in _all(folder) if a.first > announced.last), None)


def current_or_say(folder: Path, today: date) -> Announced:
    """The announced menu of today, else the next. Raises PantryError saying how one is announced."""
    found = current(folder, today)
    if found is not None:
        return found
    ended = _all(folder)
    last = f" The last one ended on {short_day(ended[-1].last)}." if ended else ""
    raise PantryError(
        f"no menu is announced for {short_day(today)} or later.{last}",
        " 'menu --announce' plans one and keeps it, 'announce FILE' keeps one that `menu --json` wrote; or name the "
        "file",
    )


def menu_asked(folder: Path, household: Household, file: Path | None) -> MenuPlan:
    """The menu of a file, or the announced one of today where no file is named. Raises PantryError."""
    if file is not None:
        return announced_in(file, household)
    return days_that_stand(household, current_or_say(folder, household.today))


def days_that_stand(household: Household, announced: Announced) -> MenuPlan:
    """An announced menu, as far as no later one has taken its days."""
    from pantrymeals.menu.changes import part_of

    plan = announced_in(announced.file, household)
    return plan if announced.last == plan.last else part_of(plan, plan.first, announced.last + timedelta(days=1))


def that_stand(folder: Path, household: Household) -> Iterator[tuple[Announced, MenuPlan]]:
    """The announced menus that end today or later, in order of days; often none or one."""
    for announced in _all(folder):
        if announced.last >= household.today:
            yield announced, days_that_stand(household, announced)


def to_come(household: Household, plan: MenuPlan) -> MenuPlan | None:
    """What of a menu is still to come: what is past has left the shelf already. None where all of it is past."""
    if plan.last < household.today:
        return None
    return plan if plan.first >= household.today else from_today(household, plan)


def from_today(household: Household, plan: MenuPlan) -> MenuPlan:
    """A menu from today on."""
    from pantrymeals.menu.changes import part_of

    return part_of(plan, max(plan.first, household.today), plan.last + timedelta(days=1))


def still_to_come(folder: Path, household: Household) -> tuple[tuple[Announced, MenuPlan], ...]:
    """The same from today on, without what the book has pulled."""
    return tuple(
        (announced, without_what_is_pulled(folder, household, from_today(household, plan)).plan)
        for announced, plan in that_stand(folder, household)
    )


def without_what_is_pulled(folder: Path, household: Household, plan: MenuPlan) -> ToPull[MenuPlan]:
    """What of a menu is still to be pulled by the folder's book, and the days of which all or part was pulled."""
    if not has_book(folder):
        return ToPull(plan, ())
    from pantrymeals.actions.larder import pantry_of

    with pantry_book(pantry_of(folder, household), reading=True) as book:
        return still_to_pull(book, plan, frozenset())
