"""Plays in a browser: the list, the timeline, and a rehearsal by taps and by keyboard alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]
LONG_MS = 60_000


@pytest.mark.parametrize("theme", ["light", "dark", "glare"])
@pytest.mark.parametrize("path", ["/plays", "/plays/tack"])
def test_the_pages_are_well_made(
    open_page: Open, well_made: Callable[[Page], None], path: str, theme: str
) -> None:
    page = open_page(path, theme=theme)
    if path != "/plays":
        expect(page.locator("figure svg")).to_be_visible(timeout=LONG_MS)
    well_made(page)


def test_a_run_is_tapped_with_the_keyboard_alone_and_kept(open_page: Open) -> None:
    page, other = open_page("/plays/tack"), open_page("/plays/tack")
    expect(other.locator("#record")).to_contain_text("None yet", timeout=LONG_MS)
    expect(page.locator("#tap")).to_be_visible(timeout=LONG_MS)
    page.locator("#tap").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#big-who")).to_have_text("Ines")
    page.wait_for_timeout(2500)
    assert float(page.locator("#watch").inner_text()) > 2.0
    for _ in range(page.locator("#steps li").count()):
        page.keyboard.press("Enter")
    expect(page.locator("#note")).to_be_focused()
    page.keyboard.type("clean")
    page.keyboard.press("Enter")
    expect(page.locator("#run-kept")).to_have_text("Kept.", timeout=LONG_MS)
    expect(page.locator("#record li")).to_have_count(1, timeout=LONG_MS)
    expect(other.locator("#record li")).to_have_count(1, timeout=LONG_MS)


def test_nothing_is_kept_that_is_thrown_away(open_page: Open) -> None:
    page = open_page("/plays/gybe_kite")
    expect(page.locator("#tap")).to_be_visible(timeout=LONG_MS)
    size = page.locator("#big-words").evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
    assert size >= 40
    page.locator("#tap").click()
    page.locator("#tap").click()
    while page.locator("#pass").is_visible():
        page.locator("#pass").click()
    page.locator("#throw").click()
    expect(page.locator("#watch")).to_have_text("0.0")
    expect(page.locator("#record")).to_contain_text("None yet")
