"""One dish for one table: what goes in, what to fetch, how it is cooked, and what its leavings become."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pantrymeals.cautions import in_own_measures
from pantrymeals.plans.dish import DishSheet
from pantrymeals.records import Household, Option
from pantrymeals.reports.proof_words import portions_words
from pantrymeals.reports.table_words import heard_words
from pantrymeals.reports.terminal.cautions import write_marked
from pantrymeals.reports.terminal.menu import times_words
from pantrymeals.reports.terminal.paper import Paper
from pantrymeals.reports.terminal.pull import write_pull_list
from pantrymeals.reports.words import amount_and_name, amount_of
from pantrymeals.units import as_words
from pantrymeals.words import listed, long_day, plural


def write_dish(paper: Paper, household: Household, sheet: DishSheet) -> None:
    """The whole sheet, 80 columns wide."""
    paper.heading(sheet.dish.name)
    heard = household.heard.get(sheet.dish.name)
    told = f"the table said {heard_words(heard, sheet.dish)}" if heard else ""
    for line in (for_whom(sheet), minutes_words(sheet), sheet.dish.note, told):
        if line:
            paper.line(f"{line[:1].upper()}{line[1:]}." if line[-1] not in ".!?" else line)
    write_marked(paper, marks(sheet))
    paper.heading("What goes in")
    for said, first in uses_words(household, sheet):
        paper.line(said, indent=2 if first else 6, hang=2)
    paper.heading("How it is cooked")
    for number, step in enumerate(method_steps(household, sheet), 1):
        paper.line((f"{number}. ", "bold"), step, indent=2, hang=3)
    if not sheet.dish.method:
        paper.line("Nothing is written down; `method:` in its file would say it.", indent=2)
    left = [words for words in (over_words(sheet), leavings_words(sheet)) if words]
    if left:
        paper.heading("What is left")
    for words in left:
        paper.line(words)
    write_pull_list(paper, household, sheet.pull)


def method_steps(household: Household, sheet: DishSheet) -> tuple[str, ...]:
    """The method, with Celsius first where the household is metric: 'moderate, 180 C (350 F)'."""
    return tuple(in_own_measures(step, metric=household.measures == "metric") for step in sheet.dish.method)


def uses_words(household: Household, sheet: DishSheet) -> Iterator[tuple[str, bool]]:
    """What goes in, line by line, and whether it is a thing of its own; else it stands for the one above."""
    if sheet.dish.needs_left:
        yield f"what is left: {sheet.dish.needs_left}{_from(sheet)}", True
    for options in sheet.uses:
        for number, (option, most) in enumerate(with_their_most(options)):
            yield option_words(household, option, first=number == 0, most=most), number == 0
    for noted in sheet.beside:
        taken = [amount_and_name(household, u.options[0].product, u.options[0].amount) for u in noted.uses]
        yield f"for {noted.whom}: {noted.what}{f' ({listed(taken)})' if taken else ''}", True


def for_whom(sheet: DishSheet) -> str:
    """'Supper on Saturday 17 January, 5.4 portions: made once (it serves 6)'."""
    times = times_words(sheet.batches) or "made once"
    serves = f"{times}; once serves {as_words(sheet.dish.serves)}"
    if sheet.meal is None:
        return f"no table of the next fortnight has a place for a {sheet.dish.role}: {serves}"
    return f"{sheet.meal} on {long_day(sheet.day)}, {as_words(sheet.portions)} portions: {serves}"


def minutes_words(sheet: DishSheet) -> str:
    """'45 minutes, 25 of them hands-on', as for one batch."""
    return f"{plural(sheet.dish.minutes, 'minute')}, {sheet.dish.hands_on_minutes} of them hands-on"


def marks(sheet: DishSheet) -> list[str]:
    """For whom it is not, and what is not thawed in time."""
    said = [
        f"Not for {whom}: it has what is marked '{mark}', and nothing is noted instead." for whom, mark in sheet.barred
    ]
    said += [f"For {whom} ({mark}) without {listed(names)}." for whom, mark, names in sheet.only_without]
    said += [f"{whom} will not eat it." for whom in sheet.refused]
    ready = "lifted out of the freezer today it is ready on"
    said += [f"{name} is not thawed by then: {ready} {long_day(day)}." for name, day in sheet.too_late]
    said += [f"No sooner for want of {name}: {ready} {long_day(day)}." for name, day in sheet.no_sooner]
    return said


def with_their_most(options: Sequence[Option]) -> Iterator[tuple[Option, Option | None]]:
    """Each option, with the one after it where that is more of the same: the most of its range."""
    number = 0
    while number < len(options):
        here, *rest = options[number:]
        most = rest[0] if rest and rest[0].product == here.product and rest[0].amount > here.amount else None
        yield here, most
        number += 1 if most is None else 2


def option_words(household: Household, option: Option, *, first: bool, most: Option | None = None) -> str:
    """'2 qt Chicken stock'; '1 1/2 lb to 2 lb Sausage'; 'or 1 pt Tomato sauce, a stand-in: with herbs'."""
    kind = ", a stand-in" if option.stand_in else ""
    note = f"{':' if kind else ','} {option.note}" if option.note else ""
    least = f"{amount_of(household.products[option.product], option.amount)} to " if most else ""
    amount = amount_and_name(household, option.product, (most or option).amount)
    return f"{'' if first else 'or '}{least}{amount}{kind}{note}"


def over_words(sheet: DishSheet) -> str:
    """'It feeds six: four portions over, good in the fridge to Thursday 22 January.'; '' where the table eats it."""
    if sheet.over is None:
        return ""
    feeds = as_words(sheet.dish.serves * sheet.batches)
    over = portions_words(sheet.over.portions)
    into = (
        f"; it becomes {listed(sheet.becomes)}"
        if sheet.becomes and sheet.dish.leaves and sheet.dish.leaves.over
        else ""
    )
    return f"It feeds {feeds}: {over} over, good in the fridge to {long_day(sheet.over.keeps_to)}{into}."


def leavings_words(sheet: DishSheet) -> str:
    """'Cold chicken, 3 portions, to be eaten within 3 days; it becomes Second-day chicken pie.'; '' for nothing."""
    left = sheet.dish.leaves
    if left is None or left.over:
        return ""
    portions = left.portions * sheet.batches
    many = f"{as_words(portions)} {'portion' if portions == 1 else 'portions'}"
    into = f"it becomes {listed(sheet.becomes)}" if sheet.becomes else "no dish here is made from it"
    return f"{left.name[:1].upper()}{left.name[1:]}, {many}, for {plural(left.days, 'day')} after; {into}."


def _from(sheet: DishSheet) -> str:
    return f", from {listed(sheet.left_by)}" if sheet.left_by else ", which no dish here leaves"
