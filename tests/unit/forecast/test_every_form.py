"""What one answer says in all its forms is one thing: printed, JSON, CSV, spreadsheet, page and picture.

JSON is what `test_every_two_commands.py` compares between commands; here each other form is read as the household
reads it (csv, openpyxl, an HTML parser, the letters of the report) and held to it, row by row.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from fractions import Fraction
from html.parser import HTMLParser
from typing import Any

import pytest
from openpyxl import load_workbook

from pantrymeals.actions.answer import Answer
from pantrymeals.actions.report import larder_report
from pantrymeals.actions.run_out import Chance
from pantrymeals.tables.sheets import as_csv, as_xlsx
from tests.unit.forecast.asked_of_all import House, Said, read
from tests.unit.forecast.test_every_two_commands import same

Rows = list[dict[str, str]]
PACES = ("as_eaten", "as_planned")
OF_A_PACE = ("mark", "weekly", "chance", "left", "left_low", "left_high", "reason", "advice")
WAYS: Mapping[str, Mapping[str, str]] = {
    "run-out": {"why_then": "deadline_kind"}
    | {f"{pace}_{what}": f"{pace}.{what}" for pace in PACES for what in OF_A_PACE}
    | {f"{pace}_runs_out": f"{pace}.out" for pace in PACES}
    | {f"{pace}_runs_out_early": f"{pace}.out_early" for pace in PACES}
    | {f"{pace}_runs_out_late": f"{pace}.out_late" for pace in PACES}
    | {f"{pace}_without": f"{pace}.gap_weeks" for pace in PACES},
    "eat first": {"place": "where"},
    "weekly round": {"place": "where", "in_store": "weeks_in_store"},
    "pull list": {"place": "where"},
    "put-up list": {"put_up": "jars", "need": "need.a_year", "need_from": "need.basis"}
    | {f"{what}_{end}": f"{of}.{end}" for what, of in (("raw", "raw_lb"), ("row", "row_ft"), ("plants", "plants"))
       for end in ("low", "high")},
    "cuts": {"for_want_of": "why"},
    "sitters": {"cover": "cover_years"},
    "season notes": {what: f"record.{what}" for what in
                     ("product", "carried_in", "put_up", "given", "lost", "used", "carried_out")},
    "to let in": {"cost": "cost_usd"},
}  # fmt: skip
"""Where the JSON has a column under another name than its head."""
ELSEWHERE: Mapping[str, frozenset[str]] = {
    "run-out": frozenset({"reckoned_from"}),
    "put-up list": frozenset({"loads_that_fit"}),
    "sitters": frozenset({"ends"}),
    "what runs out": frozenset({"size"}),
    "staples": frozenset({"size", "without"}),
}
"""Columns that the rows of the JSON do not have: they are compared beside, or are the product's."""


def rows_of(answer: Answer) -> dict[str, Rows]:
    """Every table as its CSV file has it, by name; heads without their units."""
    assert answer.tables is not None
    out = {}
    for frame in answer.tables():
        heads, *rows = csv.reader(io.StringIO(as_csv(frame).decode("utf-8")))
        names = [head.split(" (")[0].replace(" ", "_") for head in heads]
        out[str(frame.attrs["table"])] = [dict(zip(names, row, strict=True)) for row in rows]
    return out


def at(row: Any, way: str) -> Any:
    for field in way.split("."):
        row = None if row is None else row[field]
    return row


def alike(cell: str, told: Any) -> bool:
    """Whether a cell says what the JSON says: numbers to the last decimal shown, lists joined, blank nothing."""
    if told is None or told == []:
        return cell == ""
    if isinstance(told, bool):
        return cell == ("yes" if told else "")
    if isinstance(told, list):
        return all(str(each) in cell for each in told)
    if isinstance(told, int | float):
        return same(float(told), float(Fraction(cell)))
    if re.fullmatch(r"-?\d+(/\d+)?", told) and cell:
        return same(float(Fraction(told)), float(Fraction(cell)))
    return cell in (told, f"'{told}")


def json_rows(command: str, said: Said) -> Iterator[tuple[str, Sequence[Said]]]:
    """The tables of a command's JSON by the names that its files have."""
    if command.startswith("run-out"):
        yield "run-out", said["forecast"]["rows"]
        yield "what limits", said["cover"]["limiting"]
    elif command == "menu":
        yield "run-out", said["run_out"]["rows"]
        yield "pull list", said["pull"]["lines"]
    elif command == "eat-first":
        yield "eat first", said["eat_first"]["must_go"]
        yield "weekly round", said["eat_first"]["round"]
    elif command == "no-store":
        yield "what runs out", said["pinches"]
        yield "staples", said["staples"]
    elif command == "season":
        yield "put-up list", [line | {"jars": line["loads"] * line["load"]} for line in said["wanted"]["lines"]]
        yield "cuts", said["fitted"]["cuts"]
        yield "limits", said["fitted"]["uses"]
        yield "to buy", said["to_buy"]
        yield "book and menus", said["book_and_menus"]
    elif command == "sitters":
        yield "sitters", said["rows"]
    else:
        yield "season notes", said["notes"]["rows"]


