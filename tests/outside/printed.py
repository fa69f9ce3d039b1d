"""Printed pages read back by two other programs: pdftotext of Poppler, and PDFium (pypdfium2)."""

from __future__ import annotations

import shutil
import subprocess

import pypdfium2


def pages_of(pdf: bytes) -> list[str]:
    """The text of each page, in reading order, by PDFium."""
    document = pypdfium2.PdfDocument(pdf)
    return [" ".join(page.get_textpage().get_text_range().split()) for page in document]


def by_pdftotext(pdf: bytes) -> str:
    """All the text, by Poppler's pdftotext where the machine has it; else by PDFium again."""
    if shutil.which("pdftotext") is None:
        return "\n".join(pages_of(pdf))
    done = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60)
    return " ".join(done.stdout.decode("utf-8").split())
