"""Next season: the put-up list within its limits, a glut on the day it comes in, and a year's notes."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from pantrymeals import tables
from pantrymeals.actions.announced import from_today, that_stand
from pantrymeals.actions.answer import Answer
from pantrymeals.actions.season_tables import season_tables
from pantrymeals.actions.with_book import Larder
from pantrymeals.cautions import STANDING_LINE, CautionShown, shown
from pantrymeals.errors import PantryError
from pantrymeals.forecast.sitters import TOO_YOUNG, too_young_to_tell
from pantrymeals.larder.book_history import book_year_of
from pantrymeals.plans.menu import MenuPlan
from pantrymeals.plans.season import (
    FittedSeason,
    GlutPlan,
    PutUpLine,
    PutUpList,
    SeasonNotes,
    ShelfPlace,
    SitterRow,
    SizeAdvice,
    ToBuy,
    TwoNeeds,
)
from pantrymeals.records import Household
from pantrymeals.reports.json.figures import figures_json
from pantrymeals.reports.terminal.season import SeasonShown, write_season
from pantrymeals.reports.terminal.season_more import write_glut, write_notes
from pantrymeals.reports.terminal.sitters import write_sitters
from pantrymeals.season.asked import SeasonQuestion as SeasonQuestion
from pantrymeals.season.by_menus import MenusBeside
from pantrymeals.season.calendar import season_weeks
from pantrymeals.season.fitted import fit_season
from pantrymeals.season.gather import season_question
from pantrymeals.season.glut import crop_meant, glut_plan, pounds_meant
from pantrymeals.season.jar_sizes import size_advice
from pantrymeals.season.limits import Without, season_limits
from pantrymeals.season.notes import season_notes
from pantrymeals.season.put_up_list import book_and_menus, put_up_list
from pantrymeals.season.shelf_places import shelf_places
from pantrymeals.season.sitters import sitters
from pantrymeals.season.to_buy import to_buy
from pantrymeals.season.yields import WORDS
from pantrymeals.units import ALIASES, LITRES_A_QUART, METRES_A_FOOT, take_number


class SeasonAsked(Struct, frozen=True):
    """What a cook asks for: what is taken away, in words, flats to be bought at most, and the search.

    without: such as '300 quart empties', '100 lids', '4 hours', '40 ft of row', '50 litres'.
    flats_to_buy: None for as many as are needed.
    """

    without: tuple[str, ...] = ()
    flats_to_buy: int | None = None
    seed: int = 1
    seconds: float = 20.0


class SeasonSheet(Struct, frozen=True):
    """All that the season's report shows."""

    household: Household
    wanted: PutUpList
    fitted: FittedSeason
    sizes: tuple[SizeAdvice, ...]
    without: tuple[str, ...]
    service: float
    bought: tuple[ToBuy, ...] = ()
    places: tuple[ShelfPlace, ...] = ()
    differ: tuple[TwoNeeds, ...] = ()
    menu_days: int = 0


def question_of(larder: Larder, seed: int = 1, plan: MenuPlan | None = None) -> SeasonQuestion:
    """The season's question of a household and its book.

    plan: the days to come of a menu to lay beside the book; None: the announced.
    """

    def menus() -> MenusBeside:
        if plan is not None:
            return MenusBeside((plan,))
        folder = larder.household.folder
        announced = that_stand(Path(folder), larder.household) if folder else ()
        return MenusBeside(tuple(from_today(larder.household, found) for _, found in announced))

    return season_question(
        larder.at_table, season_tables(), larder.book, lambda: larder.pace, seed, larder.failed, menus
    )


def _need_harvests(asked: SeasonQuestion) -> None:
    """Raise PantryError, saying how to begin, where no harvest is written down."""
    if not asked.facts.harvests:
        raise PantryError(
            "season.yaml has no harvest: it tells which crop comes in when, and what it is put up as. Begin it with\n"
            "harvest:\n  - {crop: beans, from: 07-10, to: 08-31, products: [Green beans]}",
            "\nand 'explain files' has all else that it can say",
        )


def make_season(asked: SeasonQuestion, wish: SeasonAsked) -> SeasonSheet:
    """Next season's list, and how much of it fits. Raises PantryError when a wish makes no sense."""
    _need_harvests(asked)
    less = without_meant(wish.without, metric=asked.household.measures == "metric")
    wanted = put_up_list(asked)
    lines = limited_lines(wanted.lines)
    limits = season_limits(asked, lines, less, wish.flats_to_buy)
    fitted = fit_season(lines, limits, asked.facts.flats, asked.facts.wide_share, wish.seed, wish.seconds, asked.losses)
    sizes = size_advice(asked)
    wanted = replace(wanted, cautions=with_jar_cautions(wanted, bool(sizes or fitted.notes)))
    return SeasonSheet(
        asked.household, wanted, fitted, sizes, wish.without, asked.facts.service, to_buy(asked, lines, fitted),
        shelf_places(asked, wanted.lines, fitted), book_and_menus(asked),
        asked.menus().days,
    )  # fmt: skip


