"""The debrief's page in a real browser: nothing asked of the network, nothing wider than a phone."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from cringle.workflows.logs import debrief_log, write_report

LOGS = Path(__file__).parents[1] / "data" / "logs"


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    path = tmp_path_factory.mktemp("report") / "evening.html"
    write_report(debrief_log(examples / "evening.nmea"), path)
    return path


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_page_fits_asks_for_nothing_and_says_no_error(
    browser: Browser, report: Path, width: int, scheme: str
) -> None:
    page = browser.new_page(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(report.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert asked == [report.as_uri()]
    assert said == []
    page.close()


def test_page_begins_with_what_the_data_cannot_tell(browser: Browser, report: Path) -> None:
    page = browser.new_page()
    page.goto(report.as_uri())
    assert page.locator("h2").first.inner_text() == "What the data cannot tell"
    assert page.locator("svg").count() >= 2
    page.close()


def _contrast(browser: Browser, report: Path, scheme: str) -> float:
    page = browser.new_page(color_scheme=scheme)  # type: ignore[arg-type]
    page.goto(report.as_uri())
    colours = page.evaluate(
        "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
        ".map(text => text.match(/\\d+/g).slice(0, 3).map(Number))"
    )
    page.close()
    light = sorted(_luminance(one) for one in colours)
    return (light[1] + 0.05) / (light[0] + 0.05)


def _luminance(colour: list[int]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [one / 255 for one in colour]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_the_contrast_wcag_calls_enhanced(browser: Browser, report: Path, scheme: str) -> None:
    assert _contrast(browser, report, scheme) >= 7.0
