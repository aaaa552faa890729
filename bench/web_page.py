"""How long until a page can be used, in Chromium with a slow processor and a slow line."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path
from typing import Final

from playwright.sync_api import Browser, sync_playwright

from bench.today import demo_book
from bench.web import serving

SLOWER: Final = 4
DELAY_MS: Final = 150
BYTES_PER_S: Final = 1.6e6 / 8
TARGET_MS: Final = 1000.0
RUNS: Final = 7
PAGES: Final = ("/", "/between", "/numbers")
USABLE: Final = "performance.getEntriesByType('navigation')[0].domContentLoadedEventEnd"
"""Deferred modules have run by then: every button answers."""


def rows() -> list[dict[str, object]]:
    """Return the median over fresh visits of each page, nothing kept from the visit before."""
    path = next(
        (
            found
            for name in ("chromium", "chromium-browser", "google-chrome")
            if (found := shutil.which(name))
        ),
        None,
    )
    if path is None:
        raise SystemExit("no Chromium on this machine: install the system's package, then run again")
    folder = tempfile.TemporaryDirectory()
    with folder as name, serving(demo_book(Path(name) / "book")) as (port, _), sync_playwright() as player:
        browser = player.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        taken = {page: sorted(_visit(browser, port, page) for _ in range(RUNS)) for page in PAGES}
        browser.close()
    return [_row(page, times[RUNS // 2]) for page, times in taken.items()]


def _visit(browser: Browser, port: int, path: str) -> float:
    context = browser.new_context(viewport={"width": 360, "height": 740})
    page = context.new_page()
    line = context.new_cdp_session(page)
    line.send("Network.enable")
    slow = {
        "offline": False,
        "latency": DELAY_MS,
        "downloadThroughput": BYTES_PER_S,
        "uploadThroughput": BYTES_PER_S,
    }
    line.send("Network.emulateNetworkConditions", slow)
    line.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(f"http://127.0.0.1:{port}{path}")
    page.wait_for_function(f"{USABLE} > 0")
    taken = float(page.evaluate(USABLE))
    context.close()
    return taken


def _row(path: str, taken_ms: float) -> dict[str, object]:
    return {
        "name": f"{path} can be used: processor {SLOWER} times slower, {DELAY_MS} ms, 1.6 Mbit/s",
        "ours": taken_ms,
        "theirs": None,
        "ratio": None,
        "unit": "ms",
        "target": TARGET_MS,
        "ok": taken_ms <= TARGET_MS,
    }
