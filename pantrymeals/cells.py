"""What stands in a cell of a file that we write, and what it was, read back.

A spreadsheet takes a cell of a CSV file that begins with = + - @, a tab or a carriage return for a formula, and
reckons it (OWASP, 'CSV Injection'; the list of marks from memory). So such a text is written with an apostrophe
before it, and a text that begins with apostrophes and then such a mark with one more: read back, one is taken off,
and every text comes back as it was. Numbers, also below nothing, stay numbers.
"""

from __future__ import annotations

import re
from contextlib import closing
from datetime import date, datetime
from fractions import Fraction
from typing import TYPE_CHECKING

from pantrymeals.errors import PantryError

if TYPE_CHECKING:
    from pathlib import Path

LONGEST_TEXT = 32_767
"""Letters that a spreadsheet's cell holds: ECMA-376, Part 1, 18.18."""
_BEGINS_A_FORMULA = re.compile(r"'*[=+\-@\t\r]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?(/\d+)?")
_DIGITS = 15
"""Digits that a spreadsheet keeps of a number."""


def exact(number: Fraction) -> str:
    """A number as a decimal where it has an end, else as a fraction: '2', '0.125', '17/14'."""
    decimal = _decimal(number)
    return f"{number.numerator}/{number.denominator}" if decimal is None else decimal


def _decimal(number: Fraction) -> str | None:
    rest, places = number.denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest, times = rest // prime, times + 1
        places = max(places, times)
    if rest != 1:
        return None
    if not places:
        return str(number.numerator)
    whole = abs(number.numerator) * 10**places // number.denominator
    sign = "-" if number < 0 else ""
    return f"{sign}{whole // 10**places}.{whole % 10**places:0{places}d}"


def csv_cell(value: object) -> str:
    """A value as a CSV file carries it. What is no exact number, and thirds and the like, are written to 15 digits."""
    if isinstance(value, str):
        formula = _BEGINS_A_FORMULA.match(value) and not _NUMBER.fullmatch(value)
        return f"'{value}" if formula else value
    if isinstance(value, Fraction):
        return _decimal(value) or f"{float(value):.{_DIGITS}g}"
    plain = plain_cell(value)
    if isinstance(plain, str):
        return csv_cell(plain)
    if isinstance(plain, date):
        return plain.isoformat()
    return "" if plain is None else f"{plain:.{_DIGITS}g}" if isinstance(plain, float) else str(plain)


def from_csv(text: str) -> str:
    """The text that ``csv_cell`` wrote."""
    return text[1:] if text[:1] == "'" and _BEGINS_A_FORMULA.match(text) else text


def plain_cell(value: object) -> str | int | float | date | None:
    """A value as a spreadsheet's cell holds it: a text, a number, a day; None for nothing.

    yes for what is true, nothing for what is not; the parts of a list between semicolons.
    """
    if isinstance(value, str):
        return value or None
    if value is None or value is False or value != value:  # only NaN is not itself
        return None
    if value is True:
        return "yes"
    if isinstance(value, Fraction):
        return value.numerator if value.denominator == 1 else float(value)
    if isinstance(value, float):
        return float(f"{value:.{_DIGITS}g}")
    if isinstance(value, int | date):
        return value.isoformat(" ", "minutes") if isinstance(value, datetime) else value
    if isinstance(value, frozenset):
        return "; ".join(sorted(map(str, value)))
    if isinstance(value, tuple | list):
        return "; ".join(map(str, value))
    raise TypeError(f"{value!r} goes into no cell")


def read_cell(value: object) -> str:
    """What a spreadsheet's cell holds, as text: a day year first, a whole number without a point."""
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)


def spreadsheet_rows(path: Path) -> list[list[str]]:
    """The rows of a spreadsheet's first sheet, each cell as text. Raises PantryError for what is no whole one."""
    from openpyxl import load_workbook
    from openpyxl.utils.escape import unescape

    try:
        with closing(load_workbook(path, read_only=True, data_only=True)) as book:
            sheet = book.worksheets[0].iter_rows(values_only=True)
            return [[unescape(read_cell(value)) for value in row] for row in sheet]
    except Exception as error:  # of broken bytes it makes whatever comes: a wrong zip, xml, key, type, number
        why = (str(error) or type(error).__name__).splitlines()[0]
        raise PantryError(f"{path}: cannot be read as a spreadsheet ({why})") from None
