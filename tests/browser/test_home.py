"""Home in a real browser: the third moment of the evening, from the guess to what is to be done."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cringle.workflows.afloat.logs import read_into_book
from cringle.workflows.outings.goals import set_goal
from cringle.workflows.outings.notes import note_settings
from cringle.workflows.outings.outing import Door, end_outing, start_outing

Open = Callable[..., Page]
Well = Callable[[Page], None]
SLOW_MS = 60_000
DAY = "2026-06-17"


@pytest.fixture(scope="module")
def day(book: Path, examples: Path) -> str:
    """Return the outing of the demo's log, with a goal and a setting noted."""
    end_outing(Door(book))
    start_outing(Door(book, at=f"{DAY} 18:00"))
    set_goal(Door(book, outing=DAY), "Heel within two degrees upwind")
    note_settings(Door(book, outing=DAY, at="18:20"), {"vang": 4.0})
    end_outing(Door(book, at="20:30", outing=DAY))
    read_into_book([examples / "evening.nmea"], book=book, who="coach")
    return DAY


def test_from_the_guess_to_what_is_to_be_done(open_page: Open, day: str, well_made: Well) -> None:
    page = open_page(f"/home?outing={day}")
    well_made(page)
    expect(page.locator("main")).not_to_contain_text("Where the time went")
    page.get_by_label("heel off its number").check()
    page.get_by_role("button", name="That is our guess").click()
    expect(page.locator(".first")).to_contain_text("You guessed: heel off its number", timeout=SLOW_MS)
    expect(page.locator("main")).to_contain_text("Where the time went")
    expect(page.locator("#live")).to_contain_text("of the target")
    page.get_by_role("button", name="Heel within two degrees upwind: not met").click()
    expect(page.locator("#said")).to_have_text("Written: not met.", timeout=8000)
    page.get_by_role("button", name="These were in force").click()
    expect(page.locator("#live")).to_contain_text("Confirmed.", timeout=8000)
    page.locator("#todo-text").fill("Keo shall look up")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("#home-wrong")).to_contain_text("names Keo", timeout=8000)
    page.locator("#todo-text").fill("call the heel aloud")
    page.get_by_role("button", name="Put it there").click()
    expect(page.locator("#said")).to_contain_text("goes to: drill", timeout=8000)
    page.get_by_role("button", name="call the heel aloud: done").click()
    expect(page.locator("#live")).to_contain_text("Nothing is open", timeout=8000)


@pytest.mark.parametrize(("theme", "width"), [("dark", 360), ("glare", 360), ("light", 1280)])
def test_well_made(open_page: Open, day: str, well_made: Well, theme: str, width: int) -> None:
    page = open_page(f"/home?outing={day}", theme=theme, width=width)
    expect(page.locator("main")).to_contain_text("Where the time went", timeout=SLOW_MS)
    well_made(page)


def test_the_lock_closes_it_on_every_phone(open_page: Open, day: str) -> None:
    page, between = open_page(f"/home?outing={day}"), open_page("/between")
    expect(page.locator("body")).to_have_attribute("data-line", "up", timeout=8000)
    between.get_by_role("button", name="Preparatory signal: lock").click()
    expect(page.locator(".locked")).to_contain_text("RRS 41", timeout=8000)
    between.get_by_role("button", name="The race is over").click()
    expect(page.locator(".locked")).to_have_count(0, timeout=8000)
