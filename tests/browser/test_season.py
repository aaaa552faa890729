"""Season in a real browser: empty, with logs, an action closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cringle.workflows.afloat.logs import read_into_book
from cringle.workflows.outings.outing import Door
from cringle.workflows.round.route import route_action

Open = Callable[..., Page]
Well = Callable[[Page], None]
SLOW_MS = 90_000


def test_empty_it_teaches(open_page: Open, well_made: Well) -> None:
    page = open_page("/season")
    expect(page.locator("main")).to_contain_text("No log yet")
    well_made(page)


def test_the_logs_together_and_an_action_closed(
    open_page: Open, book: Path, examples: Path, well_made: Well
) -> None:
    read_into_book([examples / "evening.nmea"], book=book, who="coach")
    route_action(Door(book), "call the heel aloud", route="drill", owner="main")
    page = open_page("/season")
    expect(page.locator("#trends h2").first).to_be_visible(timeout=SLOW_MS)
    well_made(page)
    page.get_by_role("button", name="call the heel aloud: done").click()
    expect(page.locator("#plan")).to_contain_text("Nothing is open", timeout=8000)


@pytest.mark.parametrize(("theme", "width"), [("dark", 360), ("glare", 1280), ("light", 1280)])
def test_well_made(open_page: Open, well_made: Well, theme: str, width: int) -> None:
    page = open_page("/season", theme=theme, width=width)
    expect(page.locator("#trends h2").first).to_be_visible(timeout=SLOW_MS)
    well_made(page)


def test_a_visit_is_noted_and_reported(open_page: Open, well_made: Well) -> None:
    page = open_page("/work-list")
    page.locator("#sentence").fill("the vang cleat slips")
    page.get_by_role("button", name="Note it").click()
    expect(page.locator("#said")).to_contain_text("Noted", timeout=8000)
    page.get_by_role("button", name="Put the report together").click()
    expect(page.locator("#visit .report")).to_contain_text("vang cleat slips", timeout=SLOW_MS)
    well_made(page)
