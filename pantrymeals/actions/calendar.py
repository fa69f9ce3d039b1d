"""Puts dates into a calendar file (RFC 5545), bringing up to date what it has of them already.

An entry keeps its UID for good; where what it says has changed its SEQUENCE rises by one, and what is off is CANCELLED:
so a calendar which read the file before changes its own entries and holds none twice. What others wrote stays.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import UUID, uuid5

from pantrymeals.errors import PantryError
from pantrymeals.on_disk import write_safely

if TYPE_CHECKING:
    from icalendar import Calendar

    from pantrymeals.reports.dates import CalendarDay, Dates

_OURS = UUID("6f0a1b0e-6a40-5b0c-9d3a-2f6a7c1f4e11")
"""The name space of our entries' UIDs; any fixed one will do (RFC 9562, version 5)."""
_CHAPTER = "X-PANTRYMEALS-CHAPTER"
_COMPARED = ("SUMMARY", "DESCRIPTION", "DTSTART", "DTEND", "STATUS")
_MORNING = timedelta(hours=8)


def write_dates(path: Path, dates: Dates, now: datetime | None = None) -> None:
    """Put the entries into a file, or make it. Raises PantryError where a file is there that is no calendar.

    now: the time that changed entries are stamped with.
    """
    stamp = now or datetime.now(UTC).replace(microsecond=0)
    old = _read(path) if path.exists() else None
    write_safely(path, brought_up_to_date(old, dates, stamp).to_ical())


def _read(path: Path) -> Calendar:
    from icalendar import Calendar

    try:
        return Calendar.from_ical(path.read_bytes())
    except (OSError, ValueError, IndexError, KeyError) as error:
        raise PantryError(f"{path}: is no calendar file that can be read ({error}); name another") from None


def brought_up_to_date(old: Calendar | None, dates: Dates, stamp: datetime) -> Calendar:
    """The calendar with these entries in the place of those of the same names."""
    from icalendar import Calendar

    made = Calendar()
    made.add("prodid", "-//pantrymeals//household calendar//EN")
    made.add("version", "2.0")
    made.add("x-wr-calname", f"{dates.household}: table and shelves")
    before = {str(each["UID"]): each for each in old.walk("VEVENT") if "UID" in each} if old is not None else {}
    new = {str(each["UID"]): each for each in (_event(dates, entry, stamp) for entry in dates.entries)}
    for other in old.subcomponents if old is not None else ():
        if other.name != "VEVENT" or str(other.get("UID", "")) not in new:
            made.add_component(_off(other, stamp) if _is_over(other, dates) else other)
    for uid, event in new.items():
        made.add_component(_next(before.get(uid), event))
    return made


def _event(dates: Dates, entry: CalendarDay, stamp: datetime) -> Any:
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", str(uuid5(_OURS, f"{dates.household}/{dates.chapter}/{entry.name}")))
    event.add("dtstamp", stamp)
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=entry.days))
    event.add("summary", entry.said)
    if entry.told:
        event.add("description", entry.told)
    event.add("sequence", 0)
    event.add("status", "CONFIRMED")
    event.add("transp", "TRANSPARENT")
    event.add(_CHAPTER, f"{dates.household}/{dates.chapter}")
    if entry.reminds:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", entry.said)
        alarm.add("trigger", _MORNING)
        event.add_component(alarm)
    return event


def _next(before: Any, event: Any) -> Any:
    """The entry as it stood, where it says the same; else the new one, a number further."""
    if before is None:
        return event
    if _says(before) == _says(event):
        return before
    event["SEQUENCE"] = int(before.get("SEQUENCE", 0)) + 1
    return event


def _says(event: Any) -> list[object]:
    return [event[name].to_ical() if name in event else None for name in _COMPARED]


def _is_over(event: Any, dates: Dates) -> bool:
    """Whether it is one of ours that these dates speak of, and is no longer among them."""
    ours = event.name == "VEVENT" and str(event.get(_CHAPTER, "")) == f"{dates.household}/{dates.chapter}"
    return ours and dates.first <= event["DTSTART"].dt <= dates.last and str(event.get("STATUS")) != "CANCELLED"


def _off(event: Any, stamp: datetime) -> Any:
    from icalendar import vDatetime, vText

    event["STATUS"], event["DTSTAMP"] = vText("CANCELLED"), vDatetime(stamp)
    event["SEQUENCE"] = int(event.get("SEQUENCE", 0)) + 1
    event.subcomponents.clear()
    return event