def with_jar_cautions(wanted: PutUpList, other_size: bool) -> tuple[CautionShown, ...]:
    """The list's cautions, with those for what no tested jar holds (C4, C5) and for another size (C6)."""
    reasons = " ".join(why for _, why in wanted.none)
    codes = [code for code in ("C4", "C5", "C6") if f"({code})" in reasons or (code == "C6" and other_size)]
    *own, last = wanted.cautions
    return (*own, *(shown(code) for code in codes), last)


def limited_lines(lines: Iterable[PutUpLine]) -> tuple[PutUpLine, ...]:
    """Lines that any limit could touch: what is put up in the kitchen, and what the ground must bring."""
    return tuple(line for line in lines if line.in_kitchen or line.raw_lb_a_load)


def without_meant(words: Iterable[str], *, metric: bool = False) -> Without:
    """'300 quart empties', '60 500 ml jars', '100 lids', '4 hours a week', '40 ft of row', '12 m of row', '50 litres of
    freezer', '50 quarts of freezer'.

    metric: whose words an example has. Raises PantryError, saying what would be right.
    """
    jars: dict[str, int] = {}
    flats, hours, feet, litres = 0, Fraction(0), Fraction(0), Fraction(0)
    sizes = {word: size for size, word in WORDS.items()}
    for text in words:
        taken = take_number(text)
        rest = taken[1].lower().split() if taken else []
        if taken is None or taken[0] < 0 or not rest:
            raise _not_understood(text, metric)
        unit = rest[0].rstrip("s")
        size = sizes.get(unit, ALIASES.get(rest[0], rest[0]))
        if size == "qt" and "freezer" in rest:
            litres += taken[0] * LITRES_A_QUART
        elif (jar := _METRIC_JAR.match(" ".join(rest))) is not None:
            of = f"{jar[1].replace(',', '.')} {jar[2]} jar"
            jars[of] = jars.get(of, 0) + int(taken[0])
        elif size in WORDS:
            jars[size] = jars.get(size, 0) + int(taken[0])
        elif unit in {"flat", "lid"}:
            flats += int(taken[0])
        elif unit in {"hour", "h"}:
            hours += taken[0]
        elif unit in {"ft", "feet", "foot"}:
            feet += taken[0]
        elif unit in {"m", "metre", "meter"}:
            feet += taken[0] / METRES_A_FOOT
        elif unit in {"litre", "liter", "l"}:
            litres += taken[0]
        else:
            raise _not_understood(text, metric)
    return Without(jars, flats, hours, feet, litres)


_METRIC_JAR = re.compile(r"(\d+(?:[.,]\d+)?) ?(ml|l)\b")


def _not_understood(text: str, metric: bool) -> PantryError:
    jars, row, freezer = (
        ("60 500 ml jars", "12 m of row", "50 litres") if metric else ("300 quart empties", "40 ft of row", "50 quarts")
    )
    return PantryError(
        f"'{text}' is nothing a season can be without; write '{jars}', '100 lids', '4 hours a week', '{row}' or "
        f"'{freezer} of freezer'"
    )


def make_glut(asked: SeasonQuestion, crop: str, amount: str, hours: str = "") -> GlutPlan:
    """What to do with so much of a crop today. Raises PantryError when crop or amount is not understood."""
    harvest = crop_meant(asked, crop)
    spare = take_number(hours) if hours else None
    if hours and (spare is None or spare[0] < 0):
        raise PantryError(f"--hours should be a number of hours, not '{hours}'")
    return glut_plan(asked, harvest, pounds_meant(asked, harvest, amount), spare[0] if spare else None)


def make_notes(asked: SeasonQuestion, year: int | None) -> SeasonNotes:
    """The notes of a book year; of the last full one, where none is named. Raises PantryError."""
    if year is None:
        full = [y.year for y in asked.years if y.full]
        year = max(full, default=book_year_of(asked.today, asked.household.year_opens))
    return season_notes(asked, year)


def season_answer(asked: SeasonQuestion, wish: SeasonAsked) -> Answer:
    """Next season's list within its limits. Raises PantryError when a wish makes no sense."""
    return answer_of(make_season(asked, wish))


