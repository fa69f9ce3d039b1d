"""What the put-up list's rule does over years, on the terminal: what runs out how often, and what reserve costs."""

from __future__ import annotations

from pantrymeals.plans.season import YearsAhead
from pantrymeals.records import Household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.units import LITRES_A_QUART
from pantrymeals.words import plural

MOST_PRODUCTS, MOST_FAMILIES = 25, 10


def write_years_ahead(paper: Paper, household: Household, ahead: YearsAhead) -> None:
    """The odds drawn by, the reserves side by side, the families, then the products that run out most often."""
    paper.line((f"{household.name}: the list's rule over {plural(ahead.years, 'year')}", "bold"))
    paper.line(
        f"Drawn {ahead.paths} times: crops fail by the odds in season.yaml, {_often('a freezer', ahead.lost_freezer)}, "
        f"{_often('the garden', ahead.lost_garden)}; what was not put up is not bought."
    )
    paper.heading("What more or less reserve would change, a year")
    metric = household.measures == "metric"
    unit, litres = ("litres", 1.0) if metric else ("quarts", float(LITRES_A_QUART))
    rows = [
        (r.words, f"{r.out:.1f}", f"{r.served:.0%}", f"{r.jars:.0f}", f"{r.hours:.0f}", f"{r.standing:.0f}",
         f"{r.litres / litres:.0f}")
        for r in ahead.reserves
    ]  # fmt: skip
    heads = ("shelf filled to", "run-outs", "given", "jars", "hours", "on shelf", unit)
    paper.table(heads, rows, right=(1, 2, 3, 4, 5, 6), widths=(26, 8, 6, 6, 6, 8, 7))
    paper.line(
        f"Run-outs: of {ahead.years} years, those in which an average product runs out. Given: of what the table calls "
        f"for. Jars put up and kitchen hours; jars on the shelf and {unit} in the freezer once the crops are in."
    )
    often = [row for row in ahead.families if row.years_out >= 0.05][:MOST_FAMILIES]
    paper.heading("Families of which every kind runs out in one year")
    if not often:
        paper.line("None, or in fewer than one year of 20.")
    paper.table(
        ("family", "kinds", f"years of {ahead.years}"),
        [(row.family, str(row.kinds), f"{row.years_out:.1f}") for row in often],
        right=(1, 2),
        widths=(28, 8, 12),
    )
    paper.heading("What runs out most often, as the list has it")
    shown = [row for row in ahead.products if row.years_out >= 0.05][:MOST_PRODUCTS]
    paper.table(
        ("product", f"years of {ahead.years}", "never in all", "missing"),
        [(row.product, f"{row.years_out:.1f}", f"{1 - row.ever_out:.0%}", f"{row.missing:.0%}") for row in shown],
        right=(1, 2, 3),
        widths=(28, 12, 13, 9),
    )
    rest = len(ahead.products) - len(shown)
    if rest:
        paper.line(f"{plural(rest, 'other product')} less often.")


def _often(what: str, one_in: int) -> str:
    return f"{what} is lost one year in {one_in}" if one_in else f"{what} is never lost"
