"""Tables as spreadsheets, in and out: the export of the book, and count sheets that come back."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from pathlib import Path

from pantrymeals.book.trouble import BookTrouble

Table = tuple[str, Sequence[str], Iterable[Sequence[str]]]
"""A sheet's name, its heading and its rows."""

_LONGEST_TEXT = 32_767
"""Letters that a spreadsheet's cell holds: ECMA-376, Part 1, 18.18."""
_NOT_IN_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Letters that XML 1.0 has no place for (2.2, Char)."""
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_PARTS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_SORT = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_FROZEN = (
    '<sheetViews><sheetView workbookViewId="0"><pane ySplit="1" topLeftCell="A2" activePane="bottomLeft"'
    ' state="frozen"/></sheetView></sheetViews>'
)


def as_xlsx(tables: Iterable[Table]) -> bytes:
    """A workbook of sheets of text, each heading frozen at the top. Text stays text: '=...' is no formula.

    Written here, by the workbook's standard (ECMA-376, Part 1), and not with openpyxl, which reads them:
    that builds an object for each cell and takes ten times as long over a book of 11,000 lines.
    Raises BookTrouble where a text does not go into a cell.
    """
    from zipfile import ZIP_DEFLATED, ZipFile

    tables = list(tables)
    names = [_kept(name) for name, _, _ in tables]
    numbers = range(1, len(tables) + 1)
    out = io.BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED, compresslevel=3) as package:
        sheets = "".join(
            f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="{_SORT}.worksheet+xml"/>' for n in numbers
        )
        package.writestr(
            "[Content_Types].xml",
            f'{_HEAD}<Types xmlns="{_PACKAGE}/content-types">'
            '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
            f'<Override PartName="/xl/workbook.xml" ContentType="{_SORT}.sheet.main+xml"/>{sheets}</Types>',
        )
        package.writestr("_rels/.rels", _related([("officeDocument", "xl/workbook.xml")]))
        listed = "".join(
            f'<sheet name="{name}" sheetId="{n}" r:id="rId{n}"/>' for n, name in zip(numbers, names, strict=True)
        )
        package.writestr(
            "xl/workbook.xml",
            f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_PARTS}"><sheets>{listed}</sheets></workbook>',
        )
        package.writestr(
            "xl/_rels/workbook.xml.rels", _related([("worksheet", f"worksheets/sheet{n}.xml") for n in numbers])
        )
        for n, (_, heading, rows) in zip(numbers, tables, strict=True):
            package.writestr(f"xl/worksheets/sheet{n}.xml", _sheet(heading, rows))
    return out.getvalue()


def _related(parts: Sequence[tuple[str, str]]) -> str:
    listed = "".join(
        f'<Relationship Id="rId{n}" Type="{_PARTS}/{kind}" Target="{target}"/>'
        for n, (kind, target) in enumerate(parts, start=1)
    )
    return f'{_HEAD}<Relationships xmlns="{_PACKAGE}/relationships">{listed}</Relationships>'


def _sheet(heading: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    letters = [_letters(n) for n in range(1, len(heading) + 1)]
    inside: dict[str, str] = {}  # most texts of a book stand in it many times
    lines = [f'{_HEAD}<worksheet xmlns="{_MAIN}">{_FROZEN}<sheetData>']
    for number, row in enumerate((heading, *rows), start=1):
        lines.append(f'<row r="{number}">')
        for letter, text in zip(letters, row, strict=True):
            if text:
                cell = inside.get(text)
                if cell is None:
                    cell = inside[text] = _cell(text)
                lines.append(f'<c r="{letter}{number}" {cell}')
        lines.append("</row>")
    lines.append("</sheetData></worksheet>")
    return "".join(lines)


def _cell(text: str) -> str:
    """The rest of a cell, after its place."""
    if len(text) > _LONGEST_TEXT or _NOT_IN_XML.search(text):
        shown = "".join(c if c.isprintable() else " " for c in text[:40])
        raise BookTrouble(f"'{shown}...' does not go into a spreadsheet's cell; write a .csv instead")
    return f't="inlineStr"><is><t xml:space="preserve">{_kept(text)}</t></is></c>'


def _kept(text: str) -> str:
    """A text as XML carries it: a bare carriage return would come back as a line feed."""
    kept = text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return kept.replace('"', "&quot;").replace("\r", "&#13;")


def _letters(number: int) -> str:
    """A column's letters: 1 is A, 27 is AA."""
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def xlsx_rows(path: Path) -> list[tuple[int, list[str]]]:
    """(row number, cells as text) of the first sheet; the heading is the first. Raises BookTrouble."""
    from zipfile import BadZipFile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except (OSError, BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        raise BookTrouble(f"{path}: cannot be read as a spreadsheet ({error})") from None
    rows = [
        (number, [_as_text(value) for value in row])
        for number, row in enumerate(book.worksheets[0].iter_rows(values_only=True), start=1)
    ]
    book.close()
    # blanks at the end of a row are not stored; a row is as wide as its heading
    width = len(rows[0][1]) if rows else 0
    return [(number, cells + [""] * (width - len(cells))) for number, cells in rows]


def _as_text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
