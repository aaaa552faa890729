"""One whole evening in a real browser, on a phone and at a desk: dock to home, a trial, the table moved."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cringle.workflows.outings.outing import Door, end_outing, start_outing

Open = Callable[..., Page]
SLOW_MS = 60_000
WITHIN_MS = 5000
DAY = "2026-06-17"


@pytest.fixture(scope="module")
def sailing(book: Path) -> None:
    """Have the outing of the recorded log behind us, and one that goes on now."""
    end_outing(Door(book))
    start_outing(Door(book, at=f"{DAY} 18:00"))
    end_outing(Door(book, at="20:30", outing=DAY))
    start_outing(Door(book))


def at_the_dock(page: Page, wind_kn: int) -> None:
    page.locator("#wind_kn").fill(str(wind_kn))
    page.locator("#share").click()
    expect(page.locator("#said")).to_contain_text("Everybody sees", timeout=WITHIN_MS)
    expect(page.locator("#numbers .head")).to_contain_text(f"{wind_kn} kn", timeout=WITHIN_MS)
    first = page.locator("#check input[type=checkbox]").first
    first.check()
    expect(first).to_be_checked()


def between_races(page: Page) -> None:
    page.get_by_role("button", name="One knot more").click()
    page.get_by_role("button", name="Too much heel").click()
    expect(page.locator("#noted")).to_have_text("Noted: Too much heel", timeout=WITHIN_MS)
    page.locator("#share").click()
    page.get_by_role("button", name="Preparatory signal: lock").click()
    expect(page.locator(".locked")).to_contain_text("RRS 41", timeout=WITHIN_MS)
    expect(page.locator("#wind_kn")).to_have_count(0)
    page.get_by_role("button", name="The race is over").click()
    expect(page.locator("#wind_kn")).to_be_visible(timeout=WITHIN_MS)


def the_log(page: Page, path: Path) -> None:
    page.locator("#file").set_input_files(path)
    expect(page.locator("#came")).to_contain_text("fixes", timeout=SLOW_MS)
    page.get_by_role("link", name="Debrief it").click()
    guess = page.locator("#guess")
    debrief = page.locator("#debrief")
    expect(guess.or_(debrief).first).to_be_visible(timeout=SLOW_MS)
    if guess.count():
        page.get_by_label("tacks", exact=True).check()
        page.get_by_role("button", name="That is our guess").click()
    expect(page.locator("#debrief h2").first).to_have_text("What the data cannot tell", timeout=SLOW_MS)
    expect(page.locator("#debrief")).to_contain_text("Where the time went")


def at_home(page: Page, words: str) -> None:
    expect(page.locator("#todo-title")).to_be_visible(timeout=SLOW_MS)
    page.locator("#todo-text").fill(words)
    page.get_by_role("button", name="Put it there").click()
    done = page.get_by_role("button", name=f"{words}: done")
    expect(done).to_be_visible(timeout=WITHIN_MS)
    done.click()
    expect(done).to_have_count(0, timeout=WITHIN_MS)


def a_trial(page: Page) -> None:
    plan = page.locator("#tips button[data-try]").first
    expect(plan).to_be_visible(timeout=SLOW_MS)
    page.locator("#planner summary").click()
    page.locator("#role").select_option("vang")
    value = page.locator("#value")
    value.fill("99")
    page.get_by_role("button", name="Plan it").click()
    expect(page.locator("#plan-wrong")).to_be_visible(timeout=WITHIN_MS)
    expect(value).to_have_value("99")


@pytest.mark.parametrize(("width", "wind_kn"), [(360, 9), (1280, 12)])
def test_the_whole_evening(
    open_page: Open, book: Path, sailing: None, examples: Path, width: int, wind_kn: int
) -> None:
    at_the_dock(open_page("/", width=width), wind_kn)
    between_races(open_page("/between", width=width))
    the_log(open_page("/afloat", width=width), examples / "evening.nmea")
    at_home(open_page(f"/home?outing={DAY}", width=width), f"Tack in flat water, seen at {width}")
    a_trial(open_page("/trials?wind_kn=12", width=width))
    table = open_page("/numbers", width=width)
    table.get_by_role("button", name="Vang at 12 kn, settled").click()
    new = {360: "2", 1280: "3"}[width]
    table.locator("#value").fill(new)
    table.locator("#why").fill("the evening showed it")
    table.get_by_role("button", name="Write it").click()
    expect(table.get_by_role("button", name=re.compile(f"Vang at 12 kn, settled: {new}$"))).to_be_visible(
        timeout=WITHIN_MS
    )
    tonight = open_page("/?wind_kn=12", width=width)
    expect(tonight.locator(".control", has_text="Vang").first).to_contain_text(new)