def test_every_file_says_what_the_json_says(answers: dict[str, Answer]) -> None:
    compared = 0
    for command, answer in answers.items():
        tables = rows_of(answer)
        for name, told in json_rows(command, read(answer)):
            ways, elsewhere = WAYS.get(name, {}), ELSEWHERE.get(name, frozenset())
            assert len(tables[name]) == len(told), (command, name)
            for cells, row in zip(tables[name], told, strict=True):
                for head, cell in cells.items():
                    if head not in elsewhere:
                        assert alike(cell, at(row, ways.get(head, head))), (command, name, head, cell, row)
                        compared += 1
    assert compared >= 100


def test_every_spreadsheet_says_what_the_csv_says(answers: dict[str, Answer]) -> None:
    for command, answer in answers.items():
        assert answer.tables is not None
        book = load_workbook(io.BytesIO(as_xlsx(answer.tables())), read_only=True)
        for name, rows in rows_of(answer).items():
            _, *sheet = book[name].iter_rows(values_only=True)
            assert len(sheet) == len(rows), (command, name)
            for cells, row in zip(sheet, rows, strict=True):
                for (head, cell), shown in zip(row.items(), [*cells, *[None] * len(row)], strict=False):
                    assert alike_cell(shown, cell), (command, name, head, shown, cell)


def alike_cell(shown: object, cell: str) -> bool:
    if shown is None:
        return cell == ""
    if isinstance(shown, date):
        return str(shown)[:10] == cell
    if isinstance(shown, int | float) and not isinstance(shown, bool):
        return same(float(shown), float(Fraction(cell)))
    return str(shown) in (cell, cell.removeprefix("'"))


MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MARK = r"(?:short|tight|reaches|glut|sitter|eat first|held|not on menus)(?:, \w+ \w+(?: \w+)?)?"
ROW = re.compile(rf"^(\S.*?)  +(\S.*?) +({MARK}|-) +({MARK})$", re.M)
ALONE = re.compile(rf"^(\S.*?)  +(\S.*?)  +({MARK})$", re.M)


def shown_mark(pace: Said | None, today: date) -> str:
    """A mark with its day as a cook writes it: '24 May'; of another year 'Jan 2027'."""
    if pace is None:
        return "-"
    if pace["mark"] in ("held", "not on menus", "sitter"):
        return str(pace["mark"])
    if pace["out"] is None:
        return f"{pace['mark']}, over 2 years"
    day = date.fromisoformat(pace["out"])
    month = MONTHS[day.month - 1]
    return f"{pace['mark']}, {f'{day.day} {month}' if day.year == today.year else f'{month} {day.year}'}"


def is_untold(row: Said) -> bool:
    """A product of which nothing tells how fast it goes: no mark of it stands anywhere."""
    return not row["told_by"] and row["as_eaten"] is None and row["as_planned"]["mark"] in ("reaches", "glut", "tight")


def leading(row: Said) -> Said:
    pace: Said = row["as_eaten"] or row["as_planned"]
    return pace


@pytest.mark.parametrize("command", ["run-out", "run-out --plan", "menu"])
def test_what_is_printed_is_what_the_json_says(house: House, answers: dict[str, Answer], command: str) -> None:
    """Every product with its mark and day at either pace, and in run-out under the chapter of its mark, counted."""
    text, said = answers[command].text(colour=False), read(answers[command])
    rows = (said["run_out"] if command == "menu" else said["forecast"])["rows"]
    both = any(row["as_eaten"] for row in rows)
    told = {row["product"]: row for row in rows}
    found = {name: marks for name, _, *marks in (ROW if both else ALONE).findall(text)}
    today = house.larder.household.today
    for name, marks in found.items():
        if name not in told:  # a long name is cut, and stands whole in the line below it
            (name,) = (each for each in told if each.startswith(name.removesuffix("...").rstrip(".")))
        paces = PACES if both else ("as_planned",)
        assert marks == [shown_mark(told[name][pace], today) for pace in paces], name
    if command == "menu":
        return
    assert len(found) == sum(not is_untold(row) for row in rows)
    for mark, heading in CHAPTERS.items():
        number = sum(leading(row)["mark"] == mark and not is_untold(row) for row in rows)
        assert (f"{heading.upper()} ({number})" in text) == (number > 0), mark
    untold = [row["product"] for row in rows if is_untold(row)]
    assert ("TOO YOUNG TO TELL" in text) == bool(untold)


