"""The page Rig in a browser: solved beside the server, swings counted by taps, turns written and undone."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]
LONG_MS = 60_000


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 1280), ("glare", 360)])
def test_the_page_is_well_made(
    open_page: Open, well_made: Callable[[Page], None], theme: str, width: int
) -> None:
    page = open_page("/rig?ask=solve&cap_tension_n=3000&wind_kn=12", theme=theme, width=width)
    expect(page.locator("#sheet figure svg")).to_be_visible(timeout=LONG_MS)
    expect(page.locator("#solved .figure").first).to_be_visible(timeout=LONG_MS)
    expect(page.locator("#measuring")).to_be_visible(timeout=LONG_MS)
    well_made(page)


def ready(page: Page) -> Page:
    """Wait for the rig, then for the wires that can be measured."""
    expect(page.locator("#measuring")).to_be_visible(timeout=LONG_MS)
    return page


def test_swings_are_counted_by_taps_and_by_keys(open_page: Open) -> None:
    page = ready(open_page("/rig"))
    page.locator("#wire").select_option("forestay")
    for _ in range(13):
        page.locator("#swing").dispatch_event("pointerdown")
        page.wait_for_timeout(90)
    expect(page.locator("#count")).to_have_text("12")
    page.locator("#swing-again").click()
    page.locator("#swing").focus()
    for _ in range(8):
        page.keyboard.press("Enter")
        page.wait_for_timeout(90)
    expect(page.locator("#count")).to_have_text("7")
    page.locator("#swing-done").click()
    expect(page.locator("#measured-words")).to_contain_text("forestay by", timeout=LONG_MS)
    expect(page.locator("#tension")).to_contain_text("N")


def test_a_reading_is_put_beside_the_model_and_a_missing_number_is_said(open_page: Open) -> None:
    page = ready(open_page("/rig"))
    page.locator("[data-by=tension_n]").click()
    expect(page.locator("#measuring-wrong")).to_contain_text("missing")
    page.locator("#tension_n").fill("2500")
    page.locator("[data-by=tension_n]").click()
    expect(page.locator("#measured-words")).to_contain_text("The model expects", timeout=LONG_MS)
    expect(page.locator("#measuring-wrong")).to_be_hidden()


def test_turns_are_written_and_undone(open_page: Open) -> None:
    page = open_page("/rig?ask=turns&cap_shrouds=1&wind_kn=12")
    page.locator("#made").click(timeout=LONG_MS)
    expect(page.locator("#made-said")).to_contain_text("Written", timeout=LONG_MS)
    page.locator("#made-said button").click()
    expect(page.locator("#made-said")).to_have_text("Undone.", timeout=LONG_MS)
