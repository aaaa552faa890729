"""From page to page: a bar under the thumb on a phone, a row on a wide screen, links without scripts."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from cringle.web.render import PAGES

Open = Callable[..., Page]
REST = PAGES[4:]


def test_the_bar_is_under_the_thumb_and_four_pages_are_in_it(open_page: Open) -> None:
    page = open_page("/numbers")
    box = page.locator("nav").bounding_box()
    assert box is not None
    assert box["y"] + box["height"] == pytest.approx(740, abs=1)
    assert page.locator("nav .main-pages a:visible").all_inner_texts() == [name for _, name in PAGES[:4]]
    assert page.locator("#other-pages").is_hidden()


def test_the_other_pages_open_and_close_with_the_keyboard(open_page: Open) -> None:
    page = open_page("/")
    more = page.locator("#more-pages")
    more.focus()
    page.keyboard.press("Enter")
    expect(more).to_have_attribute("aria-expanded", "true")
    assert page.locator("#other-pages a:visible").all_inner_texts() == [name for _, name in REST]
    assert Axe().run(page).violations_count == 0
    page.keyboard.press("Escape")
    expect(page.locator("#other-pages")).to_be_hidden()
    expect(more).to_be_focused()


def test_a_tap_beside_closes_the_other_pages(open_page: Open) -> None:
    page = open_page("/")
    page.locator("#more-pages").click()
    page.locator("h1").click()
    expect(page.locator("#other-pages")).to_be_hidden()


def test_the_bar_hides_nothing_at_the_end_of_a_page(open_page: Open) -> None:
    page = open_page("/numbers")
    page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    last, bar = page.locator("footer p").bounding_box(), page.locator("nav").bounding_box()
    assert last is not None
    assert bar is not None
    assert last["y"] + last["height"] <= bar["y"]


def test_a_wide_screen_shows_every_page_in_a_row(open_page: Open) -> None:
    page = open_page("/", width=1280)
    assert page.locator("nav a:visible").all_inner_texts() == [name for _, name in PAGES]
    assert page.locator("#more-pages").is_hidden()


def test_the_look_is_chosen_and_kept(open_page: Open) -> None:
    page = open_page("/", width=1280)
    page.locator("#theme").select_option("dark")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    assert page.evaluate("localStorage.getItem('theme')") == "dark"


def test_without_scripts_every_page_is_a_link(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(address + "/")
    assert page.locator("nav a:visible").all_inner_texts() == [name for _, name in PAGES]
    context.close()
