"""The debrief's page in a real browser: fits a phone and a desk, asks for nothing, breaks nothing."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, sync_playwright

from cringle.output.palette import DARK, LIGHT
from cringle.output.report import write_report
from cringle.track.debrief import Debrief

pytestmark = pytest.mark.browser
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"])
        yield started
        started.close()


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory, evening: Debrief, windless: Debrief) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("pages")
    found = {"evening": folder / "evening.html", "windless": folder / "windless.html"}
    write_report(evening, found["evening"])
    write_report(windless, found["windless"])
    return found


@pytest.mark.parametrize("name", ["evening", "windless"])
@pytest.mark.parametrize("width", [320, 360, 768, 841, 1280])
def test_nothing_sticks_out(browser: Browser, pages: dict[str, Path], name: str, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 740})
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.goto(pages[name].as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    outside = page.evaluate(
        "[...document.querySelectorAll('td,th,li,p,svg,h1,h2,figcaption')]"
        ".filter(e => e.getBoundingClientRect().right > innerWidth + 1).length"
    )
    assert outside == 0
    assert asked == [pages[name].as_uri()]
    assert said == []
    page.close()


@pytest.mark.parametrize(("scheme", "theme"), [("light", LIGHT), ("dark", DARK)])
def test_it_takes_the_readers_theme(
    browser: Browser, pages: dict[str, Path], scheme: str, theme: object
) -> None:
    page = browser.new_page(color_scheme=scheme)  # type: ignore[arg-type]  # one of the two words
    page.goto(pages["evening"].as_uri())
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    red, green, blue = (int(theme.ground[place : place + 2], 16) for place in (1, 3, 5))  # type: ignore[attr-defined]
    assert ground == f"rgb({red}, {green}, {blue})"
    page.close()


def test_labels_on_the_track_are_readable_on_a_phone(browser: Browser, pages: dict[str, Path]) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    page.goto(pages["evening"].as_uri())
    heights = page.evaluate(
        "[...document.querySelectorAll('svg.track text')].map(e => e.getBoundingClientRect().height)"
    )
    assert min(heights) >= 12.0
    page.close()


def test_it_prints_on_paper_in_black(browser: Browser, pages: dict[str, Path]) -> None:
    page = browser.new_page()
    page.goto(pages["evening"].as_uri())
    page.emulate_media(media="print")
    ink = page.evaluate("getComputedStyle(document.documentElement).color")
    assert ink == "rgb(0, 0, 0)"
    assert page.pdf(format="A4").startswith(b"%PDF")
    page.close()
