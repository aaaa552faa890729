"""A real Chromium from the system. In continuous integration a missing one is a failure, not a skip."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from cringle.book.store import Book
from cringle.workflows.numbers.csv import import_csv
from cringle.workflows.outings.outing import Door, start_outing

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
Open = Callable[..., Page]


def chromium() -> str | None:
    """Return the path of the system's Chromium, or None."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Mark every test of this folder; leave them out where there is no browser and this is no CI."""
    here = Path(__file__).parent
    mine = [one for one in items if here in Path(one.path).parents]
    for one in mine:
        one.add_marker(pytest.mark.browser)
    if mine and chromium() is None and not os.environ.get("CI"):
        config.hook.pytest_deselected(items=mine)
        items[:] = [one for one in items if one not in mine]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Return a running browser.

    It holds an event loop open, so it lives no longer than a module: later tests start loops of their own.
    """
    path = chromium()
    if path is None:
        pytest.fail("no Chromium on this machine: install the system's package, then run again")
    with sync_playwright() as player:
        running = player.chromium.launch(executable_path=path, args=list(FLAGS))
        yield running
        running.close()


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    folder = tmp_path_factory.mktemp("served") / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    shutil.copytree(examples / "plays", folder / "plays")
    with Book.open(folder, create=True, who="coach"):
        pass
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first table")
    start_outing(Door(folder))
    return folder


@pytest.fixture(scope="module")
def address(book: Path) -> Iterator[str]:
    """Return the address of a real server in a process of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    code = "from cringle.cli.main import run; import sys; run(sys.argv[1:])"
    command = [sys.executable, "-c", code, "serve", "--book", str(book), "--port", str(port)]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        wait_for(f"http://127.0.0.1:{port}/join")
        yield f"http://127.0.0.1:{port}"
    finally:
        running.terminate()
        running.wait(10)


def wait_for(url: str) -> None:
    for _ in range(150):
        try:
            with urllib.request.urlopen(url, timeout=5):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    pytest.fail(f"nothing answers at {url}")


@pytest.fixture
def open_page(browser: Browser, address: str) -> Iterator[Open]:
    """Return a function that opens a page on a phone of its own; what goes wrong there fails the test."""
    trouble: list[str] = []
    contexts = []

    def opened(path: str = "/", *, width: int = 360, theme: str = "light") -> Page:
        context = browser.new_context(viewport={"width": width, "height": 740})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(8000)
        page.add_init_script(f"localStorage.setItem('theme', '{theme}')")
        page.on("console", lambda one: trouble.append(one.text) if one.type in ("error", "warning") else None)
        page.on("pageerror", lambda one: trouble.append(str(one)))
        page.on(
            "request", lambda one: None if one.url.startswith((address, "data:")) else trouble.append(one.url)
        )
        page.goto(address + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    expected = ("status of 4", "ERR_INTERNET_DISCONNECTED")
    assert [one for one in trouble if not any(words in one for words in expected)] == []


SMALL = (
    "[...document.querySelectorAll('button, summary, select, input, label.tick, nav a, a.button')]"
    ".filter(e => e.offsetParent && !['checkbox', 'radio', 'range'].includes(e.type))"
    ".map(e => [e.outerHTML.slice(0, 60), e.getBoundingClientRect()])"
    ".filter(([, box]) => box.height < 44 || box.width < 44).map(([text]) => text)"
)
"""Whatever is to be touched and is smaller than 44 px."""


def require_well_made(page: Page) -> None:
    """Fail when a page has what axe calls a violation, sticks out, or has something too small to touch."""
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    width = page.viewport_size["width"] if page.viewport_size else 0
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert page.evaluate(SMALL) == []


@pytest.fixture
def well_made() -> Callable[[Page], None]:
    """Return a function that looks a page over."""
    return require_well_made
