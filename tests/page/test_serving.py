"""The command itself: it says where, lets a phone in, stops at Ctrl-C with its workers, and leaves the book whole."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import httpx2
import pytest
from typer.testing import CliRunner

from pantrymeals.cli.main import app
from tests.page.conftest import form_of
from tests.page.larders import demo_with_its_week


def free_port() -> int:
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        return int(asked.getsockname()[1])


@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_it_serves_and_stops_cleanly(tmp_path: Path, stop: signal.Signals) -> None:
    folder, port = demo_with_its_week(tmp_path / "demo"), free_port()
    served = subprocess.Popen(
        [sys.executable, "-m", "pantrymeals", "serve", "--larder", str(folder), "--port", str(port)],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=os.environ | {"PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    assert served.stdout is not None
    assert f"http://127.0.0.1:{port}" in served.stdout.readline()
    at = f"http://127.0.0.1:{port}"
    with httpx2.Client(base_url=at, headers={"origin": at}, timeout=60) as client:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                client.get("/static/larder.css")
                break
            except httpx2.ConnectError:
                time.sleep(0.1)
        form = form_of(client, key="k", what="1 qt applesauce")
        assert client.post("/took", data=form).status_code == 303
        assert client.get("/season").status_code == 200  # a worker begins
        time.sleep(1.5)
    served.send_signal(stop)
    said = served.stdout.read()
    served.wait(30)
    assert "Stopped. What was entered is in the book." in said
    assert "Traceback" not in said
    left = subprocess.run(
        ["pgrep", "-f", "pantrymeals.serve.worker", "-P", str(served.pid)], capture_output=True, text=True
    )
    assert left.stdout == ""
    log = CliRunner().invoke(app, ["book", "log", "--larder", str(folder), "--last", "1"])
    assert "tally 1 qt Applesauce" in re.sub(r"\s+", " ", log.output)


def test_a_household_with_mistakes_is_not_served(tmp_path: Path) -> None:
    (tmp_path / "household.yaml").write_text("household: [")
    done = CliRunner().invoke(app, ["serve", "--larder", str(tmp_path), "--port", str(free_port())])
    assert done.exit_code == 1
    assert "household.yaml" in str(done.exception)


def test_an_address_without_lan_is_refused(tmp_path: Path) -> None:
    done = CliRunner().invoke(app, ["serve", "--larder", str(tmp_path), "--address", "192.168.1.2"])
    assert "--address goes with --lan" in str(done.exception)
