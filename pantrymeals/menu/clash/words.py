"""Rules, clashes and mendings in a cook's words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta
from fractions import Fraction

from pantrymeals.larder.evenness import on_shelf
from pantrymeals.larder.table import days_between, weekday
from pantrymeals.menu.clash.switches import Kind, Rule
from pantrymeals.menu.week.problem import MenuProblem
from pantrymeals.records import Household, Product
from pantrymeals.units import as_words, unit_named
from pantrymeals.words import long_day, plural, sentence, times


def day_of(problem: MenuProblem, number: int) -> date:
    """The day of that number."""
    return problem.request.first + timedelta(days=number)


def on_day(problem: MenuProblem, number: int) -> str:
    """'Friday 23 January'."""
    return long_day(day_of(problem, number))


def so_many(product: Product, containers: Fraction) -> str:
    """'4 lb of Bread flour', '2 x 2-egg tub of Eggs, beaten': counted in its first size."""
    size = product.sizes[0].name
    count = as_words(containers)
    plain = unit_named(size) is not None and size != "each"
    if size == "each":
        return f"{count} {product.name}"
    times = "" if plain or containers == 1 else "x "
    return f"{count} {times}{size} of {product.name}"


def rule_said(household: Household, problem: MenuProblem, rule: Rule) -> str:
    """The rule as the house keeps it: 'Friday 23 January is flat bread'."""
    return _SAID[rule.kind](household, problem, rule)


def _at_most(household: Household, _problem: MenuProblem, rule: Rule) -> str:
    most = household.rules.at_most[rule.what]
    if not most:
        return f"{rule.what} does not come at all"
    return f"{rule.what} comes at most {times(most)} in any seven days"


def _at_least(household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} comes at least {times(household.rules.at_least[rule.what])} in each week"


def _not_running(_household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} is not the main of two days running"


def _not_twice(_household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} does not come twice in one meal"


def _not_twice_a_day(_household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} does not come twice in one day"


def _minutes(household: Household, problem: MenuProblem, rule: Rule) -> str:
    limit = household.rules.hands_on_minutes[weekday(day_of(problem, rule.day))]
    return f"{on_day(problem, rule.day)} has {limit} minutes of hands-on work"


def _longest(household: Household, problem: MenuProblem, rule: Rule) -> str:
    limit = household.rules.longest_minutes[weekday(day_of(problem, rule.day))]
    return f"no dish takes longer than {limit} minutes on {on_day(problem, rule.day)}"


def gap_of(household: Household, dish: str) -> int:
    """Days between two cookings of a dish."""
    return days_between(household, household.dishes[dish])


def _repeats(household: Household, problem: MenuProblem, rule: Rule) -> str:
    past = [d for d, dish, _ in problem.recent if dish == rule.what]
    last = f" (it was on {on_day(problem, max(past))})" if past else ""
    gap = gap_of(household, rule.what)
    return f"{rule.what} waits {plural(gap, 'day')} before it comes again{last}"


def _together(_household: Household, problem: MenuProblem, rule: Rule) -> str:
    return f"on {on_day(problem, rule.day)} dishes that do not go together are kept apart"


def _fixed_night(_household: Household, problem: MenuProblem, rule: Rule) -> str:
    return f"{on_day(problem, rule.day)} is {rule.what}"


def _pinned(_household: Household, problem: MenuProblem, rule: Rule) -> str:
    day = f" on {on_day(problem, rule.day)}" if rule.day >= 0 else ""
    return f"you asked for {rule.what}{day}"


def _feast(_household: Household, problem: MenuProblem, rule: Rule) -> str:
    return f"{rule.what} is the dish of the feast on {on_day(problem, rule.day)}"


def _left_out(_household: Household, _problem: MenuProblem, rule: Rule) -> str:
    return f"you left out {rule.what}"


def _stock(household: Household, problem: MenuProblem, rule: Rule) -> str:
    product = household.products[rule.what]
    end = problem.request.first + timedelta(days=problem.days)
    content = product.sizes[0].content
    held = on_shelf(household)[product.name]
    held += sum((p.left for p in household.part_jars if p.product == product.name), Fraction(0))
    coming = [a.day for a in household.arrivals if a.product == product.name and problem.request.first <= a.day < end]
    lots = (lot for lot in household.lots if lot.product == product.name and not lot.state)
    back = product.reserve and any(lot.count > 0 for lot in lots)
    kept = f" beside the {so_many(product, product.reserve / content)} set back" if back else ""
    more = f", and more on {long_day(min(coming))}" if coming else ""
    if held <= 0:
        return f"there is no {product.name} on the shelf{kept}{more}"
    return f"there is only {so_many(product, held / content)} on the shelf{kept}{more}"


_SAID: Mapping[Kind, Callable[[Household, MenuProblem, Rule], str]] = {
    "at most": _at_most,
    "at least": _at_least,
    "not running": _not_running,
    "not twice": _not_twice,
    "not twice a day": _not_twice_a_day,
    "minutes": _minutes,
    "longest": _longest,
    "repeats": _repeats,
    "together": _together,
    "fixed night": _fixed_night,
    "pinned": _pinned,
    "feast": _feast,
    "left out": _left_out,
    "stock": _stock,
}


def clash_said(rules: tuple[str, ...], fewest: bool) -> str:
    """'Friday 23 January is flat bread, but there is no Bread flour on the shelf.'"""
    if len(rules) == 1:
        return sentence(f"{rules[0]}, and no menu fits that")
    head = "" if fewest else "Among others, "
    if len(rules) == 2:
        return sentence(f"{head}{rules[0]}, but {rules[1]}")
    return sentence(f"{head}{'; '.join(rules[:-1])}; and {rules[-1]}: they cannot all be kept")
