"""Make the README's screenshots from the demo book: ``python studies/make_screenshots.py [name ...]``.

Needs a Chromium of the system, as the browser tests do.
"""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from cringle.workflows.round.demo import run_demo

IMAGES: Final = Path(__file__).parents[1] / "docs" / "images"
SERVE: Final = "from cringle.cli.main import run; import sys; run(sys.argv[1:])"
BROWSERS: Final = ("chromium", "chromium-browser", "google-chrome")
PHONE: Final = (390, 844)
DESK: Final = (1180, 760)
COLOURS: Final = 64


@dataclass(frozen=True)
class Shot:
    """One picture: its name, the page, the window, what to press and wait for, and what to scroll to."""

    name: str
    path: str
    window: tuple[int, int] = PHONE
    theme: str = "light"
    scroll_to: str | None = None
    presses: tuple[str, ...] = ()
    wait_for: str = "main"


SHOTS: Final = (
    Shot("page_tonight", "/?wind_kn=11&gust_kn=15", scroll_to=".people"),
    Shot("page_crew", "/crew", scroll_to="h2", wait_for="#split:not(:empty)"),
    Shot(
        "page_debrief",
        "/afloat",
        scroll_to="#debrief h2:nth-of-type(2), #debrief",
        presses=("#logs a", "#no-guess"),
        wait_for="#debrief",
    ),
    Shot("page_numbers", "/numbers", DESK),
)
TOGETHER: Final = ("page_tonight", "page_debrief", "page_crew")
"""Pages of a phone that stand side by side in one picture."""

GAP: Final = 24
PATIENCE_MS: Final = 90_000


def main() -> None:
    """Serve the demo book and take the pictures asked for, or all."""
    wanted = [one for one in SHOTS if not sys.argv[1:] or one.name in sys.argv[1:]]
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as player:
        book = run_demo(Path(scratch) / "book").folder
        path = next(found for name in BROWSERS if (found := shutil.which(name)))
        browser = player.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        with serving(book) as address:
            for shot in wanted:
                take(browser, address, shot, Path(scratch))
        browser.close()
    side_by_side()


@contextmanager
def serving(book: Path) -> Iterator[str]:
    """Serve a book in a process of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        address = f"http://127.0.0.1:{free.getsockname()[1]}"
    command = [sys.executable, "-c", SERVE, "serve", "--book", str(book), "--port", address.rsplit(":", 1)[1]]
    server = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        _wait(address)
        yield address
    finally:
        server.terminate()
        server.wait(10)


def _wait(address: str) -> None:
    for _ in range(150):
        try:
            with urllib.request.urlopen(f"{address}/join", timeout=5):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    raise SystemExit(f"nothing answers at {address}")


def take(browser: Browser, address: str, shot: Shot, scratch: Path) -> None:
    """Take one picture, in few colours so that it is small."""
    width, height = shot.window
    context = browser.new_context(viewport={"width": width, "height": height}, device_scale_factor=1.5)
    page = context.new_page()
    page.add_init_script(f"localStorage.setItem('theme', '{shot.theme}')")
    page.set_default_timeout(PATIENCE_MS)
    page.goto(address + shot.path, wait_until="load")
    for one in shot.presses:
        page.locator(one).first.click()
    page.locator(shot.wait_for).first.wait_for()
    page.wait_for_timeout(1500)
    if shot.scroll_to is not None:
        page.evaluate("s => document.querySelector(s)?.scrollIntoView()", shot.scroll_to)
    raw = scratch / f"{shot.name}.png"
    page.screenshot(path=raw)
    context.close()
    with Image.open(raw) as picture:
        picture.convert("RGB").quantize(COLOURS).save(IMAGES / f"{shot.name}.png", optimize=True)
    print(f"{shot.name}.png", (IMAGES / f"{shot.name}.png").stat().st_size // 1000, "kB")


def side_by_side() -> None:
    """Put the phone's pages beside one another."""
    pictures = [Image.open(IMAGES / f"{name}.png").convert("RGB") for name in TOGETHER]
    width = sum(one.width for one in pictures) + GAP * (len(pictures) - 1)
    whole = Image.new("RGB", (width, max(one.height for one in pictures)), "white")
    left = 0
    for one in pictures:
        whole.paste(one, (left, 0))
        left += one.width + GAP
    whole.quantize(COLOURS).save(IMAGES / "pages.png", optimize=True)


if __name__ == "__main__":
    main()
