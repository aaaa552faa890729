"""Trials in a real browser: planned, started, the clock, swapped on one phone and seen on another, judged."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from trial_days import ROLE, keep

Open = Callable[..., Page]
Well = Callable[[Page], None]
SLOW_MS = 60_000
ROW = "/trials?wind_kn=12&sea=chop&gear=settled"


@pytest.fixture(scope="module")
def tried(book: Path) -> Path:
    """Return the book with four evenings that say the same."""
    keep(book, 4, 3.0)
    return book


def worked_out(page: Page) -> None:
    expect(page.locator("#tips li").first).to_be_visible(timeout=SLOW_MS)
    expect(page.locator("#evidence [role=status]")).to_have_count(0, timeout=SLOW_MS)


@pytest.mark.parametrize("theme", ["light", "dark", "glare"])
@pytest.mark.parametrize("width", [360, 1280])
def test_well_made(open_page: Open, tried: Path, well_made: Well, theme: str, width: int) -> None:
    page = open_page(ROW, theme=theme, width=width)
    worked_out(page)
    well_made(page)


def test_planned_sailed_with_a_clock_and_judged_in_words(open_page: Open, tried: Path) -> None:
    page, other = open_page(ROW), open_page("/trials")
    worked_out(page)
    expect(other.locator("body")).to_have_attribute("data-line", "up", timeout=5000)
    page.locator("[data-try]").first.click()
    page.locator("#beside").fill("Sorrel")
    page.get_by_role("button", name="Plan it").click()
    page.get_by_role("button", name="change with us").first.click(timeout=SLOW_MS)
    expect(page.locator("#clock")).to_contain_text("0:0", timeout=5000)
    expect(other.locator("#clock")).to_be_visible(timeout=8000)
    other.get_by_role("button", name="Swap it over").click()
    expect(page.locator(".going")).to_contain_text("them", timeout=8000)
    page.get_by_role("button", name="Stop the trial").click()
    page.get_by_label("In words").fill("felt slow")
    page.get_by_role("button", name="Judge it").click()
    expect(page.locator("#judged-title")).to_be_visible(timeout=SLOW_MS)
    expect(page.locator("#now")).to_contain_text("Kept, not used")


def test_accepted_and_undone(open_page: Open, tried: Path) -> None:
    page = open_page(ROW)
    worked_out(page)
    label = "Jib sheet, leeward at 12 kn"
    page.get_by_role("button", name=f"Accept: {label}").click()
    expect(page.locator("#decided")).to_contain_text("accepted", timeout=SLOW_MS)
    table = open_page("/numbers?sea=chop")
    cell = table.locator(f"button.cell[data-role={ROLE}][data-wind='12.0'][data-gear=settled]")
    moved = cell.inner_text()
    page.get_by_role("button", name=f"Undo: {label}").click()
    expect(page.locator("#decided")).to_contain_text("undone", timeout=SLOW_MS)
    expect(cell).not_to_have_text(moved, timeout=8000)


def test_a_wrong_plan_is_said_and_kept(open_page: Open, tried: Path) -> None:
    page = open_page(ROW)
    page.locator("#planner summary").click()
    page.locator("#value").fill("99")
    page.get_by_role("button", name="Plan it").click()
    expect(page.locator("#plan-wrong")).to_contain_text("accepted", timeout=SLOW_MS)
    expect(page.locator("#value")).to_have_value("99")
