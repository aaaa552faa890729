"""The page Crew in a browser: people moved by drag, keys and lists; weights; undo; two at once."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]
WITHIN_MS = 20_000


@pytest.mark.parametrize(("theme", "width"), [("light", 360), ("dark", 1280), ("glare", 360)])
def test_the_page_is_well_made(
    open_page: Open, well_made: Callable[[Page], None], theme: str, width: int
) -> None:
    page = open_page("/crew", theme=theme, width=width)
    expect(page.locator("#heel")).to_contain_text("°", timeout=WITHIN_MS)
    well_made(page)


def seat(page: Page, person: str) -> str:
    return page.locator(f"#seat-{person}").input_value()


def test_somebody_is_dragged_and_the_price_follows(open_page: Open) -> None:
    page = open_page("/crew", width=1280)
    expect(page.locator("#cost")).to_contain_text("s", timeout=WITHIN_MS)
    page.locator("#place-wind").fill("12")
    before = seat(page, "keo")
    page.locator("#deck").scroll_into_view_if_needed()
    disc = page.locator("[data-person=keo] circle").bounding_box()
    deck = page.locator("#deck").bounding_box()
    assert disc is not None
    assert deck is not None
    page.mouse.move(disc["x"] + disc["width"] / 2, disc["y"] + disc["height"] / 2)
    page.mouse.down()
    page.mouse.move(deck["x"] + deck["width"] * 0.56, deck["y"] + deck["height"] * 0.5, steps=8)
    page.mouse.up()
    assert seat(page, "keo") != before
    expect(page.locator("#cost")).to_contain_text("+", timeout=WITHIN_MS)
    page.locator("#step-back").click()
    assert seat(page, "keo") == before


def test_arrow_keys_move_and_lists_move(open_page: Open) -> None:
    page = open_page("/crew")
    before = seat(page, "marit")
    page.locator(".person[data-person=marit]").focus()
    page.keyboard.press("ArrowRight")
    after = seat(page, "marit")
    assert after != before
    label = page.locator(".person[data-person=marit]").get_attribute("aria-label") or ""
    assert "Arrow keys move" in label
    page.locator("#seat-marit").select_option(before)
    expect(page.locator(".person[data-person=marit]")).not_to_have_attribute("aria-label", label)
    page.locator("#step-back").click()
    assert seat(page, "marit") == after


def test_what_the_class_forbids_is_said(open_page: Open) -> None:
    page = open_page("/crew")
    page.locator("#seat-marit").select_option("rail_3|hike")
    expect(page.locator("#wrong-places")).to_contain_text("2", timeout=WITHIN_MS)


def test_a_weight_is_written_seen_by_the_other_and_undone(open_page: Open) -> None:
    one, other = open_page("/crew"), open_page("/crew")
    expect(other.locator("body")).to_have_attribute("data-line", "up", timeout=WITHIN_MS)
    one.locator("#kg-ines").fill("68")
    one.locator("#kg-ines").press("Enter")
    expect(other.locator("#kg-ines")).to_have_value("68", timeout=WITHIN_MS)
    row = one.locator("form[data-person=ines]")
    expect(one.locator("#kg-ines")).to_have_value("68")
    undo = row.get_by_role("button", name="Undo")
    if undo.count():
        undo.click()
    else:
        one.locator("#kg-ines").fill("66")
        one.locator("#kg-ines").press("Enter")
    expect(other.locator("#kg-ines")).to_have_value("66", timeout=WITHIN_MS)