CHAPTERS = {
    "eat first": "Eat first: it will not keep",
    "short": "Short of the day it must reach",
    "tight": "Tight: within a jar or two",
    "reaches": "Reaches its day",
    "glut": "Glut: more than will be eaten",
    "sitter": "Sitters: put up and not eaten",
    "held": "Held: not to be eaten or counted",
    "not on menus": "Kept off the menus",
}


class _Cells(HTMLParser):
    """The words of every cell of a page's tables, row by row, and all its words."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self.words = ""
        self._in_cell = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")
            self._in_cell = True
        self.words += " " + " ".join(value or "" for name, value in attrs if name == "alt")

    def handle_endtag(self, tag: str) -> None:
        self._in_cell = self._in_cell and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        self.words += data
        if self._in_cell:
            self.rows[-1][-1] += data


def test_the_page_and_its_board_say_what_run_out_says(house: House, answers: dict[str, Answer]) -> None:
    said, board = read(answers["run-out"])["forecast"], answers["run-out"].picture
    rows: Sequence[Said] = said["rows"]
    page = _Cells()
    page.feed(larder_report(house.larder, None, Chance(), season=False).decode("utf-8"))
    begin = next(number for number, row in enumerate(page.rows) if row[2:3] == ["Its day"]) + 1
    shown = {row[0]: row[1:] for row in page.rows[begin : begin + len(rows)]}
    for row in rows:
        _, due, eaten, planned = shown[row["product"]]
        day = row["must_last_to"] or row["eat_by"]
        assert due == (long_words(day) if day else ""), row["product"]
        if is_untold(row):
            assert (eaten, planned) == ("too young to tell", ""), row["product"]
            continue
        for cell, pace in ((eaten, row["as_eaten"]), (planned, row["as_planned"])):
            assert cell == page_mark(pace), (row["product"], cell)
    short = {row["product"] for row in rows if leading(row)["mark"] == "short"}
    untold = sum(map(is_untold, rows))
    assert board is not None
    picture = board()
    for words in (picture.said, page.words):
        assert f"{len(short)} short of their day" in words
        assert re.search(r"too young to tell of (\d+) more", words, re.I) is None or f"of {untold} more" in words
    assert (f"Short of the day it must reach: {len(short)}" in page.words) == bool(short)
    bars: Iterable[Said] = picture.chart["data"]["values"]
    told = {row["product"]: row for row in rows}
    for bar in bars:
        row = told[next(name for name in sorted(told, key=len, reverse=True) if bar["product"].startswith(f"{name},"))]
        assert not is_untold(row), row["product"]
        for drawn, meant in (("out", "out"), ("late", "out_late")):
            day = leading(row)[meant]
            near = str(bar[drawn])[:10] == day or bar["beyond"] or drawn == "late" or day == said["today"]
            assert near, (row["product"], drawn, bar[drawn], day)
    assert short <= {name for name in told if any(bar["product"].startswith(f"{name},") for bar in bars)}


def page_mark(pace: Said | None) -> str:
    if pace is None:
        return "-"
    if pace["mark"] in ("held", "not on menus"):
        return str(pace["mark"])
    return f"{pace['mark']}, {long_words(pace['out']) if pace['out'] else 'over two years'}"


def long_words(day: str) -> str:
    when = date.fromisoformat(day)
    return f"{when.day} {MONTHS[when.month - 1]} {when.year}"


def test_what_must_go_what_sits_and_the_notes_are_printed_as_the_json_says(answers: dict[str, Answer]) -> None:
    """Each row's product and reason stand in the report in its words, and nothing that is not in the JSON."""
    told = read(answers["eat-first"])["eat_first"]["must_go"]
    text = " ".join(answers["eat-first"].text(colour=False).split())
    for row in told:
        assert f"{row['product']}, " in text
        assert row["why"][1:].rstrip(".") in text, row["product"]
    for kind in {row["kind"] for row in told}:
        assert f"({sum(row['kind'] == kind for row in told)})" in text
    sitters = answers["sitters"].text(colour=False)
    for row in read(answers["sitters"])["rows"]:
        assert row["why"][1:].rstrip(".") in " ".join(sitters.split()), row["product"]
        assert all(end["words"][1:].rstrip(".") in " ".join(sitters.split()) for end in row["ends"])
    for command in (name for name in answers if name.startswith("season-notes")):
        printed = answers[command].text(colour=False)
        for row in read(answers[command])["notes"]["rows"]:
            record = row["record"]
            counts = [record[what] for what in ("carried_in", "put_up", "given", "lost", "used", "carried_out")]
            name = re.escape(f"{record['product']}, {row['size']}")
            line = re.search(rf"^{name}((?: +\d+)+)$", printed, re.M)
            assert line is None or [int(n) for n in line[1].split()] == [round(n + 1e-9) for n in counts], record
