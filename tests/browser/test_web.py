"""The served book in a real browser: every page in every theme, two phones at once, keyboard only."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from cringle.book.store import Book
from cringle.workflows.outing import Door, start_outing
from cringle.workflows.settings_csv import import_csv

PAGES = ("/", "/between", "/numbers", "/join")
THEMES = ("light", "dark", "glare")
WITHIN_MS = 3000
Open = Callable[..., Page]


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, examples: Path) -> Path:
    folder = tmp_path_factory.mktemp("served") / "book"
    folder.mkdir()
    for name in ("class.toml", "boat.toml", "crew.toml", "survey.toml"):
        shutil.copyfile(examples / name, folder / name)
    shutil.copytree(examples / "plays", folder / "plays")
    with Book.open(folder, create=True, who="coach"):
        pass
    import_csv(folder, examples / "table.csv", examples / "cues.csv", who="coach", why="first table")
    start_outing(Door(folder))
    return folder


@pytest.fixture(scope="module")
def address(book: Path) -> Iterator[str]:
    """Return the address of a real server in a process of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    code = "from cringle.cli.main import run; import sys; run(sys.argv[1:])"
    command = [sys.executable, "-c", code, "serve", "--book", str(book), "--port", str(port)]
    running = subprocess.Popen(command, stdout=subprocess.DEVNULL)
    try:
        wait_for(f"http://127.0.0.1:{port}/join")
        yield f"http://127.0.0.1:{port}"
    finally:
        running.terminate()
        running.wait(10)


def wait_for(url: str) -> None:
    for _ in range(150):
        try:
            with urllib.request.urlopen(url, timeout=5):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(0.1)
    pytest.fail(f"nothing answers at {url}")


@pytest.fixture
def open_page(browser: Browser, address: str) -> Iterator[Open]:
    """Return a function that opens a page on a phone of its own; what goes wrong there fails the test."""
    trouble: list[str] = []
    contexts = []

    def opened(path: str = "/", *, width: int = 360, theme: str = "light") -> Page:
        context = browser.new_context(viewport={"width": width, "height": 740})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(8000)
        page.add_init_script(f"localStorage.setItem('theme', '{theme}')")
        page.on("console", lambda one: trouble.append(one.text) if one.type in ("error", "warning") else None)
        page.on("pageerror", lambda one: trouble.append(str(one)))
        page.on(
            "request", lambda one: None if one.url.startswith((address, "data:")) else trouble.append(one.url)
        )
        page.goto(address + path)
        return page

    yield opened
    for context in contexts:
        context.close()
    expected = ("status of 4", "ERR_INTERNET_DISCONNECTED")
    assert [one for one in trouble if not any(words in one for words in expected)] == []


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("path", PAGES)
def test_no_violation_that_axe_knows(open_page: Open, path: str, theme: str) -> None:
    page = open_page(path, theme=theme)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
@pytest.mark.parametrize("path", PAGES)
def test_nothing_sticks_out(open_page: Open, path: str, width: int) -> None:
    page = open_page(path, width=width)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("path", PAGES)
def test_everything_to_touch_is_large_enough(open_page: Open, path: str) -> None:
    page = open_page(path)
    page.evaluate("document.querySelectorAll('details').forEach(one => one.open = true)")
    small = page.evaluate(
        "[...document.querySelectorAll('button, summary, select, input, label.tick, nav a, a.button')]"
        ".filter(e => e.offsetParent && e.type !== 'checkbox' && e.type !== 'range')"
        ".map(e => [e.outerHTML.slice(0, 60), e.getBoundingClientRect()])"
        ".filter(([, box]) => box.height < 44 || box.width < 44).map(([text]) => text)"
    )
    assert small == []


def test_the_numbers_are_large(open_page: Open) -> None:
    page = open_page("/")
    sizes = page.evaluate(
        "[...document.querySelectorAll('.gears .figure:not(.guess)')]"
        ".map(e => parseFloat(getComputedStyle(e).fontSize))"
    )
    assert sizes
    assert min(sizes) >= 40


def test_the_slider_moves_the_numbers(open_page: Open, address: str) -> None:
    page = open_page("/")
    page.locator("#wind_slider").fill("18")
    expect(page.locator("#numbers .head")).to_contain_text("18.0 kn", timeout=WITHIN_MS)
    expect(page.locator("#wind_kn")).to_have_value("18")
    page.locator("#wind_kn").fill("6,5")
    expect(page.locator("#numbers .head")).to_contain_text("6.5 kn", timeout=WITHIN_MS)


def test_a_change_on_one_phone_shows_on_the_other(open_page: Open) -> None:
    one, other = open_page("/"), open_page("/")
    expect(other.locator("body")).to_have_attribute("data-line", "up", timeout=WITHIN_MS)
    one.locator("#wind_kn").fill("9")
    one.locator("#share").click()
    expect(one.locator("#said")).to_contain_text("Everybody sees", timeout=WITHIN_MS)
    expect(other.locator("#wind_kn")).to_have_value("9", timeout=WITHIN_MS)


