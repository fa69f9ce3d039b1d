"""The table of published figures that the tests assert: figure, source, ours, read or from memory, tolerance.

    python -m tests.outside.report

Runs the tests of this folder that say their figures through ``judged.agrees``, and prints what they asserted and held:
a figure is in the table because a test of it passed just now, and in no other way. What other tests here assert is not
counted. Below it stands which columns of the packaged tables those figures see a change in, and which none does.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

import pytest

from tests.outside.columns import columns_told
from tests.outside.judged import FOUND, SAME_PUBLICATION, Judged, shown

HERE = Path(__file__).parent


def those_that_say_so() -> list[Path]:
    """The test files of this folder that put their figures down."""
    return [path for path in sorted(HERE.glob("test_*.py")) if "outside.judged import" in path.read_text("utf-8")]


def lines(found: list[Judged]) -> list[str]:
    """The table, a line a figure, and how many there are of each kind; a figure asserted twice counts once."""
    kept = list(dict.fromkeys(found))
    out = [f"{'figure':<58} {'printed':>11} {'ours':>11} {'within':>7}  got          source"]
    out += [
        f"{j.figure:<58.58} {shown(j.printed):>11} {shown(j.ours):>11} {j.allowed:>7}  {j.how:<12} {j.source}"
        for j in kept
    ]
    copied = sum(SAME_PUBLICATION in j.source for j in kept)
    many = Counter(j.how for j in kept)
    said = f"{len(kept)} figures: {many['read']} read, {many['from memory']} from memory."
    return [
        *out,
        "",
        f"{said} Of these {copied} are of another copy of what our table was typed from." if copied else said,
    ]


def main() -> int:
    """Run them and print; the tests' own exit code."""
    code = pytest.main(["-q", "-p", "no:cacheprovider", *map(str, those_that_say_so())])
    print("\n".join([*lines(FOUND), "", *columns_told()]))
    return int(code)


if __name__ == "__main__":
    sys.exit(main())
