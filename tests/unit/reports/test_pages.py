"""Sheets to print: real pages, the same bytes each time, names never taken for markup, read back by other programs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from datetime import date
from fractions import Fraction
from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp
from msgspec.structs import replace

from pantrymeals.actions.run_out import Chance, eat_first_answer, hungry_gap_answer, run_out_answer
from pantrymeals.actions.with_book import Larder
from pantrymeals.cautions import STANDING_LINE
from pantrymeals.reports.pages.count_sheet import SheetLine, count_pdf, tally_pdf
from pantrymeals.reports.pages.labels import JarLabel, labels_pdf
from pantrymeals.reports.pages.menu import menu_pdf
from pantrymeals.reports.pages.typeset import Col, Origin, Printing, page, set_pages, table, title
from pantrymeals.reports.pages.weeks import weeks_text
from pantrymeals.reports.pictures.draw import drawn
from pantrymeals.reports.sheet import MenuSheet, WeeksSheet
from tests.kitchens.three_houses import couple, metric
from tests.kitchens.tiny import kitchen
from tests.outside.printed import by_pdftotext, pages_of
from tests.unit.reports.sheets import small_sheet

ORIGIN = Origin("Ærø", date(2026, 1, 17), (8044, date(2026, 1, 16)))
LONG = "Käse, crème fraîche and a name that goes on and on, as great-aunt's names did, put up by the back window"
HOSTILE = '#panic() *x* $ [ ] \\ @y <z> "'


def renamed(sheet: MenuSheet, name: str) -> MenuSheet:
    return replace(sheet, household=replace(sheet.household, name=name))


def line(product: str, count: str = "7", size: str = "qt", place: str = "S1", state: str = "") -> SheetLine:
    return SheetLine(place, product, size, "2025-08-04", "load 1", state, Fraction(count), 1, 8044)


def test_the_same_sheet_gives_the_same_pdf() -> None:
    first = menu_pdf(small_sheet())
    assert menu_pdf(small_sheet()) == first
    assert menu_pdf(renamed(small_sheet(), "Other")) != first


def test_names_are_data_and_never_markup() -> None:
    assert HOSTILE in by_pdftotext(menu_pdf(renamed(small_sheet(), HOSTILE)))


def test_the_week_says_every_dish_every_line_and_what_to_do_beforehand() -> None:
    sheet = small_sheet()
    text = by_pdftotext(menu_pdf(sheet))
    for meal in sheet.plan.meals:
        for dish in meal.dishes:
            assert dish.dish in text
    for pulled in sheet.pull.lines:
        assert pulled.product in text
    for said in ("soak the beans", "lift out 1 Joint", "main left open", *sheet.at_table.values()):
        assert said in text


def test_faults_are_printed_too() -> None:
    assert "Do not cook from this menu" in by_pdftotext(menu_pdf(small_sheet(broken=("a fault",))))


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("large", [False, True])
def test_every_page_has_its_caution_and_the_state_of_the_book(paper: str, large: bool) -> None:
    lines = [line(f"Product {n}", place=f"S{n // 40}") for n in range(400)]
    for pdf in (
        count_pdf(lines, {}, ORIGIN, Printing(paper, large)),
        tally_pdf(lines, {}, ORIGIN, Printing(paper, large)),
    ):
        pages = pages_of(pdf)
        assert len(pages) > 5
        for text in pages:
            assert STANDING_LINE in text
            assert "Ærø, 17 Jan 2026, from the book up to entry 8,044 of 16 Jan 2026." in text
        assert all(f"Product {n} " in " ".join(pages) for n in range(400))


def test_a_page_is_the_paper_that_was_asked_for() -> None:
    """ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: letter is 8.5 x 11 in (both from memory)."""
    sizes = {"a4": (595.3, 841.9), "letter": (612, 792)}
    for paper, (wide, high) in sizes.items():
        sheet = pypdf.PdfReader(BytesIO(count_pdf([line("Beans")], {}, ORIGIN, Printing(paper)))).pages[0].mediabox
        assert (float(sheet.width), float(sheet.height)) == pytest.approx((wide, high), abs=0.3)


def test_its_household_says_the_paper_unless_the_command_does() -> None:
    a4 = replace(ORIGIN, paper="a4")
    assert count_pdf([line("Beans")], {}, a4, Printing()) == count_pdf([line("Beans")], {}, ORIGIN, Printing("a4"))


def test_a_reader_aloud_finds_language_title_and_tags() -> None:
    """PDF/UA-1 (ISO 14289-1): a title that is shown, a language, and marked content, by a second library."""
    found = pypdf.PdfReader(BytesIO(menu_pdf(small_sheet()))).trailer["/Root"]
    assert found["/Lang"] == "en"
    assert found["/MarkInfo"]["/Marked"]
    assert found["/ViewerPreferences"]["/DisplayDocTitle"]
    assert "/StructTreeRoot" in found


def test_all_letters_come_with_the_page() -> None:
    reader = pypdf.PdfReader(BytesIO(labels_pdf(JarLabel(1, LONG, "qt", "2024"), 3, ORIGIN)))
    fonts = [f.get_object() for p in reader.pages for f in p["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inner["/FontDescriptor"])


@pytest.mark.parametrize(("make", "amount"), [(count_pdf, "2.5 kg"), (tally_pdf, "2.5 kg")])
def test_an_empty_list_and_long_names_break_no_page(make: Callable[..., bytes], amount: str) -> None:
    assert STANDING_LINE in pages_of(make([], {}, ORIGIN, Printing()))[0]
    text = by_pdftotext(make([line(LONG, "1/3", "2-egg tub", ""), line("Käse", "2.5", "kg")], {}, ORIGIN, Printing()))
    assert "No place written down" in text
    for word in (*LONG.split(), amount):
        assert word.replace("-", "") in text.replace("-", "")  # pdftotext joins what goes on after a hyphen


def test_what_is_read_keeps_its_order() -> None:
    lines = [line("Apples", place="A"), line("Beans", place="B"), line("Cabbage", place="C")]
    for text in (
        by_pdftotext(count_pdf(lines, {}, ORIGIN, Printing())),
        pages_of(count_pdf(lines, {}, ORIGIN, Printing()))[0],
    ):
        places = [text.index(name) for name in ("Count sheet", "Apples", "Beans", "Cabbage")]
        assert places == sorted(places)


def test_a_page_that_should_hold_all_takes_smaller_letters_before_more_pages() -> None:
    def made(rows: int) -> int:
        blocks = [title("x"), table([Col()], [[f"row {n}"] for n in range(rows)])]
        return len(pages_of(set_pages("x", [page(blocks, fit=True)], ORIGIN, Printing())))

    assert [made(rows) for rows in (10, 55, 60)] == [1, 1, 1]
    assert made(200) > 2


def letters_of(pdf: bytes, number: int = 0) -> dict[float, int]:
    """How many letters of which size a page has, by PDFium."""
    text = pypdfium2.PdfDocument(pdf)[number].get_textpage()
    sizes = (pypdfium2.raw.FPDFText_GetFontSize(text, n) for n in range(text.count_chars()))
    return Counter(round(size, 2) for size in sizes)


def test_large_letters_are_larger_on_the_week_and_on_its_list() -> None:
    sheet = small_sheet()
    meals = tuple(
        replace(meal, dishes=tuple(replace(d, dish=f"{d.dish} {LONG}") for d in meal.dishes))
        for meal in sheet.plan.meals
    )
    full = replace(sheet, plan=replace(sheet.plan, meals=meals))
    usual, large = menu_pdf(full), menu_pdf(full, Printing(large=True))
    for page_usual, page_large in ((0, 0), (1, 2)):
        (size, _), (larger, _) = (
            max(letters_of(pdf, n).items(), key=lambda found: found[1])
            for pdf, n in ((usual, page_usual), (large, page_large))
        )
        assert larger > size


def test_the_line_above_the_foot_strikes_no_letter() -> None:
    for large in (False, True):
        page = pypdfium2.PdfDocument(tally_pdf([line("Beans")], {}, ORIGIN, Printing(large=large)))[0]
        text = page.get_textpage()
        at = text.search(STANDING_LINE[:20]).get_next()[0]
        tops = [text.get_charbox(n)[3] for n in range(at, at + 20)]
        paths = (o for o in page.get_objects() if o.type == pypdfium2.raw.FPDF_PAGEOBJ_PATH)
        lowest = min(path.get_bounds()[1] for path in paths)
        assert lowest > max(tops)


def test_a_table_that_goes_on_says_of_what_and_breaks_no_row() -> None:
    lines = [line(f"Product {n}, {LONG}", place="S1") for n in range(60)]
    for make in (count_pdf, tally_pdf):
        first, *rest = pages_of(make(lines, {"S1": "south wall"}, ORIGIN, Printing()))
        assert rest
        assert "South wall (S1), continued" not in first
        for text in rest:
            assert text.count("South wall (S1), continued") == 1
        for n in range(60):
            (there,) = [text for text in (first, *rest) if f"Product {n}, " in text]
            assert f"Product {n}, {LONG}" in there


@pytest.mark.parametrize("name", ["Green beans", "Käse, crème fraîche, Ærø", "¡¡", 'Żurek; "sour" & <old>', LONG])
@pytest.mark.parametrize("load", ["", "beans 12 Aug load 1"])
def test_a_label_is_read_by_another_program_with_no_page_behind_it(name: str, load: str) -> None:
    """The code is decoded by ZXing's reader from the printed page itself."""
    label = JarLabel(351, name, "qt", "2025-08-30", load, ["egg"])
    image = pypdfium2.PdfDocument(labels_pdf(label, 1, ORIGIN))[0].render(scale=4).to_pil()
    (found,) = zxingcpp.read_barcodes(image)
    assert found.text == label.told
    assert found.text.startswith("Lot 351; ")


