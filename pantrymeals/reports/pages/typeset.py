"""Pages set by Typst from a template of ours and the words that go into it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from importlib.resources import files
from typing import Literal

PageSize = Literal["us-letter", "a4"]


def set_pages(template: str, words: Mapping[str, object], size: PageSize = "us-letter") -> bytes:
    """The PDF's bytes; the same words give the same bytes. template: the name of a file beside this one."""
    import typst

    made: bytes = typst.compile(
        files("pantrymeals.reports.pages").joinpath(template).read_bytes(),
        format="pdf",
        # Names go in as data, never as markup; only the fonts that Typst carries are used.
        sys_inputs={"sheet": json.dumps(words), "paper": size},
        ignore_system_fonts=True,
        timestamp=0,
    )
    return made
