"""A pipe or a device named as a file is refused at once: reading it would never end."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = """household: Tiny
people: [{name: Ada, born: 1980-01-01}]
meals: {supper: {roles: [main]}}
places: [{code: N1, name: north wall, kind: pantry}]
"""


@pytest.mark.parametrize("words", ["book import", "book restore", "count enter", "first-count"])
@pytest.mark.parametrize("pipe", [True, False])
def test_it_is_refused_and_nothing_is_entered(tmp_path: Path, words: str, pipe: bool) -> None:
    (tmp_path / "household.yaml").write_text(HOUSE, encoding="utf-8")
    (tmp_path / "products.csv").write_text("product,kind,acid,sizes\nApplesauce,jar,high,qt\n", encoding="utf-8")
    file = tmp_path / "pipe.csv" if pipe else Path("/dev/zero")
    if pipe:
        os.mkfifo(file)
    run = [sys.executable, "-m", "pantrymeals", *words.split(), str(file), "--larder", str(tmp_path)]
    said = subprocess.run(run, capture_output=True, text=True, timeout=20)  # it hung
    assert said.returncode == 1
    assert f"{file}: this is not an ordinary file; put a plain file in its place" in " ".join(said.stderr.split())
    assert "Traceback" not in said.stderr
