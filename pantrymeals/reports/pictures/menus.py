"""Pictures of a menu: how even it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pantrymeals.plans.menu import MenuPlan, ShareRow
from pantrymeals.records import Household
from pantrymeals.reports.pictures.draw import GREY, INK, PALE, Picture, values
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
    data = [_row(household, row) for row in rows]
    names = [row.product for row in rows]

    def chart() -> Any:
        import altair as alt

        axis = alt.Axis(ticks=False, domain=False, labelFontSize=11, labelPadding=8)
        base = alt.Chart(values(data)).encode(y=alt.Y("product:N", sort=names, title=None, axis=axis))
        shares = alt.X("low:Q", title="whole shares", scale=alt.Scale(domain=[0, _MOST]))
        layers = (
            alt.Chart(values([{"one": 1}])).mark_rule(color=GREY, strokeDash=[4, 3]).encode(x="one:Q"),
            base.mark_bar(color=PALE, height=9).encode(x=shares, x2="high:Q"),
            base.mark_point(shape="circle", filled=True, color=INK, size=42, opacity=1)
            .transform_filter("!datum.off").encode(x="drawn:Q"),
            base.mark_point(shape="diamond", color=INK, size=75, strokeWidth=1.8, opacity=1)
            .transform_filter("datum.off").encode(x="drawn:Q"),
            base.mark_text(align="left", dx=12).encode(x=alt.value(400), text="said:N"),
        )  # fmt: skip
        key = [
            "grey: whole cookings about an even share; dot: drawn so; diamond: less or more; beside: drawn of share",
            f"left out: {len(plan.shares) - len(rows)} of which less than one cooking was due, and none drawn",
        ]
        height = 15 * max(1, len(rows))
        return alt.layer(*layers).properties(width=400, height=height, title=alt.Title(said, subtitle=key))

    return Picture(f"{said}.", chart)


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
