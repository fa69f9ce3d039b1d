"""Pictures of a menu: how even it is."""

from __future__ import annotations

from collections.abc import Mapping

from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.records import Household
from pantrymeals.reports.pictures.draw import (
    GREY,
    INK,
    PALE,
    Picture,
    amounts,
    layers,
    mark,
    named,
    titled,
    values,
    words,
)
from pantrymeals.words import plural, span

_MOST = 3.0
"""Shares beyond which a draw ends with an arrow: a whole jar of what is asked for by the spoonful."""


def evenness_picture(household: Household, plan: MenuPlan) -> Picture:
    """Each product's draw beside its share, a whole share being one; what is off its share first."""
    rows = [row for row in plan.shares if row.drawn or row.low]
    rows.sort(key=lambda row: (-abs(row.off), row.product))
    off = sum(1 for row in rows if row.off)
    said = (
        f"How even the menu of {span(plan.first, plan.last)} is: {plural(off, 'product')} off a share, of {len(rows)}"
    )
    at_share = amounts("low", title="whole shares", scale={"domain": [0, _MOST]}, axis={"tickCount": 6})
    drawn = {"x": amounts("drawn")}
    axis: dict[str, object] = {"ticks": False, "domain": False, "labelFontSize": 11, "labelPadding": 8}
    marks = [
        {"data": values([{"one": 1}]), "mark": {"type": "rule", "color": GREY, "strokeDash": [4, 3]},
         "encoding": {"x": amounts("one"), "y": {"value": 0}, "y2": {"value": "height"}}},
        mark("bar", {"x": at_share, "x2": {"field": "high"}}, color=PALE, height=9),
        mark("point", drawn, only="!datum.off", shape="circle", filled=True, color=INK, size=42, opacity=1),
        mark("point", drawn, only="datum.off", shape="diamond", color=INK, size=75, strokeWidth=1.8, opacity=1),
        mark("text", {"x": {"value": 400}, "text": words("said")}, align="left", dx=12),
    ]  # fmt: skip
    title = titled(
        said,
        "grey: whole cookings about an even share; dot: drawn so; diamond: less or more; beside: drawn of share",
        f"left out: {len(plan.shares) - len(rows)} of which less than one cooking was due, and none drawn",
    )
    names = {"y": named("product", [row.product for row in rows], **axis)}
    data, height = [_row(household, row) for row in rows], 15 * max(1, len(rows))
    return Picture(f"{said}.", layers(data, names, marks, width=400, height=height, title=title))


def _row(household: Household, row: ShareRow) -> Mapping[str, object]:
    product = household.products.get(row.product)
    size = f" {product.sizes[0].name}" if product else ""
    whole = row.share or row.high or row.drawn
    far = " \u2192" if row.drawn > _MOST * whole else ""
    return {
        "product": row.product,
        **{name: min(_MOST, float(getattr(row, name) / whole)) for name in ("low", "high", "drawn")},
        "off": bool(row.off),
        "said": f"{float(row.drawn):.2g} of {float(row.share):.2g}{size}{far}",
    }
