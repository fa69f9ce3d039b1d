"""Answers of an evening, each on one screen."""

from __future__ import annotations

from pantrymeals.plans.evening import WEEKS_IN_A_YEAR, CanCook, EatenByKind, Tonight
from pantrymeals.records import Household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import about_sized, amount_and_name
from pantrymeals.words import listed, long_day, plural, sentence, times

_MOST_SHOWN = {0: 5, 1: 3}
_MOST_OF_OTHERS = 1
"""Dishes of the meal's first role, of its second and of each further one: together no more than a screen."""


def write_tonight(paper: Paper, household: Household, found: Tonight) -> None:
    """What can be cooked, role by role, what each takes and from where; then how many wait, and for what."""
    within = f" in {plural(found.minutes, 'minute')}" if found.minutes is not None else ""
    paper.heading(f"{found.meal} on {long_day(found.day)}{within}, with nothing to thaw")
    if found.portions is None:
        paper.line(f"Nobody is at table for {found.meal} that day.")
        return
    for number, role in enumerate(found.roles):
        dishes = [each for each in found.found if each.role == role]
        most = _MOST_SHOWN.get(number, _MOST_OF_OTHERS)
        paper.line((f"{role} ({len(dishes)})", "bold"), "" if dishes else ": nothing")
        for each in dishes[:most]:
            paper.line(*_dish_words(household, each), indent=2, hang=2)
        if len(dishes) > most:
            paper.line(f"and {listed((d.dish.name for d in dishes[most:]), 3)}", indent=2, hang=2)
    if found.quickest is not None and not any(each.role == found.roles[0] for each in found.found):
        paper.line(f"The quickest that takes longer: {found.quickest.name}, {found.quickest.minutes} minutes.")
    if found.waits:
        paper.line(sentence(f"not shown: {listed(f'{count} {why}' for why, count in found.waits.items())}"))


def _dish_words(household: Household, each: CanCook) -> tuple[tuple[str, str], str]:
    """'Bean cakes and salsa', ', 30 min (20 hands-on): 2 pt Brown beans (S4), 1 pt Salsa (S2)'."""
    takes = [
        f"{amount_and_name(household, use.product, use.amount)}{f' ({where})' if where else ''}"
        for use in each.uses
        for where in [each.places.get(use.product, "")]
    ]
    made = f", made {times(each.batches)}" if each.batches > 1 else ""
    covers = f", {listed(sorted(each.dish.covers))} and all" if each.dish.covers else ""
    left = [f"what is left: {each.dish.needs_left}"] if each.dish.needs_left else []
    beside = "".join(f"; for {noted}" for noted in each.beside)
    refused = f"; {listed(each.refused)} will not eat it" if each.refused else ""
    minutes = f", {each.dish.minutes} min ({each.dish.hands_on_minutes} hands-on){covers}{made}"
    return (each.dish.name, "bold"), f"{minutes}: {', '.join([*left, *takes])}{beside}{refused}"


_MOST_KINDS = 24


def write_kinds(paper: Paper, eaten: EatenByKind) -> None:
    """How much of every kind was used in a year: by kind, then all of them together."""
    paper.heading(f"{eaten.said}, every kind: what we eat in a year")
    paper.line(_how_known(eaten))
    if not eaten.kinds:
        paper.line("None was used, and none is there.")
        return
    years = [f"{year}-{(year + 1) % 100:02d}" for year in eaten.years]
    rows = []
    for kind in eaten.kinds[:_MOST_KINDS]:
        figures = (kind.used, *(kind.by_year.get(year) for year in eaten.years), kind.on_hand)
        said = [about_sized(float(f), kind.product.sizes[0].name) if f is not None else "-" for f in figures]
        rows.append(((kind.product.name, *said), ""))
    paper.ledger(("", eaten.since_words, *years, "on hand"), rows, right=range(1, 3 + len(years)))
    if more := [kind.product.name for kind in eaten.kinds[_MOST_KINDS:]]:
        paper.line(f"and {listed(more, 6)}")
    if eaten.totals:
        paper.line(
            ("All together, as put up: ", "bold"), f"{listed(about_sized(float(n), unit) for n, unit in eaten.totals)}."
        )


def _how_known(eaten: EatenByKind) -> str:
    if not eaten.weeks:
        return "The book tells of no use yet; what is told is the usual use that standing.csv states, for a year."
    if eaten.weeks < WEEKS_IN_A_YEAR:
        return f"The book tells of {plural(eaten.weeks, 'week')}: what was used in them, not yet of a year."
    return "Used by the book in the last 52 weeks, and in each full book year (from 1 May to 1 May)."
