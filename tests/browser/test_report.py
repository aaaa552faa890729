"""The debrief's page in a real browser: fits a phone and a desk, asks for nothing, breaks nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from cringle.output.palette import DARK, LIGHT
from cringle.output.report import write_report
from cringle.track.debrief.debrief import Debrief


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


def _luminance(colour: list[int]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [one / 255 for one in colour]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_the_contrast_wcag_calls_enhanced(
    browser: Browser, pages: dict[str, Path], scheme: str
) -> None:
    page = browser.new_page(color_scheme=scheme)  # type: ignore[arg-type]  # one of the two words
    page.goto(pages["evening"].as_uri())
    colours = page.evaluate(
        "(style => [style.color, style.backgroundColor]"
        ".map(text => text.match(/\\d+/g).slice(0, 3).map(Number)))"
        "(getComputedStyle(document.documentElement))"
    )
    page.close()
    dark, light = sorted(_luminance(one) for one in colours)
    assert (light + 0.05) / (dark + 0.05) >= 7.0
