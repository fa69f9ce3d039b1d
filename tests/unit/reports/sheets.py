"""One small menu sheet, written by hand, for the tests of every report."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.plans.marks import Mark
from pantrymeals.plans.menu import AheadLine, BatchWork, MenuPlan, Opening, PullLine, PullList, ShareRow, Waste
from pantrymeals.plans.outlook import AtPace, Forecast, ForecastRow
from pantrymeals.records import Household
from pantrymeals.reports.sheet import MenuSheet
from tests.kitchens.tiny import cooked, day, dish, instead, jar, kitchen, loose, lot, menu, qty, supper


def small_household() -> Household:
    """Beans, carrots and joints; a soup, a stew with a noted alternative, a roast."""
    return kitchen(
        products=[jar("Beans", opened_days=4), loose("Carrots, in sand"), jar("Joint", sizes=("each",))],
        lots=[lot("Beans", 8), lot("Carrots, in sand", 40, "lb", where="C"), lot("Joint", 3, "each", where="F")],
        dishes=[
            dish("Bean soup", ["1 qt Beans"], minutes=30, hands_on_minutes=10),
            dish(
                "Carrot stew",
                ["1/2 lb Carrots, in sand", "~1/2 qt Beans"],
                instead=[instead("Ann", "raw sticks", ["1/2 lb Carrots, in sand"])],
                minutes=60,
                hands_on_minutes=60,
            ),
            dish("Roast", ["1 each Joint"], minutes=180, hands_on_minutes=30),
        ],
    )


def small_plan(household: Household) -> MenuPlan:
    """Four days: a soup, a double stew as asked, an open supper, a roast."""
    return menu(
        household,
        [
            supper(day(0), cooked(household, "Bean soup", why="8 qt of beans to get through")),
            supper(day(1), cooked(household, "Carrot stew", 2, instead=[0], pinned=True, why="you asked for it")),
            supper(day(2), open_roles=("main",)),
            supper(day(3), cooked(household, "Roast", why="Thursday is roast"), covered_roles=("side",)),
        ],
        openings=[Opening(day(0), "Beans", "qt", 1), Opening(day(1), "Beans", "qt", 1)],
        waste=[Waste(day(4), "Beans", qty("1/2 qt"))],
        shares=[
            ShareRow("Beans", Fraction(1), Fraction(1), Fraction(1), Fraction(2), Fraction(1, 4), "menu"),
            ShareRow("Joint", Fraction(1, 3), Fraction(0), Fraction(1), Fraction(1), Fraction(0)),
        ],
        batch_work=(BatchWork(day(2), "Beans for the shelf", 2, "closes the gap on beans"),),
        cost=101.25,
        bound=100.0,
        gap=0.0125,
        seconds=5.2,
        ended="time",
        parts=(("evenness", 60.5), ("waste", 40.75)),
        notes=("no roast can be thawed by Sunday",),
    )


def at(weekly: float, out: date | None, mark: Mark, reason: str) -> AtPace:
    """A pace without chance."""
    return AtPace(weekly, out, out, out, None, 0.0, 0.0, 0.0, 0.0, None, mark, reason)


def row(
    product: str, on_hand: float, size: str, planned: AtPace, due: date, eaten: AtPace | None = None
) -> ForecastRow:
    """A product that must last to a day, with no reserve; where it is not eaten by a pace of its own, it stands."""
    told = () if eaten else ("standing use",)
    return ForecastRow(product, size, on_hand, 0.0, 0.0, 0.0, due, None, "new crop", None, eaten, planned, told)


def small_sheet(*, broken: tuple[str, ...] = (), **plan_changes: object) -> MenuSheet:
    """The plan with a pull list, three run-out rows and an unreachable product."""
    household = small_household()
    plan = replace(small_plan(household), **plan_changes)  # type: ignore[arg-type]
    pull = PullList(
        lines=(
            PullLine(day(1), "F", "lift out", "Joint", "each", Fraction(1), "Nov 2025", day(3), "Roast", day(5)),
            PullLine(
                day(0), "K", "part jar", "Beans", "qt", Fraction(1, 2), "opened 3 Jan", day(0), "Bean soup", day(2)
            ),
            PullLine(day(0), "P", "jar", "Beans", "qt", Fraction(1), "Sep 2025", day(1), "Carrot stew", None, "4"),
            PullLine(day(0), "C", "loose", "Carrots, in sand", "lb", Fraction(3, 2), "", day(1), "Carrot stew"),
        ),
        ahead=(AheadLine(day(0), "soak the beans", "Bean soup", day(1)),),
        empties=(("qt", 2), ("pt", 1)),
        cautions=("Before opening: lid tight and dipped; no leak, streak or bulge. Any of these: do not taste.",),
    )
    rows = (
        row("Carrots, in sand", 40.0, "lb", at(0.25, None, "glut", "more than is eaten"), day(100)),
        row("Beans", 8.0, "qt", at(1.5, day(33), "short", "gone early"), day(238)),
        row("Joint", 3.0, "each", at(0.5, day(42), "reaches", "just"), day(40)),
    )
    forecast = Forecast("Tiny", day(0), rows, 2000, 1, 4, 0, 0.0)
    return MenuSheet(
        household=household,
        plan=plan,
        broken=broken,
        pull=pull,
        forecast=forecast,
        unreachable=(("Rice", "no dish takes it"),),
        at_table={day(n): "2 at table" for n in range(4)},
    )
