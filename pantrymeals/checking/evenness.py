"""Rule 14: what was drawn of each product, its even share, and how far outside its band the draw lies.

For a product with S in hand above its reserve, a day H it must last to and a menu that ends at T
(both days exclusive), the share is S x (its days from the first to the earlier of T and H) / (its
days from the first to H), where only days in months in which it is eaten count. The common pace
scales every share alike. The band reaches from one step under the whole steps below to the whole steps
above: a step is a container, or as many as the middle one of the household's dishes takes. Standing use
that goes through more than the share is the upper edge itself. Where it is known what was eaten, what lies behind an
even hand's last four weeks or eight (a step at most) joins the share, what is ahead is let off the band's lower edge,
and the band begins at the whole steps below.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, floor

from pantrymeals.checking.shelf import ZERO, gone_through, on_the_shelf, used
from pantrymeals.checking.words import containers
from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.records import Household, Product
from pantrymeals.units import as_words

A_YEAR = timedelta(days=365)
FOUR_WEEKS = timedelta(days=28)
EIGHT_WEEKS = 56


def days_eaten(product: Product, first: date, end: date) -> int:
    """Days from first to end (exclusive) in the product's months on which nothing fresh is there instead."""
    days = [date.fromordinal(n) for n in range(first.toordinal(), max(first, end).toordinal())]
    in_months = [day for day in days if not product.eaten_in or day.month in product.eaten_in]
    return len(set(in_months) - product.waits_on)


def lasts_to(product: Product, first: date) -> date:
    """The day the product must last to, exclusive: a day gone by comes round again; a year on where none is written."""
    day = product.must_last_to
    if day is None:
        return first + A_YEAR
    while day <= first:
        leap = (day.month, day.day) == (2, 29)
        day = day.replace(year=day.year + 1, day=28 if leap else day.day)
    return day


def open_and_good(household: Household, product: Product, day: date) -> Fraction:
    """What is open of a product and not past its last day (base measure)."""
    left = ZERO
    for part in household.part_jars:
        keeps = None if product.opened_days is None else timedelta(days=product.thaw_days + product.opened_days)
        if part.product == product.name and (keeps is None or day < part.opened + keeps):
            left += part.left
    return left


def _even_part(product: Product, amount: Fraction, first: date, end: date, until: date) -> Fraction:
    season = days_eaten(product, first, until)
    return amount * Fraction(days_eaten(product, first, min(end, until)), season) if season else ZERO


def even_share(household: Household, product: Product, first: date, days: int) -> Fraction:
    """What an even hand draws of a product in so many days, before the common pace (base measure).

    What comes in before the day it must last to joins what is in hand, part jars included; what
    comes on that day or later is the new crop, eaten evenly over a year of its own.
    """
    end, until = first + timedelta(days=days), lasts_to(product, first)
    in_hand = on_the_shelf(household, product)
    in_hand += open_and_good(household, product, first)
    of_its_own = ZERO
    for arrival in household.arrivals:
        if arrival.product != product.name or not first <= arrival.day < end:
            continue
        if product.must_last_to and arrival.day >= until:
            of_its_own += _even_part(product, arrival.amount, arrival.day, end, arrival.day + A_YEAR)
        else:
            in_hand += arrival.amount
    return _even_part(product, in_hand, first, end, until) + of_its_own


def drawn(household: Household, plan: MenuPlan, product: Product) -> Fraction:
    """Used by the menu and taken by standing use in the plan's days (base measure)."""
    return sum(used(plan, product.name), ZERO) + gone_through(household, plan, product)