def answer_of(sheet: SeasonSheet, *, full: bool = False) -> Answer:
    """A season that was worked out, in every form it has."""
    from pantrymeals.reports.dates import season_dates
    from pantrymeals.reports.pages.season import season_pdf
    from pantrymeals.reports.pages.typeset import origin_of
    from pantrymeals.reports.pictures.draw import svg
    from pantrymeals.reports.pictures.stores import season_picture

    name, wanted, fitted = sheet.household.name, sheet.wanted, sheet.fitted
    weeks = season_weeks(wanted, fitted)
    drawing = season_picture(wanted.called(), weeks)
    return Answer(
        lambda paper: write_season(paper, season_shown(sheet), full=full),
        lambda: figures_json(
            household=name, service=sheet.service, without=sheet.without, wanted=wanted, fitted=fitted,
            jar_sizes=sheet.sizes, to_buy=sheet.bought, shelves=sheet.places, book_and_menus=sheet.differ,
        ),
        lambda: tables.season(wanted, fitted, weeks, sheet.bought, sheet.differ),
        lambda printing: season_pdf(wanted, fitted, svg(drawing), origin_of(sheet.household), printing, sheet.bought),
        lambda: drawing,
        lambda: season_dates(name, wanted, fitted),
    )  # fmt: skip


def season_shown(sheet: SeasonSheet) -> SeasonShown:
    """A season as its report shows it."""
    return SeasonShown(
        sheet.household.name, sheet.wanted, sheet.fitted, sheet.sizes, sheet.service, sheet.without, sheet.bought,
        sheet.places, sheet.household.money, sheet.differ,
        sheet.menu_days,
    )  # fmt: skip


def years_answer(
    asked: SeasonQuestion, years: int, lost_freezer: int | None = None, lost_garden: int | None = None, *,
    full: bool = False,
) -> Answer:  # fmt: skip
    """What the list's rule does over so many years. Raises PantryError where no harvest is written down.

    lost_freezer, lost_garden: one year in so many, 0 for never; None: as season.yaml says.
    """
    from pantrymeals.reports.terminal.years_ahead import write_years_ahead
    from pantrymeals.season.years_ahead import Lost, years_ahead

    _need_harvests(asked)
    facts = asked.facts
    freezer = facts.lost_freezer if lost_freezer is None else lost_freezer
    garden = facts.lost_garden if lost_garden is None else lost_garden
    name, ahead = asked.household.name, years_ahead(asked, years, Lost(freezer, garden))
    if not ahead.products:
        raise PantryError("nothing is known yet of what the table uses in a year, so no year can be drawn")
    return Answer(
        lambda paper: write_years_ahead(paper, asked.household, ahead, full=full),
        lambda: figures_json(household=name, years_ahead=ahead),
        lambda: tables.years_ahead(ahead),
    )


def sitters_answer(asked: SeasonQuestion) -> Answer:
    """What is made and never eaten, with an honest end for each."""
    name, rows = asked.household.name, sitters(asked)
    cautions = sitter_cautions(rows)
    too_young = TOO_YOUNG if too_young_to_tell(asked.years) else ""
    return Answer(
        lambda paper: write_sitters(paper, name, rows, cautions, too_young),
        lambda: figures_json(household=name, rows=rows, cautions=cautions),
        lambda: tables.sitters(rows),
    )


def sitter_cautions(rows: tuple[SitterRow, ...]) -> tuple[CautionShown, ...]:
    """C27 where anything may be given, C1 and C30 where lots are held for them, and every page's line."""
    words = " ".join(end.words for row in rows for end in row.ends)
    codes = [code for code in ("C1", "C27", "C30") if f"({code})" in words]
    return (*(shown(code) for code in codes), CautionShown("", STANDING_LINE))


def glut_answer(asked: SeasonQuestion, crop: str, amount: str, hours: str = "") -> Answer:
    """What to do with so much of a crop today. Raises PantryError when crop or amount is not understood."""
    plan = make_glut(asked, crop, amount, hours)
    return Answer(lambda paper: write_glut(paper, plan), lambda: figures_json(glut=plan), lambda: tables.glut(plan))


def notes_answer(asked: SeasonQuestion, year: int | None) -> Answer:
    """The notes of a book year; of the last full one, where none is named. Raises PantryError."""
    name, found = asked.household.name, make_notes(asked, year)
    return Answer(
        lambda paper: write_notes(paper, name, found),
        lambda: figures_json(household=name, notes=found),
        lambda: tables.season_notes(found),
    )
