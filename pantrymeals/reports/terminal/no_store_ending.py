"""How a month without the store ended: days held, dollars, shelves, and what to put up more of."""

from __future__ import annotations

from pantrymeals.plans.no_store import Ending
from pantrymeals.records import Household
from pantrymeals.reports.no_store_words import about
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.words import listed, near_day, plural, priced, span, the_house


def write_ending(paper: Paper, ended: Ending, household: Household) -> None:
    """The whole ending."""
    so_far = " so far" if ended.today < ended.last else ""
    paper.line((f"The days without the store at {the_house(ended.household)} table{so_far}", "bold"))
    paper.line(span(ended.first, ended.last))
    paper.blank()
    paper.line(f"Days held: {ended.days_held} of {ended.days_gone}.")
    money = household.money
    _slips(paper, ended, money)
    if not ended.has_book:
        paper.line("There is no put-up book in this folder, so what left the shelves is not known.")
        return
    paper.heading("Dollars" if money == "$" else "Money")
    paper.line(
        f"Such days usually cost {priced(ended.usual_usd, money)}; the slips came to {priced(ended.slips_usd, money)}."
    )
    paper.line(f"What left the shelves would have cost {priced(ended.saved_usd, money)} at store prices.")
    write_unpriced(paper, ended.unpriced)
    paper.heading("Shelves emptied, the first to go first")
    if not ended.emptied:
        paper.line("None.")
    for one in ended.emptied:
        had = about(household, one.product, one.count)
        paper.line(f"{one.product}: {near_day(one.day, ended.first)} (there were {had})", indent=2, hang=2)
    if ended.sitters_opened:
        paper.heading("Sitters opened")
        for name, count in ended.sitters_opened:
            paper.line(f"{name}: {about(household, name, count)}. Was it worth its jar?", indent=2, hang=2)
    if ended.more_of:
        paper.heading("To put up or lay in more of")
        for name, why in ended.more_of:
            paper.line(f"{name}: {why}", indent=2, hang=2)


def write_unpriced(paper: Paper, names: tuple[str, ...]) -> None:
    """What the dollars do not count, where anything is left out."""
    if names:
        paper.line(f"No price is written down for: {listed(names, 6)}.")


def _slips(paper: Paper, ended: Ending, money: str) -> None:
    if not ended.slips:
        paper.line("No slips.")
        return
    paper.line(f"{plural(len(ended.slips), 'slip')}, {priced(ended.slips_usd, money)} in all:")
    for slip in ended.slips:
        when = near_day(slip.day, ended.first)
        paper.line(f"{when}: {slip.what}, {priced(slip.price_usd, money)}", indent=2, hang=2)
