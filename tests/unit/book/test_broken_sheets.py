"""A spreadsheet whose bytes are not what an office program wrote: one sentence, whatever is wrong inside it."""

from __future__ import annotations

import io
import random
import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from pantrymeals.book.sheets import xlsx_rows
from pantrymeals.errors import PantryError
from pantrymeals.files.lists.rows import read_list


def whole() -> bytes:
    """A small sheet as it is written."""
    book = Workbook()
    book.active.append(["product", "size", "shelf"])
    book.active.append(["Applesauce", "qt", 3])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_member(name: str, data: bytes | None) -> bytes:
    """The sheet with one of its parts replaced, or left out."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(whole())) as old, zipfile.ZipFile(out, "w") as new:
        for member in old.namelist():
            if member != name:
                new.writestr(member, old.read(member))
            elif data is not None:
                new.writestr(member, data)
    return out.getvalue()


SHEET, BOOK = "xl/worksheets/sheet1.xml", "xl/workbook.xml"
BROKEN = {
    "empty": b"",
    "text": b"product,size,shelf\n",
    "cut": whole()[:-200],
    "half": whole()[: len(whole()) // 2],
    "no sheet": with_member(SHEET, None),
    "no book": with_member(BOOK, None),
    "no types": with_member("[Content_Types].xml", None),
    "sheet no xml": with_member(SHEET, b"<worksheet><sheetData><row>"),
    "book no xml": with_member(BOOK, b"\x00\xff"),
    "sheet of another kind": with_member(SHEET, b"<html/>"),
    "a day beyond all days": with_member(
        SHEET, b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1">'
        b'<c r="A1" t="d"><v>99999-99-99</v></c><c r="B1" t="s"><v>77</v></c></row></sheetData></worksheet>',
    ),
}  # fmt: skip


def read_by_both(path: Path) -> list[str]:
    """What the count sheet's reader and that of a list say of a file; nothing where both read it."""
    said = []
    for read in (xlsx_rows, read_list):
        try:
            read(path)
        except PantryError as error:
            said.append(str(error))
    return said


@pytest.mark.parametrize("what", BROKEN)
def test_it_is_one_sentence(tmp_path: Path, what: str) -> None:
    path = tmp_path / "sheet.xlsx"
    path.write_bytes(BROKEN[what])
    said = read_by_both(path)
    assert all("sheet.xlsx" in text and len(text.splitlines()) == 1 for text in said)
    if what != "sheet of another kind":
        assert len(said) == 2


def test_whatever_bytes_are_changed(tmp_path: Path) -> None:
    path, sound, chance = tmp_path / "sheet.xlsx", whole(), random.Random(20261127)
    for _ in range(150):
        changed = bytearray(sound)
        for at in chance.sample(range(len(sound)), chance.choice((1, 4, 40))):
            changed[at] = chance.randrange(256)
        path.write_bytes(changed)
        read_by_both(path)
