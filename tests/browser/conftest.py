"""A real Chromium from the system. In continuous integration a missing one is a failure, not a skip."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

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
