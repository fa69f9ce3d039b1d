"""Pictures drawn: charts in the words of Vega-Lite to SVG or PNG, in one look for a photocopy and the colour-blind.

Black for what is, grey bands for what may be, dashes for what is to come, open boxes for what is missing; words stand
at the things themselves. No script, nothing fetched. A chart is a plain mapping: a library to write it takes as long to
load as the drawing does; the tests ask one whether each is well-formed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from msgspec import Struct

Chart = Mapping[str, Any]
"""A chart, a layer of one, or a part of its encoding, as Vega-Lite has it."""

INK, GREY, PALE, LIGHT = "#000000", "#5f5f5f", "#cfcfcf", "#e8e8e8"
FONT = "Liberation Sans"
"""Carried by vl-convert: words are as wide, and a PNG has them, on a machine without fonts too."""
_FONTS = f"{FONT}, Arial, Helvetica, sans-serif"
"""What a reader of the SVG may take, who has it not; named after the drawing, which measures twice as long by four."""
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
        "domainColor": INK, "tickColor": INK, "gridColor": LIGHT, "labelLimit": 0, "titlePadding": 6,
    },
    "title": {"fontSize": 16, "anchor": "start", "color": INK, "subtitleColor": INK, "subtitleFontSize": 12},
    "text": {"fontSize": 11, "color": INK},
    "legend": {"labelFontSize": 12, "titleFontSize": 12, "labelColor": INK, "titleColor": INK},
    "header": {"labelFontSize": 12, "titleFontSize": 12, "labelColor": INK, "titleColor": INK},
}  # fmt: skip


class Picture(Struct, frozen=True):
    """A picture before it is drawn. said: what it shows, in a sentence, for who cannot see it."""

    said: str
    chart: Chart


def drawn(picture: Picture, ending: str) -> bytes:
    """The picture as '.svg' or '.png'; the same picture gives the same bytes."""
    import vl_convert

    made = svg(picture)
    return bytes(vl_convert.svg_to_png(made, scale=_PNG_SCALE)) if ending == ".png" else made.encode("utf-8")


def svg(picture: Picture) -> str:
    """The picture as SVG, named for who cannot see it."""
    import vl_convert

    made: str = vl_convert.vegalite_to_svg({**picture.chart, "config": _LOOK, "description": picture.said})
    made = made.replace(f'font-family="{FONT}"', f'font-family="{_FONTS}"')
    return re.sub(r"<svg ", f'<svg role="img" aria-label="{_escaped(picture.said)}" ', made, count=1)


def _escaped(text: str) -> str:
    from xml.sax.saxutils import quoteattr

    return quoteattr(text)[1:-1].replace('"', "&quot;")


def layers(
    rows: Iterable[Mapping[str, object]], shared: Chart, marks: Sequence[Chart], **size: object
) -> dict[str, Any]:  # fmt: skip
    """Marks one upon the other, of the same rows unless they have their own, placed by what they share."""
    return {"data": values(rows), "encoding": shared, "layer": list(marks), **size}


def mark(kind: str, at: Chart, *, only: str = "", **look: object) -> dict[str, Any]:
    """One kind of mark for each row. at: where it stands; only: of which rows, as Vega asks it."""
    made: dict[str, Any] = {"mark": {"type": kind, **look}, "encoding": at}
    return {**made, "transform": [{"filter": only}]} if only else made


def titled(said: str, *under: str) -> Chart:
    """What stands above a chart."""
    return {"text": said, "subtitle": list(under)}


def amounts(field: str, **more: object) -> Chart:
    """A field of figures, on an axis of its own where one is asked for."""
    return {"field": field, "type": "quantitative", **more}


def named(field: str, order: Sequence[str], **axis: object) -> Chart:
    """A field of names, in an order of ours."""
    return {"field": field, "type": "nominal", "sort": list(order), "title": None, "axis": axis}


def days(field: str, **axis: object) -> Chart:
    """A field of days, on an axis of months."""
    by = {"format": MONTH_AND_YEAR, "labelOverlap": True}
    return {"field": field, "type": "temporal", "title": None, "axis": {**by, **axis}}


def on(field: str) -> Chart:
    """A field of days, where another mark has the axis."""
    return {"field": field, "type": "temporal"}


def words(field: str) -> Chart:
    """A field of words to be written."""
    return {"field": field, "type": "nominal"}


def values(rows: Iterable[Mapping[str, object]]) -> Chart:
    """Rows as a chart takes them; days as texts."""
    return {"values": [{k: v.isoformat() if isinstance(v, date) else v for k, v in row.items()} for row in rows]}
