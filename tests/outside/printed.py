"""Printed pages read back by two other programs: pdftotext of Poppler, and PDFium (pypdfium2)."""

from __future__ import annotations

import shutil
import subprocess

import pypdfium2

ENDS_A_LINE = "\ufffe"
"""What PDFium gives for a hyphen at the end of a line."""


def pages_of(pdf: bytes) -> list[str]:
    """The text of each page, in reading order, by PDFium; a hyphen at a line's end is a hyphen."""
    document = pypdfium2.PdfDocument(pdf)
    texts = (page.get_textpage().get_text_range() for page in document)
    return [" ".join(text.replace(ENDS_A_LINE, "-").split()) for text in texts]


def by_pdftotext(pdf: bytes) -> str:
    """All the text, by Poppler's pdftotext where the machine has it; else by PDFium again."""
    if shutil.which("pdftotext") is None:
        return "\n".join(pages_of(pdf))
    done = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60)
    return " ".join(done.stdout.decode("utf-8").split())
