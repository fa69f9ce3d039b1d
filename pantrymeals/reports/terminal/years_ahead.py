"""What the put-up list's rule does over years, on the terminal: what runs out how often, and what reserve costs."""

from __future__ import annotations

from pantrymeals.plans.years_ahead import YearsAhead
from pantrymeals.records import Household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.units import LITRES_A_QUART, METRES_A_FOOT
from pantrymeals.words import capital, plural

MOST_PRODUCTS, MOST_FAMILIES = 25, 10


def write_years_ahead(paper: Paper, household: Household, ahead: YearsAhead, *, full: bool = False) -> None:
    """The odds drawn by, the reserves side by side, the families, then the products that run out most often."""
    paper.line((f"{household.name}: the list's rule over {plural(ahead.years, 'year')}", "bold"))
    paper.line(
        f"Drawn {ahead.paths} times: crops fail by the odds in season.yaml, {_often('a freezer', ahead.lost_freezer)}, "
        f"{_often('the garden', ahead.lost_garden)}; what was not put up is not bought."
    )
    paper.heading("What more or less reserve would change, a year")
    metric = household.measures == "metric"
    unit, litres = ("litres", 1.0) if metric else ("quarts", float(LITRES_A_QUART))
    row, metres = ("metres", 1.0) if metric else ("feet", float(METRES_A_FOOT))
    rows = [
        (r.words, f"{r.out:.1f}", f"{r.served:.0%}", f"{r.jars:.0f}", f"{r.hours:.0f}", f"{r.standing:.0f}",
         f"{r.metres / metres:.0f}" if r.metres else "", f"{r.litres / litres:.0f}")
        for r in ahead.reserves
    ]  # fmt: skip
    heads = ("shelf filled to", "runs out", "given", "jars", "hours", "standing", row, unit)
    paper.table(heads, rows, right=(1, 2, 3, 4, 5, 6, 7), widths=(21, 10, 7, 6, 7, 10, 8, 8))
    paper.line(
        f"Runs out: of {ahead.years} years, those in which an average product does. Given: of what the table calls "
        f"for. Jars put up and kitchen hours a year; jars standing once the crops are in, with their {row} of shelf, "
        f"and {unit} in the freezer then."
    )
    for words in _what_changes(ahead):
        paper.line(words, hang=2)
    often = [row for row in ahead.families if row.years_out >= 0.05][: None if full else MOST_FAMILIES]
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
    shown = [row for row in ahead.products if row.years_out >= 0.05][: None if full else MOST_PRODUCTS]
    paper.table(
        ("product", f"years of {ahead.years}", f"never in {ahead.years}", "missing"),
        [(row.product, f"{row.years_out:.1f}", f"{1 - row.ever_out:.0%}", f"{row.missing:.0%}") for row in shown],
        right=(1, 2, 3),
        widths=(28, 12, 13, 9),
    )
    rest = len(ahead.products) - len(shown)
    if rest:
        paper.line(f"{plural(rest, 'other product')} less often{'' if full else ' (--full names them)'}.")


def _what_changes(ahead: YearsAhead) -> list[str]:
    """'A year's need more: runs out 1.2 years less often; 89 more jars and 12 more hours a year, ...'."""
    asked = next((r for r in ahead.reserves if r.words == "as the list has it"), None)
    out = []
    for other in ahead.reserves if asked else ():
        if other is not asked and asked:
            out.append(
                f"{capital(other.words)}: runs out {abs(other.out - asked.out):.1f} years "
                f"{'less' if other.out < asked.out else 'more'} often; {_more(other.jars - asked.jars)} jars and "
                f"{_more(other.hours - asked.hours)} hours a year, {_more(other.standing - asked.standing)} jars there."
            )
    return out


def _more(count: float) -> str:
    return f"{abs(round(count))} {'more' if count >= 0 else 'fewer'}"


def _often(what: str, one_in: int) -> str:
    return f"{what} is lost one year in {one_in}" if one_in else f"{what} is never lost"
