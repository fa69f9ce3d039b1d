"""What is left of a product on the day its next crop comes in: the forecast's own answer, asked for that day."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction

from msgspec.structs import replace

from pantrymeals.forecast.forecast import BookPace
from pantrymeals.forecast.foresee import foresee
from pantrymeals.forecast.planned import at_a_rate
from pantrymeals.larder.must_reach import its_day, keeps_to
from pantrymeals.plans.outlook import ForecastRow
from pantrymeals.records import Arrival, Household
from pantrymeals.season.asked import SeasonQuestion, crop_days, need_of


def foreseen_at_crop(household: Household, pace: BookPace) -> tuple[Household, Mapping[str, ForecastRow]]:
    """The household whose every harvested product must last to the day its crop comes in, and their forecast."""
    days = crop_days(household)
    products = {
        name: replace(product, must_last_to=days[name]) if name in days else product
        for name, product in household.products.items()
    }
    written = {(a.product, a.day) for a in household.arrivals}
    more = [Arrival(e.product, e.amount, e.day) for e in household.season.expected if (e.product, e.day) not in written]
    asked = replace(household, products=products, arrivals=(*household.arrivals, *more))
    return asked, {row.product: row for row in foresee(asked, pace, names=days).rows}


def carried_over(asked: SeasonQuestion, name: str) -> Fraction:
    """Whole containers above the reserve that are left when its crop comes in, as the run-out says of that day."""
    return Fraction(round(_at_crop(asked, name)[0]))


def weeks_short(asked: SeasonQuestion, name: str) -> int:
    """Whole weeks from the last one above the reserve to its crop; 0 where it reaches."""
    out, crop = _at_crop(asked, name)[1], asked.at_crop()[0].products[name].must_last_to
    return max(0, (crop - out).days // 7) if out and crop else 0


def _at_crop(asked: SeasonQuestion, name: str) -> tuple[float, date | None]:
    """What is left of a harvested product when its crop comes in, and the day the last one goes.

    At the table's own pace, or at the year's need where nothing tells one. What does not keep till
    then is gone by then.
    """
    household, rows = asked.at_crop()
    product, row = household.products[name], rows.get(name)
    if row is None:
        return 0, asked.today
    day, written = product.must_last_to, asked.household.products[name]
    assert day is not None, "at_crop gives each product it has a row of the day of its crop"
    keeps = its_day(asked.household, written) if keeps_to(written) else None
    if keeps is not None and keeps < day:
        return 0, keeps
    if row.as_eaten is not None:
        return row.as_eaten.left, row.as_eaten.out
    a_week = need_of(asked, name).a_year * 12 / (52 * len(product.eaten_in or range(12)))
    going = at_a_rate(household, product, a_week, day)
    return float(going.left), going.out
