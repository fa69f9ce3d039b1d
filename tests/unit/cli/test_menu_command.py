"""The whole command on the demo, as a household types it."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[3]
MENU = [sys.executable, "-m", "pantrymeals", "menu", "--larder", "demo"]


def run(*args: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([*MENU, *args], cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)


@pytest.mark.slow
def test_json_keeps_the_schema_the_rules_and_the_pins_and_bans() -> None:
    done = run("--json", "--seconds", "5", "--pin", "tue: trout CAKES", "--ban", "must-go soup")
    assert done.returncode == 0, done.stderr
    menu = json.loads(done.stdout)
    schema = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "schema"], capture_output=True, text=True, check=True
    ).stdout
    jsonschema.validate(menu, json.loads(schema))
    assert menu["verdict"] == {"rules_kept": True, "broken": []}
    dishes = {(meal["day"], dish["dish"]): dish for meal in menu["meals"] for dish in meal["dishes"]}
    assert dishes["2026-01-20", "Trout cakes"]["pinned"]
    assert "Must-go soup" not in {name for _, name in dishes}


@pytest.mark.slow
def test_a_menu_is_printed_to_pdf_beside_the_terminal(tmp_path: Path) -> None:
    done = run("--days", "2", "--seconds", "3", "--pdf", str(tmp_path / "menu.pdf"))
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "menu.pdf").read_bytes().startswith(b"%PDF-")
    assert "THE PULL LIST" in done.stdout


@pytest.mark.slow
def test_ctrl_c_brings_the_best_menu_so_far() -> None:
    process = subprocess.Popen(
        [*MENU, "--json", "--seconds", "90"], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    time.sleep(4)
    assert process.poll() is None, "done before it could be stopped"
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert process.returncode == 0, err
    assert json.loads(out)["proof"]["ended"] in ("stopped", "proven")


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["--pin", "Tue: Trout caks"], "there is no dish called 'Trout caks'; did you mean Trout cakes"),
        (["--ban", "Trout caks"], "did you mean Trout cakes"),
        (["--pin", "Trout cakes"], "is not a pin; write 'Sun: dish'"),
        (["--from", "2026-01-16"], "before the count of 2026-01-17"),
        (["--days", "0"], "1 to 400 days, not 0"),
        (["--seconds", "0"], "--seconds should be more than 0"),
    ],
)
def test_what_cannot_be_asked_is_said_and_nothing_printed(args: list[str], said: str) -> None:
    done = run(*args)
    assert done.returncode == 1
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""
