"""Output that is closed, full or cut off; Ctrl-C before anything is loaded; what no name may send to a terminal."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pantrymeals.cli.streams import without_controls

HUT = Path(__file__).parents[2] / "kitchens" / "hut"
TALLY = (sys.executable, "-m", "pantrymeals", "tally", "1 qt", "beans")


@pytest.fixture
def hut(tmp_path: Path) -> Path:
    return Path(shutil.copytree(HUT, tmp_path / "hut"))


def entries(folder: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "book", "log"], cwd=folder, capture_output=True, text=True, check=True
    )
    return done.stdout


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this machine has no device that is always full")
@pytest.mark.parametrize(("to", "why"), [("> /dev/full", "No space left on device"), (">&-", "it is closed")])
def test_an_answer_that_cannot_be_printed_says_whether_it_was_entered(hut: Path, to: str, why: str) -> None:
    tally = " ".join(f"'{word}'" for word in TALLY)
    done = subprocess.run(["sh", "-c", f"{tally} {to}"], cwd=hut, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert done.stderr.endswith(f"The answer could not be printed ({why}); it was entered, as no. 2.\n")
    assert "tally 1 qt beans" in entries(hut)
    look = f"'{sys.executable}' -m pantrymeals lots green beans {to}"
    seen = subprocess.run(["sh", "-c", look], cwd=hut, capture_output=True, text=True, check=False)
    assert (seen.returncode, "Traceback" in seen.stderr) == (1, False)
    assert seen.stderr.endswith(f"could not be printed ({why}); nothing was entered.\n")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this machine has no device that is always full")
@pytest.mark.parametrize(
    ("command", "done"),
    [
        ("undo", "it is: Taken back: tally 1 qt beans (no. 2).\n"),
        ("slip coffee 6.50", "it is: Written in slips.csv: Sat 17 Jan, coffee, $6.50."),
        ("book backup copy.sqlite", "it is: Copied"),
        ("book log", "nothing was entered."),
    ],
)
def test_what_was_done_is_said_though_it_cannot_be_printed(hut: Path, command: str, done: str) -> None:
    subprocess.run(TALLY, cwd=hut, capture_output=True, check=True)
    at = f"'{sys.executable}' -m pantrymeals {command} > /dev/full"
    said = subprocess.run(["sh", "-c", at], cwd=hut, capture_output=True, text=True, check=False)
    assert (said.returncode, "Traceback" in said.stderr) == (1, False)
    assert f"could not be printed (No space left on device); {done}" in said.stderr


@pytest.mark.parametrize("after", [0.03, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6])
def test_ctrl_c_while_it_is_loaded_is_no_traceback(hut: Path, after: float) -> None:
    """Before the program's own first line Python is not ours; from then on there is one plain sentence."""
    code = "import time, sys; from pantrymeals.__main__ import main; print('here', flush=True); main()"
    running = subprocess.Popen(
        [sys.executable, "-c", code, *TALLY[3:]],
        cwd=hut, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    assert running.stdout is not None
    assert running.stdout.readline() == "here\n"
    time.sleep(after)
    running.send_signal(signal.SIGINT)
    _, err = running.communicate(timeout=30)
    assert "Traceback" not in err
    assert running.returncode in (0, 1, 130)
    if "Stopped; nothing was written." in err:
        assert running.returncode == 130
        assert "tally" not in entries(hut)
    if "Stopped; " in err:
        assert running.returncode == 130
        assert ("entered by then" in err) == ("tally" in entries(hut))


@pytest.mark.parametrize(
    ("ends", "code", "said"),
    [
        ("KeyboardInterrupt", 130, "Stopped; entered by then: no. {}."),
        (
            "OSError(28, 'No space left')",
            1,
            "The answer could not be printed (No space left); it was entered, as no. {}.",
        ),
    ],
)
def test_what_comes_after_the_answer_still_says_what_was_entered(hut: Path, ends: str, code: int, said: str) -> None:
    program = (
        "import sys, typer.main\n"
        "from pantrymeals.cli import main as ours\n"
        "whole = ours.get_command(ours.app)\n"
        "class Then:\n"
        "    def __getattr__(self, name): return getattr(self.of, name)\n"
        "    def __call__(self, *words):\n"
        "        try: self.of(*words)\n"
        "        except SystemExit: pass\n"
        f"        raise {ends}\n"
        "then = Then(); then.of = whole\n"
        "ours.get_command, ours.read_plainly = (lambda _: then), (lambda _: None)\n"
        "ours.main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *TALLY[3:]], cwd=hut, capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    assert "Entered, no. " in done.stdout
    number = done.stdout.split("Entered, no. ")[1].split(":")[0]
    assert (done.returncode, done.stderr.splitlines()[-1]) == (code, said.format(number))


@pytest.mark.parametrize("seed", ["9" * 30, "9" * 6000, "-1"])
def test_a_huge_seed_is_typed_wrongly(hut: Path, seed: str) -> None:
    for command in ("menu", "run-out", "season"):
        done = subprocess.run(
            [sys.executable, "-m", "pantrymeals", command, f"--seed={seed}"],
            cwd=hut, capture_output=True, text=True, check=False,
        )  # fmt: skip
        assert done.returncode == 2, done.stderr[-300:]
        assert "Traceback" not in done.stderr


def test_no_control_character_of_a_name_reaches_the_terminal(hut: Path) -> None:
    assert without_controls("a\x1b]0;x\x07b\u202ec\n") == "a?]0;x?b?c\n"
    assert without_controls("\x1b[1mours\x1b[0m") == "\x1b[1mours\x1b[0m"
    stock = hut / "stock.csv"
    stock.write_text(stock.read_text(encoding="utf-8").replace("load 2", "load\x07\x1b]0;x 2"), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "pantrymeals", "lots", "green beans"], cwd=hut, capture_output=True, check=False
    )
    assert (done.returncode, b"not text (U+0007)" in done.stderr) == (1, True)
    assert not {*b"\x07\x1b"} & {*done.stdout, *done.stderr}
    said = subprocess.run([*TALLY, "--note", "a\x07"], cwd=hut, capture_output=True, text=True, check=False)
    assert (said.returncode, "control character" in said.stderr) == (1, True)
