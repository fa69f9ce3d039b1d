"""CSV: what spreadsheets write, and the right line and cell for what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from pantrymeals.files.csv_tables import Row, parse_table, read_table
from pantrymeals.files.gathering import Gathering

COLUMNS = ("product", "size", "count", "put_up", "note")


def rows_of(text: str) -> list[Row]:
    gathering = Gathering()
    rows = parse_table(text, "stock.csv", COLUMNS, ("product", "count"), gathering)
    assert not gathering.found
    assert rows is not None
    return rows


def told(text: str) -> list[str]:
    gathering = Gathering()
    parse_table(text, "stock.csv", COLUMNS, ("product", "count"), gathering)
    return [str(m) for m in gathering.found]


@pytest.mark.parametrize("mark", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_cells_are_found_whatever_stands_between_them(mark: str, end: str) -> None:
    lines = [["product", "count", "note"], ["Beans", "2", "n/a"], ["Kale", "-", "of the row"]]
    rows = rows_of(end.join(mark.join(line) for line in lines))
    assert [dict(r.cells) for r in rows] == [
        {"product": "Beans", "count": "2", "note": ""},
        {"product": "Kale", "count": "", "note": "of the row"},
    ]


def test_a_byte_order_mark_is_no_part_of_the_first_column(tmp_path: Path) -> None:
    path = tmp_path / "stock.csv"
    path.write_bytes("product;count\nWürze;2,5\n".encode("utf-8-sig"))
    rows = read_table(path, "stock.csv", COLUMNS, ("product", "count"), Gathering())
    assert rows is not None
    assert rows[0].text("product") == "Würze"


def test_lines_are_right_after_blank_lines_and_line_breaks_in_quotes() -> None:
    rows = rows_of('product,count,note\n\nBeans,1,"two\nlines"\n,,\nKale,2,\n')
    assert [(r.text("product"), r.line) for r in rows] == [("Beans", 3), ("Kale", 6)]
    assert str(rows[1].place_of("count")) == "stock.csv:6:2"


def test_columns_may_stand_in_any_order_and_be_written_as_words() -> None:
    (row,) = rows_of("Put up, Count,PRODUCT\n2024,3,Beans\n")
    assert dict(row.cells) == {"put_up": "2024", "count": "3", "product": "Beans"}


def test_cells_after_the_last_named_column_may_be_blank() -> None:
    assert rows_of("product,count\nBeans,1,,\n")[0].text("count") == "1"


@pytest.mark.parametrize(
    ("text", "messages"),
    [
        ("", ["stock.csv:1: this file is empty; its first line is product,count and so on"]),
        ("product,cuont\n", [
            "stock.csv:1: the column count is missing; add it to the first line",
            "stock.csv:1:2: 'cuont' is not a column of stock.csv; did you mean 'count'?",
        ]),
        ("product,count,colour\nBeans,1,x\n", [
            "stock.csv:1:3: 'colour' is not a column of stock.csv; "
            "the columns are product, size, count, put_up, note",
        ]),
        ("product,count,count\n", ["stock.csv:1:3: the column count stands here twice; keep one"]),
        ("product,count\nPotatoes, main crop,4\n", [
            "stock.csv:2:3: this row has 3 cells, and the first line names 2; "
            'put a text that holds a comma in quotes, such as "Potatoes, main crop"',
        ]),
        ('product,count\nBeans,1\n"Kale,2\n', [
            "stock.csv:3: a quote mark opens in this row and is never closed; close it before the next comma",
        ]),
        ('product,count\n"Kale" big,2\n', [
            'stock.csv:2: text follows a closing quote mark; write a quote mark inside a text twice: ""',
        ]),
        ("product,count\n" + "x" * 200_000, [
            "stock.csv:2: a cell of this row is far too long; see whether a quote mark is never closed",
        ]),
    ],
)  # fmt: skip
def test_what_is_wrong_with_a_table(text: str, messages: list[str]) -> None:
    assert sorted(told(text)) == sorted(messages)
