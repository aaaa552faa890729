"""The page Run in a browser: worked out beside the server, charts in every theme, values when touched."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]
LONG_MS = 90_000


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 1280), ("glare", 360)])
def test_techniques_come_by_themselves(
    open_page: Open, well_made: Callable[[Page], None], theme: str, width: int
) -> None:
    page = open_page("/run", theme=theme, width=width)
    chart = page.locator("#techniques figure svg")
    expect(chart).to_be_visible(timeout=LONG_MS)
    expect(chart).to_have_attribute("role", "img")
    well_made(page)


def test_a_chart_shows_its_values_when_asked(open_page: Open) -> None:
    page = open_page("/run")
    page.locator("#techniques figure button").click(timeout=LONG_MS)
    expect(page.locator("#techniques figure button")).to_contain_text("Touch a line", timeout=LONG_MS)
    point = page.locator("#techniques .mark-symbol path").nth(3)
    point.hover(force=True)
    expect(page.locator("#vg-tooltip-element")).to_contain_text("wind", timeout=LONG_MS)


def test_a_lane_is_asked_and_priced(open_page: Open, well_made: Callable[[Page], None]) -> None:
    page = open_page("/run?question=shift")
    page.locator("#wind_kn").fill("11")
    page.get_by_role("button", name="Price it").click()
    expect(page.locator("#lane svg")).to_be_visible(timeout=LONG_MS)
    expect(page.locator("#lane .first")).to_contain_text("shift of 8°")
    well_made(page)


def test_with_the_keyboard_alone(open_page: Open) -> None:
    page = open_page("/run")
    page.locator("#lower_deg").focus()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("6")
    page.keyboard.press("Enter")
    expect(page.locator("#lower_deg")).to_have_value("6")
    expect(page.locator("#lane svg")).to_be_visible(timeout=LONG_MS)
