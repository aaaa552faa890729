"""A server killed at any moment: every edit it acknowledged is in the book."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from http.client import HTTPException
from pathlib import Path

import pytest

from cringle.workflows.numbers.cells import CellPlace, see_cell

CODE = "from cringle.cli.main import run; import sys; run(sys.argv[1:])"
WINDS = (10.0, 12.0, 14.0)


class Phone:
    """Writes one cell over and over, each time on top of what it was told."""

    def __init__(self, address: str, wind_kn: float) -> None:
        self.address, self.wind_kn = address, wind_kn
        self.acknowledged: list[tuple[int, float]] = []
        told = urllib.request.urlopen(f"{address}/api/session", timeout=10)
        self.cookie = told.headers["set-cookie"].split(";")[0]
        self.token = json.loads(told.read())["token"]

    def ask(self, path: str, said: dict[str, object] | None = None) -> dict[str, object]:
        request = urllib.request.Request(self.address + path, method="PUT" if said else "GET")
        request.add_header("Cookie", self.cookie)
        request.add_header("X-Cringle-Token", self.token)
        request.add_header("Content-Type", "application/json")
        body = json.dumps(said).encode() if said else None
        with urllib.request.urlopen(request, body, timeout=10) as answer:
            told: dict[str, object] = json.loads(answer.read())
        return told

    def run(self) -> None:
        place = f"role=vang&wind_kn={self.wind_kn}&gear=settled&sea=flat"
        try:
            seen = self.ask(f"/api/numbers/cell?{place}")["entry_id"]
            for step in range(1000):
                value = (step % 16) / 2
                said = {"role": "vang", "wind_kn": self.wind_kn, "gear": "settled", "sea": "flat"}
                done = self.ask("/api/numbers/cell", {**said, "value": value, "base_id": seen})
                seen = done["entry_id"]
                self.acknowledged.append((int(str(seen)), value))
        except (OSError, HTTPException, urllib.error.URLError):
            return


def started(folder: Path, port: int) -> subprocess.Popen[bytes]:
    command = [sys.executable, "-c", CODE, "serve", "--book", str(folder), "--port", str(port)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    for _ in range(150):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/api/session", timeout=5).read()
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
        else:
            return server
    server.kill()
    pytest.fail("the server does not answer")


def test_every_acknowledged_edit_is_there_after_a_kill(folder: Path) -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = started(folder, port)
    phones = [Phone(f"http://127.0.0.1:{port}", wind) for wind in WINDS]
    threads = [threading.Thread(target=one.run) for one in phones]
    for one in threads:
        one.start()
    deadline = time.monotonic() + 20
    while sum(len(one.acknowledged) for one in phones) < 30 and time.monotonic() < deadline:
        time.sleep(0.05)
    server.send_signal(signal.SIGKILL)
    server.wait(10)
    for one in threads:
        one.join(15)
    assert all(one.acknowledged for one in phones)
    again = started(folder, port)
    try:
        for phone in phones:
            history = see_cell(folder, CellPlace("vang", phone.wind_kn, "settled", sea="flat")).history
            kept = {(one.id, one.value) for one in history}
            assert set(phone.acknowledged) <= kept
    finally:
        again.kill()
        again.wait(10)
