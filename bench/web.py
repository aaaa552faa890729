"""The served book under load: phones that each ask for Tonight once a second while a long log is being read.

Times include the client, a thread a phone in this process. `CRINGLE_BENCH_S`: how long each load lasts [s].
"""

from __future__ import annotations

import gzip
import os
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from bench.today import demo_book
from cringle.track.simulator.options import SimOptions, SimSensors
from cringle.workflows.afloat.simulate import SimRequest, simulate_logs

SECONDS = float(os.environ.get("CRINGLE_BENCH_S", "60"))
FEW, MANY = 50, 150
LAPS = 13
"""Up and down so often takes the demo's boat four hours."""
P99_TARGET_MS, PAGE_TARGET_KB, SLIDER_TARGET_MS, MEMORY_TARGET_MB = 50.0, 40.0, 50.0, 400.0
SERVE = "from cringle.cli.main import run; import sys; run(sys.argv[1:])"
READ = (
    "import sys; from pathlib import Path; from cringle.track.reading.read import read_log\n"
    "while True: read_log(Path(sys.argv[1]))"
)


def rows() -> list[dict[str, object]]:
    """Return what was measured against the targets."""
    with tempfile.TemporaryDirectory() as folder, serving(demo_book(Path(folder) / "book")) as (port, pid):
        return _measured(port, pid, long_log(Path(folder) / "logs"))


@contextmanager
def serving(book: Path) -> Iterator[tuple[int, int]]:
    """Serve a book in a process of its own: its port and its process."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-c", SERVE, "serve", "--book", str(book), "--port", str(port)]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        _wait(port)
        yield port, server.pid
    finally:
        server.terminate()
        server.wait(10)


def long_log(folder: Path) -> Path:
    """Write a race of four hours at ten fixes a second and return its log."""
    return simulate_logs(SimRequest(folder, options=SimOptions(laps=LAPS, sensors=SimSensors(rate_hz=10.0))))[
        0
    ].log


def _measured(port: int, pid: int, log: Path) -> list[dict[str, object]]:
    page = _ask(HTTPConnection("127.0.0.1", port, timeout=10), "/")[1]
    slider = sorted(_slider(port))
    reading = subprocess.Popen([sys.executable, "-c", READ, str(log)])
    try:
        few, few_wrong = _load(port, FEW)
        many, many_wrong = _load(port, MANY)
    finally:
        reading.kill()
        reading.wait(10)
    p99 = few[int(0.99 * len(few))]
    memory = _memory_mb(pid)
    return [
        _row(f"{FEW} phones, four hours of log being read: p99", p99, "ms", P99_TARGET_MS),
        _row(f"{FEW} phones: errors", float(few_wrong), "", 0.0),
        _row(f"{MANY} phones: p99", many[int(0.99 * len(many))], "ms", None),
        _row(f"{MANY} phones: errors", float(many_wrong), "", 0.0),
        _row("first page, packed", len(gzip.compress(page)) / 1000, "kB", PAGE_TARGET_KB),
        _row(
            "wind to numbers, a wind not asked before: median",
            slider[len(slider) // 2],
            "ms",
            SLIDER_TARGET_MS,
        ),
        _row("memory of the server after it", memory, "MB", MEMORY_TARGET_MB),
    ]


def _row(name: str, ours: float, unit: str, target: float | None) -> dict[str, object]:
    return {
        "name": name,
        "ours": ours,
        "theirs": None,
        "ratio": None,
        "unit": unit,
        "target": target,
        "ok": None if target is None else ours <= target,
    }


def _slider(port: int) -> list[float]:
    line = HTTPConnection("127.0.0.1", port, timeout=10)
    return [_ask(line, f"/part/tonight?wind_kn={4 + step * 0.5:g}")[0] for step in range(40)]


def _ask(line: HTTPConnection, path: str) -> tuple[float, bytes]:
    start = time.perf_counter()
    line.request("GET", path)
    answer = line.getresponse()
    body = answer.read()
    if answer.status != 200:
        raise HTTPException(str(answer.status))
    return (time.perf_counter() - start) * 1000, body


def _load(port: int, phones: int) -> tuple[list[float], int]:
    """Return the times of all answers [ms], sorted, and how many went wrong."""
    times: list[float] = []
    wrong: list[int] = []
    until = time.monotonic() + SECONDS

    def phone(number: int) -> None:
        line = HTTPConnection("127.0.0.1", port, timeout=10)
        time.sleep(number / phones)
        while time.monotonic() < until:
            try:
                times.append(_ask(line, "/")[0])
            except (OSError, HTTPException):
                wrong.append(number)
                line.close()
            time.sleep(1.0)

    threads = [threading.Thread(target=phone, args=(number,)) for number in range(phones)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    return sorted(times), len(wrong)


def _memory_mb(pid: int) -> float:
    lines = Path(f"/proc/{pid}/status").read_text(encoding="ascii").splitlines()
    return next(float(line.split()[1]) for line in lines if line.startswith("VmHWM")) / 1000


def _wait(port: int) -> None:
    for _ in range(150):
        try:
            _ask(HTTPConnection("127.0.0.1", port, timeout=5), "/join")
        except (OSError, HTTPException):
            time.sleep(0.1)
        else:
            return
    raise SystemExit("the server does not answer")


if __name__ == "__main__":
    for row in rows():
        print(row["name"], row["ours"], row["unit"], row["ok"])
