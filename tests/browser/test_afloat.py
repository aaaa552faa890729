"""Afloat in a real browser: a log dropped, the guess, the debrief, a correction, two boats."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from cringle.workflows.afloat.logs import list_logs
from cringle.workflows.outings.outing import Door, end_outing, start_outing

Open = Callable[..., Page]
Well = Callable[[Page], None]
SLOW_MS = 60_000
DAY = "2026-06-17"


@pytest.fixture(scope="module")
def evening(book: Path, examples: Path) -> Path:
    """Return the demo's log, and have an outing on its day."""
    end_outing(Door(book))
    start_outing(Door(book, at=f"{DAY} 18:00"))
    end_outing(Door(book, at="20:30", outing=DAY))
    return examples / "evening.nmea"


def dropped(page: Page, path: Path) -> None:
    page.locator("#file").set_input_files(path)
    expect(page.locator("#came li").last).to_contain_text(path.name, timeout=SLOW_MS)


def test_a_wrong_file_is_said_and_nothing_is_kept(
    open_page: Open, book: Path, evening: Path, tmp_path: Path, well_made: Well
) -> None:
    page = open_page("/afloat")
    expect(page.locator("#logs")).to_contain_text("No log yet")
    well_made(page)
    wrong = tmp_path / "picture.png"
    wrong.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(3000))
    dropped(page, wrong)
    expect(page.locator("#came .wrong")).to_contain_text("picture.png")
    assert list_logs(book) == []


def test_a_log_is_dropped_guessed_and_debriefed(
    open_page: Open, book: Path, evening: Path, well_made: Well
) -> None:
    page = open_page("/afloat")
    dropped(page, evening)
    expect(page.locator("#came")).to_contain_text("2204 fixes")
    expect(page.locator("#logs")).to_contain_text(f"outing {DAY}")
    page.get_by_role("link", name="Debrief it").click()
    expect(page.locator("#guess")).to_be_visible()
    assert page.locator("#debrief").count() == 0
    well_made(page)
    page.get_by_label("tacks", exact=True).check()
    page.get_by_role("button", name="That is our guess").click()
    expect(page.locator("#debrief h2").first).to_have_text("What the data cannot tell", timeout=SLOW_MS)
    heads = page.locator("#debrief h2").all_inner_texts()
    assert heads.index("Keep, change, try") < heads.index("Where the time went") < heads.index("Legs")
    expect(page.locator(".first")).to_contain_text("Your guess: tacks")


@pytest.mark.parametrize("theme", ["light", "dark", "glare"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_debrief_is_well_made(
    open_page: Open, book: Path, well_made: Well, theme: str, width: int
) -> None:
    key = list_logs(book)[0].sha256
    page = open_page(f"/afloat/log/{key}", theme=theme, width=width)
    expect(page.locator("#debrief")).to_be_visible(timeout=SLOW_MS)
    well_made(page)


def test_a_tack_that_was_none_is_taken_out_and_put_back(open_page: Open, book: Path) -> None:
    key = list_logs(book)[0].sha256
    page = open_page(f"/afloat/log/{key}")
    happened = page.locator("#debrief", has_text="You made 8 tacks")
    expect(happened).to_be_visible(timeout=SLOW_MS)
    page.get_by_text("Tacks and gybes found").click()
    page.locator("#why").fill("a man overboard drill")
    page.get_by_role("button", name="tack 18:35:21 was none").click()
    expect(page.locator("#corrections")).to_contain_text("a man overboard drill", timeout=SLOW_MS)
    expect(page.locator("#debrief", has_text="You made 7 tacks")).to_be_visible(timeout=SLOW_MS)
    page.locator("[data-undo]").click()
    expect(happened).to_be_visible(timeout=SLOW_MS)
    expect(page.locator("#corrections")).to_contain_text("undone")


def test_a_wrong_time_is_said_beside_the_form(open_page: Open, book: Path) -> None:
    key = list_logs(book)[0].sha256
    page = open_page(f"/afloat/log/{key}")
    page.get_by_text("Something was missed").click()
    page.locator("#at").fill("25:99")
    page.get_by_role("button", name="Correct it").click()
    expect(page.locator("#not-corrected")).to_contain_text("is no time", timeout=SLOW_MS)
    expect(page.locator("#at")).to_have_value("25:99")


def test_another_phone_sees_the_log(open_page: Open, evening: Path, tmp_path: Path) -> None:
    page, other = open_page("/afloat"), open_page("/afloat")
    expect(other.locator("body")).to_have_attribute("data-line", "up", timeout=5000)
    cut = tmp_path / "half.nmea"
    data = evening.read_bytes()
    cut.write_bytes(data[: len(data) // 2])
    dropped(page, cut)
    expect(other.locator("#logs")).to_contain_text("half.nmea", timeout=5000)


def test_a_dropped_connection_is_said(open_page: Open, evening: Path) -> None:
    page = open_page("/afloat")
    page.context.set_offline(True)
    page.locator("#file").set_input_files(evening)
    expect(page.locator("#came .wrong")).to_contain_text("onnection", timeout=8000)
    page.context.set_offline(False)