def test_a_label_says_what_is_in_it_and_whether_it_is_held() -> None:
    text = by_pdftotext(labels_pdf(JarLabel(5, "Walnut jam", "hp", "2024", "", ["tree nut"], "held"), 1, ORIGIN))
    for said in ("Walnut jam", "hp, put up 2024", "lot 5", "Has: tree nut", "HELD: not to be eaten or planned"):
        assert said in text


def houses() -> list[Larder]:
    """A couple with pints, a metric kitchen, and a house in which nothing is."""
    return [couple(), metric(), Larder(kitchen(), ())]


@pytest.mark.parametrize("larder", houses(), ids=["couple", "metric", "empty"])
def test_other_houses_are_printed_and_drawn_too(larder: Larder) -> None:
    chance = Chance(paths=100)
    eat_first = eat_first_answer(larder, chance)
    assert eat_first.page is not None
    assert all(STANDING_LINE in text for text in pages_of(eat_first.page(Printing())))
    for answer in (run_out_answer(larder, chance), hungry_gap_answer(larder, chance)):
        assert answer.picture is not None
        assert drawn(answer.picture(), ".svg").startswith(b"<svg ")


def test_fourteen_at_table_long_names_and_a_full_week_stay_one_page() -> None:
    sheet = small_sheet()
    crowd = dict.fromkeys(sheet.at_table, "6 at table, company for 8: the threshers, and whoever comes with them")
    renamed_dishes = tuple(
        replace(meal, dishes=tuple(replace(d, dish=f"{d.dish} {LONG}") for d in meal.dishes))
        for meal in sheet.plan.meals
    )
    long_plan = replace(sheet.plan, meals=renamed_dishes)
    pages = pages_of(menu_pdf(replace(sheet, plan=long_plan, at_table=crowd)))
    assert len(pages) == 2
    for word in LONG.split():
        assert word in pages[0]


def test_what_is_not_settled_stands_on_every_page_that_is_cooked_from() -> None:
    """A menu of two weeks: on both pages, not under the last alone; in a document of weeks and a rehearsal too."""
    note = "NOT SETTLED: Ann must not have 'gluten', and nothing here is marked with it."
    sheet = small_sheet()
    doubt = replace(sheet, plan=replace(sheet.plan, days=14, notes=(*sheet.plan.notes, note)))
    pages = pages_of(menu_pdf(doubt))
    assert [note in page for page in pages] == [True, True, False]  # the last is the pull list
    assert [page.count("NOT SETTLED") for page in pages] == [1, 1, 0]
    assert sum("no roast can be thawed by Sunday" in page for page in pages) == 1
    text = weeks_text(WeeksSheet((doubt, doubt), doubt.forecast))
    assert text.count(note) == 1
    assert text.index(note) < text.index("## Week 1")
