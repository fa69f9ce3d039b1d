"""Answers of an evening, each on one screen."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pantrymeals.plans.evening import WEEKS_IN_A_YEAR, CanCook, EatenByKind, EatenThen, Spared, Tonight, Worth
from pantrymeals.plans.outlook import UNTOLD
from pantrymeals.records import Household
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.words import about_sized, amount_and_name, own_pace_words, sized, sized_name
from pantrymeals.words import capital, day_and_year, listed, long_day, plural, sentence, span, yearly

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
    if not found.found and not found.waits:
        paper.line(
            "No dish of this day finds all that it takes among what is kept here; 'dishes' says what is lacking."
        )
    if found.waits:
        paper.line(sentence(f"not shown: {listed(f'{count} {why}' for why, count in found.waits.items())}"))


def _dish_words(household: Household, each: CanCook) -> tuple[tuple[str, str], str]:
    """'Bean cakes and salsa', ', 30 min (20 hands-on): 2 pt Brown beans (S4), 1 pt Salsa (S2)'."""
    takes = [
        f"{amount_and_name(household, use.product, use.amount)}{f' ({where})' if where else ''}"
        for use in each.uses
        for where in [each.places.get(use.product, "")]
    ]
    from pantrymeals.reports.terminal.menu import times_words

    made = f", {times_words(each.batches)}" if each.batches != 1 else ""
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
        figures = (
            kind.used if eaten.weeks or kind.used else None,
            *(kind.by_year.get(year) for year in eaten.years),
            kind.on_hand,
        )
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
    if not eaten.weeks and not eaten.totals:
        return "The book tells of no use yet, and standing.csv states none."
    if not eaten.weeks:
        return "The book tells of no use yet; what is told is the usual use that standing.csv states, for a year."
    if eaten.weeks < WEEKS_IN_A_YEAR:
        return f"The book tells of {plural(eaten.weeks, 'week')}: what was used in them, not yet of a year."
    day = yearly(eaten.opens)
    return f"Used by the book in the last 52 weeks, and in each full book year (from {day} to {day})."


_MOST_DAYS, _MOST_LEFT = 9, 24


def write_eaten(paper: Paper, household: Household, found: EatenThen) -> None:
    """Day by day and meal by meal what was eaten; else what left the shelves for the table."""
    paper.heading(f"What we ate, {_span(found.first, found.last)}")
    if found.note:
        paper.line(sentence(found.note))
    for day in found.days[:_MOST_DAYS]:
        paper.line((long_day(day.day), "bold"), f" ({listed(day.occasions)})" if day.occasions else "")
        for meal, dishes in day.meals:
            told = [f"{name}{f' (the table: {listed(words)})' if words else ''}" for name, words in dishes]
            paper.line(f"{meal}: {'; '.join(told)}", indent=2, hang=2)
    if len(found.days) > _MOST_DAYS:
        paper.line(f"and {plural(len(found.days) - _MOST_DAYS, 'day')} more; ask for fewer.")
    if found.days:
        return
    since = (
        f"; it has them from {day_and_year(found.since)} on." if found.since else ", nor any yet; a pull keeps them."
    )
    paper.line(f"The book has no dish of then{since}")
    if not found.left:
        paper.line("Nothing is written of what left the shelves either.")
        return
    paper.line("What left the shelves for the table:")
    took = [sized_name(count, household.products[name].sizes[0].name, name) for name, count in found.left]
    paper.line(f"{listed(took, _MOST_LEFT)}.", indent=2)


def _span(first: date, last: date) -> str:
    return f"{long_day(first)} {first.year}" if first == last else span(first, last)


_VERDICTS = {
    "yes": "Yes: the rest still reaches its day.",
    "hardly": "Hardly: the rest would be tight.",
    "short already": "No: it is short already.",
    "no": "No: the rest would not reach its day.",
    "too young to tell": f"Too young to tell. {UNTOLD} it goes.",
}


def write_spared(paper: Paper, found: Spared) -> None:
    """Yes or no, and the forecast at each pace with it and without."""
    asked = sized(found.count, found.size.name)
    paper.heading(f"Can we spare {asked} of {found.product.name}?")
    there = sized(found.most, found.size.name)
    reserve = f" ({sized(found.product.containers(found.product.reserve), found.product.sizes[0].name)} set back)"
    said = f"There to use: {there}{reserve if found.product.reserve else ''}."
    if found.after is None:
        paper.line(("No: not so many are there. ", "bold"), said)
        return
    paper.line((_VERDICTS[found.answer], "bold"), f" {said}")
    for note in found.notes:
        paper.line(note)
    if found.before.untold():
        return
    for title, was, then in (
        (capital(own_pace_words((found.before, found.after))), found.before.as_eaten, found.after.as_eaten),
        ("By the menus, or an even hand", found.before.as_planned, found.after.as_planned),
    ):
        if was is not None and then is not None:
            paper.heading(title)
            paper.line(f"now: {was.mark}. {was.reason}", hang=2)
            paper.line(f"with {asked} fewer: {then.mark}. {then.reason}", hang=2)


_CAME = {
    "put up": "our own, put up",
    "came in": "came in, not written as bought",
    "bought": "bought",
    "before": "there before the book began",
}


def write_worth(paper: Paper, household: Household, found: Worth) -> None:
    """What was eaten at store prices, by how it came; what of it was paid for; and what is not counted."""
    paper.heading(f"What our food was worth, {_span(found.first, found.last)}")
    if found.note:
        paper.line(sentence(found.note))

    def money(usd: Fraction) -> str:
        return f"{household.money}{round(usd)}"

    slips = f"{plural(len(found.slips), 'slip')} of {money(found.slips_usd)} in all" if found.slips else "no slips"
    if not found.has_book:
        paper.line("The book has nothing as eaten in these days, so what it cost and was worth is not known.")
        if found.slips:
            paper.line(f"Bought outside the rules: {slips}.")
        return
    rows = [(_CAME[origin], money(usd)) for origin, usd in found.worth_usd.items()]
    paper.table(("eaten, at store prices", ""), [*rows, ("in all", money(found.all_usd))], right=(1,), widths=(40, 10))
    paper.line(("It cost ", "bold"), f"{money(found.cost_usd)}: what of it was bought, and {slips}.")
    if_free = ", if what came in cost nothing" if found.worth_usd.get("came in") else ""
    paper.line(("It saved ", "bold"), f"{money(found.all_usd - found.cost_usd)} against a store{if_free}.")
    paper.line(f"Worth most: {listed(f'{name} {money(usd)}' for name, usd in found.dearest)}.", hang=2)
    from pantrymeals.reports.terminal.no_store_ending import write_unpriced

    write_unpriced(paper, found.unpriced)
    paper.line(
        "By the prices in products.csv and what the book has as eaten. Not counted: jars, lids, sugar in the jar, "
        "fuel, seed, feed, and anybody's work."
    )