def step_of(household: Household, product: Product) -> int:
    """Whole containers by which a product is usually drawn: the middle one of what its dishes take, or one."""
    takes = sorted(
        containers(product, option.amount)
        for dish in household.dishes.values()
        for use in dish.uses
        for option in use.options
        if option.product == product.name
    )
    return max(1, ceil(takes[(len(takes) - 1) // 2])) if takes else 1


def behind(household: Household, product: Product, pace: Fraction) -> Fraction | None:
    """How far what was eaten lies behind an even hand (containers); below 0: ahead; None where it is not known.

    The even hand had then what there is now and what was eaten since; it counts from the day on which the last
    of it came, where that is later. Four weeks are looked at and eight, and the worse of them counts, up to one step.
    """
    lately = [found for weeks in (1, 2) if (found := _lately(household, product, weeks * FOUR_WEEKS))]
    if not lately:
        return None
    most = max(even * pace - eaten for even, eaten in lately)
    return min(most, Fraction(step_of(household, product)))


def _lately(household: Household, product: Product, span: timedelta) -> tuple[Fraction, Fraction] | None:
    """What an even hand eats in a time up to today, before the pace, and what was eaten (containers)."""
    today = household.today
    known = household.known_since.get(product.name)
    if known is None or known >= today or _is_let_wait(household, product):
        return None
    begin = max(known, today - span)
    eaten = sum((t.amount for t in household.taken if t.product == product.name and begin <= t.day < today), ZERO)
    had = on_the_shelf(household, product) + eaten
    had += open_and_good(household, product, today)
    even = _even_part(product, had, begin, today, lasts_to(product, today))
    return containers(product, even), containers(product, eaten)


def passed_over(household: Household, plan: MenuPlan, product: Product) -> Fraction:
    """What part of an even hand's last eight weeks at the plan's pace was not eaten; 0 where it is not known."""
    lately = _lately(household, product, 2 * FOUR_WEEKS)
    pace = Fraction(1) if _keeps_no_longer(product, plan.first) else plan.pace
    if lately is None or lately[0] * pace <= lately[1]:
        return ZERO
    return 1 - lately[1] / (lately[0] * pace)


def _is_let_wait(household: Household, product: Product) -> bool:
    """Whether another of its family lies beside it in the cellar, counted like it, that has a sooner day to keep to."""
    if product.kind != "cellar":
        return False
    today = household.today
    for other in household.products.values():
        alike = other.family == product.family and other.kind == "cellar" and other.on_menus
        if not alike or other.deadline_kind != "keeps to" or other.sizes[0].name != product.sizes[0].name:
            continue
        there = on_the_shelf(household, other) + open_and_good(household, other, today)
        if there and lasts_to(other, today) < lasts_to(product, today):
            return True
    return False


def is_kept_even(household: Household, plan: MenuPlan, product: Product) -> bool:
    """Whether an even hand is asked of it: not of what comes fresh or stands in the fridge, with no day to last to."""
    end = plan.first + timedelta(days=plan.days)
    fresh = any(a.product == product.name and plan.first <= a.day < end for a in household.arrivals)
    as_it_comes = product.must_last_to is None and (fresh or product.kind == "fridge")
    return product.on_menus and not as_it_comes


def even_row(household: Household, plan: MenuPlan, product: Product) -> ShareRow:
    """A product's share at the plan's pace, its band, what is drawn, and how far that lies outside (containers)."""
    hurried = _keeps_no_longer(product, plan.first)
    pace = Fraction(1) if hurried else plan.pace
    share = containers(product, even_share(household, product, plan.first, plan.days)) * pace
    taken = containers(product, drawn(household, plan, product))
    standing = containers(product, gone_through(household, plan, product))
    step = step_of(household, product)
    late = behind(household, product, pace)
    if late is None:
        steps_below = floor(share / step) if hurried else floor(share / step) - 1
    else:
        steps_below = max(floor((share + late) / step), floor(share / step) if hurried else 0)
        share += max(ZERO, late)
    low = Fraction(step * max(0, steps_below))
    high = Fraction(step * ceil(share / step))
    if standing > share:
        low, high = min(low, standing), standing
    return ShareRow(product.name, share, low, high, taken, max(ZERO, low - taken, taken - high))


def _keeps_no_longer(product: Product, first: date) -> bool:
    """Of what is lost on its day, whether fewer than eight weeks are left to eat it in: the meals' pace is not its."""
    if product.deadline_kind != "keeps to" or product.must_last_to is None:
        return False
    return 0 <= (product.must_last_to - first).days < EIGHT_WEEKS


def shares_are_even_shares(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Every share row's share, band, draw and distance are as worked out here."""
    for row in plan.shares:
        product = household.products[row.product]
        right = even_row(household, plan, product)
        for name in ("share", "low", "high", "drawn", "off"):
            ours, stated = getattr(right, name), getattr(row, name)
            if ours != stated:
                unit = product.sizes[0].name
                yield f"{product.name}: {name} is {as_words(ours)} {unit}, the plan states {as_words(stated)}"


def every_stored_product_used_has_its_share(household: Household, plan: MenuPlan) -> Iterator[str]:
    """Each product that the menu takes off the shelf has one row, and none has two.

    What comes in fresh within the menu's days, or stands in the fridge, and has no day to last to
    is eaten as it comes and needs none.
    """
    rows = Counter(row.product for row in plan.shares)
    for name, times in sorted(rows.items()):
        if times > 1:
            yield f"{name}: has {times} rows of shares"
    for name, product in sorted(household.products.items()):
        even = is_kept_even(household, plan, product)
        if name not in rows and even and on_the_shelf(household, product) and any(used(plan, name)):
            yield f"{name}: the menu uses it, but no share is stated"


RULES = (shares_are_even_shares, every_stored_product_used_has_its_share)