def edit(page: Page, label: str, value: str, why: str = "felt slow") -> None:
    page.get_by_role("button", name=label).click()
    page.locator("#value").fill(value)
    page.locator("#why").fill(why)
    page.get_by_role("button", name="Write it").click()


VANG = "Vang at 10 kn, settled"


def test_a_number_is_changed_seen_elsewhere_and_undone(open_page: Open) -> None:
    one, other = open_page("/numbers?sea=flat"), open_page("/numbers?sea=flat")
    expect(other.locator("body")).to_have_attribute("data-line", "up", timeout=WITHIN_MS)
    cell = other.locator("button.cell[data-role=vang][data-wind='10.0'][data-gear=settled]")
    before = cell.inner_text()
    edit(one, VANG, "6.5")
    expect(cell).to_have_text("6½", timeout=WITHIN_MS)
    expect(one.locator("#editor .history li").first).to_contain_text("felt slow", timeout=WITHIN_MS)
    one.locator("#undo").click()
    expect(cell).to_have_text(before, timeout=WITHIN_MS)


def test_two_who_edit_the_same_number_get_a_choice(open_page: Open) -> None:
    one, other = open_page("/numbers?sea=flat"), open_page("/numbers?sea=flat")
    for page, value in ((one, "5"), (other, "7")):
        page.get_by_role("button", name=VANG).click()
        page.locator("#value").fill(value)
    one.get_by_role("button", name="Write it").click()
    expect(one.locator("#undo")).to_be_visible(timeout=WITHIN_MS)
    expect(other.locator("#value")).to_have_value("7")
    other.get_by_role("button", name="Write it").click()
    expect(other.locator("#clash")).to_be_visible(timeout=WITHIN_MS)
    expect(other.locator("#clash-theirs")).to_contain_text("5")
    expect(other.locator("#clash-yours")).to_contain_text("7")
    other.get_by_role("button", name="Write mine").click()
    cell = one.locator("button.cell[data-role=vang][data-wind='10.0'][data-gear=settled]")
    expect(cell).to_have_text("7", timeout=WITHIN_MS)
    lines = other.locator("#editor .history li")
    expect(lines.nth(0)).to_contain_text("7 mark", timeout=WITHIN_MS)
    expect(lines.nth(1)).to_contain_text("5 mark")


def test_a_number_off_the_scale_is_said_beside_the_field(open_page: Open) -> None:
    page = open_page("/numbers?sea=flat")
    edit(page, VANG, "99")
    expect(page.locator("#wrong-value")).to_contain_text("accepted", timeout=WITHIN_MS)
    expect(page.locator("#value")).to_have_value("99")


def test_with_the_keyboard_alone(open_page: Open) -> None:
    page = open_page("/numbers?sea=flat", width=1280)
    page.locator("button.cell").first.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#value")).to_be_focused(timeout=WITHIN_MS)
    page.keyboard.press("Escape")
    expect(page.locator("button.cell").first).to_be_focused()
    page.goto(page.url.split("/numbers")[0])
    page.keyboard.press("Tab")
    expect(page.locator(".skip")).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("#wind_kn")).to_be_focused()


def test_between_races_to_the_lock_and_back(open_page: Open) -> None:
    page, other = open_page("/between"), open_page("/")
    page.get_by_role("button", name="One knot more").click()
    expect(page.locator(".head strong")).to_contain_text("kn", timeout=WITHIN_MS)
    page.get_by_role("button", name="Too much heel").click()
    expect(page.locator("#noted")).to_have_text("Noted: Too much heel", timeout=WITHIN_MS)
    page.get_by_role("button", name="Preparatory signal: lock").click()
    expect(page.locator(".locked")).to_contain_text("RRS 41", timeout=WITHIN_MS)
    expect(other.locator(".locked")).to_be_visible(timeout=WITHIN_MS)
    expect(other.locator("#wind_slider")).to_have_count(0)
    page.get_by_role("button", name="The race is over").click()
    expect(other.locator("#wind_slider")).to_be_visible(timeout=WITHIN_MS)


def test_a_lost_connection_is_said_and_what_was_typed_stays(open_page: Open) -> None:
    page = open_page("/numbers?sea=flat")
    page.get_by_role("button", name=VANG).click()
    page.locator("#value").fill("4.5")
    page.context.set_offline(True)
    page.get_by_role("button", name="Write it").click()
    expect(page.locator("#wrong-value")).to_contain_text("what you typed is kept", timeout=WITHIN_MS)
    page.context.set_offline(False)
    expect(page.locator("#value")).to_have_value("4.5")
    page.get_by_role("button", name="Write it").click()
    expect(page.locator("#undo")).to_be_visible(timeout=WITHIN_MS)


def test_it_prints_in_black(open_page: Open) -> None:
    page = open_page("/")
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.documentElement).color") == "rgb(0, 0, 0)"
    assert page.locator("nav").is_hidden()
