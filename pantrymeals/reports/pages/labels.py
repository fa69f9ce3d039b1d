"""Jar labels to cut out: product, day, load, what is in it, and a QR code that tells the lot by itself."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from msgspec import Struct

from pantrymeals.reports.pages.typeset import AS_USUAL, Cell, Col, Origin, Printing, page, set_pages, table, title
from pantrymeals.reports.terminal.book_label import put_up_words
from pantrymeals.words import listed

ACROSS = 3


class JarLabel(Struct, frozen=True):
    """What one jar's label says. put_up: '2025-10-06', '2024' or ''. contents: marks, such as 'tree nut'."""

    lot: int
    product: str
    size: str
    put_up: str
    load: str = ""
    contents: Sequence[str] = ()
    state: str = ""

    @property
    def told(self) -> str:
        """What its QR code says."""
        said = [f"Lot {self.lot}", self.product, self.size, f"put up {self.put_up or 'not known'}", self.load]
        return "; ".join(x for x in said if x)


def labels_pdf(label: JarLabel, count: int, origin: Origin, printing: Printing = AS_USUAL) -> bytes:
    """So many labels of one lot."""
    name = f"Labels: {label.product}, lot {label.lot}"
    cells: list[Cell] = [_label(label)] * count
    rows = [[*cells[n : n + ACROSS], *[""] * ACROSS][:ACROSS] for n in range(0, count, ACROSS)]
    blocks = [title(name), table([Col("", "1fr")] * ACROSS, rows, "grid", air=0.7)]
    return set_pages(name, [page(blocks)], origin, printing)


def _label(label: JarLabel) -> Cell:
    parts = [("big", label.product), ("plain", f"{label.size}, put up {put_up_words(label.put_up)}")]
    parts.append(("small", ", ".join(x for x in (f"lot {label.lot}", label.load) if x)))
    parts.append(
        ("strong", f"Has: {listed(label.contents)}") if label.contents else ("small", "In it: ................")
    )
    if label.state:
        parts.append(("strong", f"{label.state.upper()}: not to be eaten or planned"))
    return {"label": [list(part) for part in parts], "qr": qr_svg(label.told), "alt": label.told}


def qr_svg(text: str) -> str:
    """A QR code as SVG, with its quiet zone. In UTF-8: another writing of Æ is one that readers guess at."""
    import segno

    out = BytesIO()
    # A reader guesses at letters beyond ASCII unless it is told that they are UTF-8.
    beyond = not text.isascii()
    encoding = "utf-8" if beyond else None
    segno.make(text, error="m", micro=False, encoding=encoding, eci=beyond).save(
        out, kind="svg", border=2, xmldecl=False
    )
    return out.getvalue().decode("utf-8")
