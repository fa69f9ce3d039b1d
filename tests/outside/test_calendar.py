"""The calendar file, read back by icalendar and by a second parser (`ical`), which is strict about RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from ical.calendar import Calendar as Strict
from ical.calendar_stream import IcsCalendarStream
from icalendar import Calendar
from msgspec.structs import replace

from pantrymeals.actions.calendar import write_dates
from pantrymeals.errors import PantryError
from pantrymeals.plans.menu import BatchWork, Opening
from pantrymeals.reports.dates import CalendarDay, Dates, menu_dates
from tests.unit.reports.sheets import small_sheet

MONDAY = date(2026, 1, 5)
NOW = datetime(2026, 1, 5, 6, 0, tzinfo=UTC)
LATER = NOW + timedelta(hours=2)


def by_icalendar(path: Path) -> dict[str, tuple[int, str, str]]:
    """UID -> (SEQUENCE, STATUS, SUMMARY); none may stand twice."""
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    found = {str(e["UID"]): (int(e["SEQUENCE"]), str(e["STATUS"]), str(e["SUMMARY"])) for e in events}
    assert len(found) == len(events)
    return found


def strictly(path: Path) -> Strict:
    return IcsCalendarStream.calendar_from_ics(path.read_text(encoding="utf-8"))


def both_agree(path: Path) -> dict[str, tuple[int, str, str]]:
    found = by_icalendar(path)
    second = {e.uid: (e.sequence, e.status.value, e.summary) for e in strictly(path).events}
    assert second == found
    return found


def read_over(kept: dict[str, tuple[int, str, str]], new: dict[str, tuple[int, str, str]]) -> dict[str, str]:
    """What a calendar holds after it has read both: the higher SEQUENCE of a UID stands (RFC 5546, 2.1.5)."""
    merged = dict(kept)
    for uid, event in new.items():
        if uid not in merged or event[0] >= merged[uid][0]:
            merged[uid] = event
    return {uid: said for uid, (_, status, said) in merged.items() if status != "CANCELLED"}


def days(*entries: CalendarDay, last: date = MONDAY + timedelta(days=6), household: str = "Tarrow") -> Dates:
    return Dates(household, "menu", MONDAY, last, entries)


def entry(name: str, said: str, day: date = MONDAY, told: str = "") -> CalendarDay:
    return CalendarDay(name, day, said, told)


def test_a_menu_says_its_suppers_steps_batch_days_and_last_days(tmp_path: Path) -> None:
    sheet = small_sheet(
        openings=(Opening(MONDAY, "Beans", "qt", 1, eat_by=MONDAY + timedelta(days=3)),),
        batch_work=(BatchWork(MONDAY, "Beans for the shelf", 2),),
    )
    path = tmp_path / "table.ics"
    write_dates(path, menu_dates(sheet), NOW)
    said = sorted(s for _, _, s in both_agree(path).values())
    assert "Supper: Bean soup" in said
    assert "Supper: main left open" in said
    assert "Batch day: Beans for the shelf, 2 times" in said
    assert any(s.startswith("Last day of what is open:") and "Beans" in s for s in said)
    assert any("oak the beans" in s for s in said)
    assert any("ift out 1 Joint" in s for s in said)
    assert sum(s.startswith("Supper") for s in said) == len(sheet.plan.meals)


def test_what_is_to_be_done_beforehand_reminds_that_morning(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    write_dates(path, menu_dates(small_sheet()), NOW)
    reminded = [e for e in strictly(path).events if e.alarm]
    assert reminded
    for event in reminded:
        assert event.alarm[0].trigger == timedelta(hours=8)
        assert not event.summary.startswith("Supper")


def test_the_same_menu_again_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    write_dates(path, menu_dates(small_sheet()), NOW)
    first = path.read_bytes()
    write_dates(path, menu_dates(small_sheet()), LATER)
    assert path.read_bytes() == first


def test_a_plan_made_anew_updates_and_leaves_no_double(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    write_dates(
        path, days(entry("supper 1", "Supper: soup"), entry("supper 2", "Supper: pie"), entry("step", "Soak")), NOW
    )
    before = both_agree(path)
    write_dates(
        path,
        days(entry("supper 1", "Supper: soup"), entry("supper 2", "Supper: trout"), entry("step 2", "Lift out")),
        LATER,
    )
    after = both_agree(path)
    assert {said: (seq, status) for seq, status, said in after.values()} == {
        "Supper: soup": (0, "CONFIRMED"),
        "Supper: trout": (1, "CONFIRMED"),
        "Soak": (1, "CANCELLED"),
        "Lift out": (0, "CONFIRMED"),
    }
    assert sorted(read_over(before, after).values()) == ["Lift out", "Supper: soup", "Supper: trout"]
    # and what was off may come back
    write_dates(path, days(entry("supper 1", "Supper: soup"), entry("step", "Soak")), LATER)
    third = both_agree(path)
    assert (2, "CONFIRMED", "Soak") in third.values()
    assert sorted(read_over(before, third).values()) == ["Soak", "Supper: soup"]
    assert sorted(read_over(after, third).values()) == ["Soak", "Supper: soup"]


def test_other_days_other_chapters_and_what_others_wrote_stay(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    lines = ("UID:dentist", "DTSTAMP:20260101T000000Z", "DTSTART:20260106T090000Z", "SUMMARY:Dentist")
    foreign = "\r\n".join(("BEGIN:VEVENT", *lines, "END:VEVENT", ""))
    path.write_text(f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n{foreign}END:VCALENDAR\r\n", newline="")
    week_before = Dates(
        "Tarrow",
        "menu",
        MONDAY - timedelta(days=7),
        MONDAY - timedelta(days=1),
        (entry("old", "Old", MONDAY - timedelta(days=7)),),
    )
    write_dates(path, week_before, NOW)
    write_dates(path, Dates("Tarrow", "season", MONDAY, MONDAY, (entry("week", "Putting up"),)), NOW)
    write_dates(path, days(entry("supper", "Other house"), household="Quill"), NOW)
    write_dates(path, days(entry("supper", "Supper")), NOW)
    write_dates(path, days(), LATER)
    events = {str(e["SUMMARY"]): str(e.get("STATUS", "")) for e in Calendar.from_ical(path.read_bytes()).walk("VEVENT")}
    assert events == {
        "Dentist": "",
        "Old": "CONFIRMED",
        "Putting up": "CONFIRMED",
        "Other house": "CONFIRMED",
        "Supper": "CANCELLED",
    }


def test_any_words_come_through_whole(tmp_path: Path) -> None:
    """Commas, semicolons, line ends and accents are escaped and folded by RFC 5545 (3.1, 3.3.11)."""
    said = 'Käse; crème, Ærø \\n \\, "x" ' + "long " * 40
    path = tmp_path / "table.ics"
    write_dates(path, days(entry("a", said.strip(), told="one, two\nthree; four")), NOW)
    both_agree(path)
    (event,) = strictly(path).events
    assert event.summary == said.strip()
    assert event.description == "one, two\nthree; four"
    assert event.dtstart == MONDAY
    assert event.dtend == MONDAY + timedelta(days=1)
    assert all(len(line) <= 75 for line in path.read_bytes().split(b"\r\n"))


def test_a_file_that_is_no_calendar_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    path.write_text("my notes", encoding="utf-8")
    with pytest.raises(PantryError, match="no calendar"):
        write_dates(path, days(entry("a", "b")), NOW)
    assert path.read_text(encoding="utf-8") == "my notes"


def test_an_empty_menu_is_an_empty_calendar(tmp_path: Path) -> None:
    path = tmp_path / "table.ics"
    sheet = small_sheet(meals=(), openings=(), batch_work=())
    write_dates(path, menu_dates(replace(sheet, pull=replace(sheet.pull, lines=(), ahead=()))), NOW)
    assert both_agree(path) == {}
