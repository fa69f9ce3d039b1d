"""Pictures drawn: charts of altair's to SVG or PNG, in one look that a photocopy and the colour-blind can read.

Black for what is, grey bands for what may be, dashes for what is to come, open boxes for what is missing; words stand
at the things themselves. No script, nothing fetched.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import altair as alt

INK, GREY, PALE, LIGHT = "#000000", "#5f5f5f", "#cfcfcf", "#e8e8e8"
FONT = "Liberation Sans, Arial, Helvetica, sans-serif"
"""The first is carried by vl-convert: words are as wide, and a PNG has them, on a machine without fonts too."""
MONTH_AND_YEAR = "%b %Y"
"""For an axis of days: 'Jan 2026'; the drawing program's own English names, never the machine's."""
_PNG_SCALE = 1.5
_LOOK: Mapping[str, object] = {
    "font": FONT,
    "background": "white",
    "padding": 8,
    "view": {"stroke": None},
    "axis": {
        "labelFontSize": 12, "titleFontSize": 12, "titleFontWeight": "normal", "labelColor": INK, "titleColor": INK,
        "domainColor": INK, "tickColor": INK, "gridColor": LIGHT, "labelLimit": 400, "titlePadding": 6,
    },
    "title": {"fontSize": 16, "anchor": "start", "color": INK, "subtitleColor": INK, "subtitleFontSize": 12},
    "text": {"fontSize": 11, "color": INK},
    "legend": {"labelFontSize": 12, "titleFontSize": 12, "labelColor": INK, "titleColor": INK},
    "header": {"labelFontSize": 12, "titleFontSize": 12, "labelColor": INK, "titleColor": INK},
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture before it is drawn. said: what it shows, in a sentence, for who cannot see it."""

    said: str
    chart: Callable[[], alt.Chart | alt.LayerChart | alt.VConcatChart]


def drawn(picture: Picture, ending: str) -> bytes:
    """The picture as '.svg' or '.png'; the same picture gives the same bytes."""
    import vl_convert

    made = svg(picture)
    return bytes(vl_convert.svg_to_png(made, scale=_PNG_SCALE)) if ending == ".png" else made.encode("utf-8")


def svg(picture: Picture) -> str:
    """The picture as SVG, named for who cannot see it."""
    import vl_convert

    made: str = vl_convert.vegalite_to_svg(picture.chart().to_dict() | {"config": _LOOK, "description": picture.said})
    return re.sub(r"<svg ", f'<svg role="img" aria-label="{_escaped(picture.said)}" ', made, count=1)


def _escaped(text: str) -> str:
    from xml.sax.saxutils import quoteattr

    return quoteattr(text)[1:-1].replace('"', "&quot;")


def values(rows: Iterable[Mapping[str, object]]) -> Any:
    """Rows as a chart takes them; days as texts."""
    import altair as alt

    plain = [{k: v.isoformat() if isinstance(v, date) else v for k, v in row.items()} for row in rows]
    return alt.InlineData(values=plain)
