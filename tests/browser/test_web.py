"""The served book in a real browser: every page in every theme, two phones at once, keyboard only."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from cringle.output.wording import mark_text
from cringle.settings.records import TonightRequest
from cringle.workflows.numbers.tonight import tonight
from cringle.workflows.serving.pocket import make_pocket, take_in_file

PAGES = ("/", "/between", "/numbers", "/work-list", "/book", "/join")
THEMES = ("light", "dark", "glare")
WITHIN_MS = 3000
Open = Callable[..., Page]


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
    expect(page.locator("#numbers .head")).to_contain_text("18 kn", timeout=WITHIN_MS)
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


@pytest.fixture(scope="module")
def pocket(book: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_pocket(book, TonightRequest(wind_kn=10.0), tmp_path_factory.mktemp("pocket") / "pocket.html")


def test_the_pocket_page_from_a_file(browser: Browser, book: Path, pocket: Path, tmp_path: Path) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, offline=True, accept_downloads=True)
    page = context.new_page()
    trouble: list[str] = []
    page.on("console", lambda one: trouble.append(one.text))
    page.on("pageerror", lambda one: trouble.append(str(one)))
    page.goto(pocket.as_uri())
    expect(page.locator("#wind")).to_have_text("10 kn")
    page.locator("#more").click()
    expect(page.locator("#wind")).to_have_text("10.5 kn")
    shown = page.locator("#numbers .control", has_text="vang").locator("b").all_inner_texts()
    request = TonightRequest(wind_kn=10.5)
    found = [one for one in tonight(book, request).numbers.numbers if one.role == "vang"]
    assert shown == [mark_text(one.value) for one in found]
    page.locator("#lock").click()
    expect(page.locator("#more")).to_be_disabled()
    expect(page.locator("#moves")).to_be_hidden()
    page.locator("#by").fill("Keo")
    page.locator("#text").fill("helm heavy in puffs")
    page.locator("#note button").click()
    page.locator("#role").select_option("vang")
    page.locator("#value").fill("4,5")
    page.locator("#set button").click()
    page.locator("#value").fill("4444")
    page.locator("#set button").click()
    expect(page.locator("#said")).to_contain_text("vang: ")
    page.reload()
    expect(page.locator("#more")).to_be_disabled()
    expect(page.locator("#list li")).to_have_count(2)
    with page.expect_download() as given:
        page.locator("#export").click()
    out = tmp_path / "notes.json"
    given.value.save_as(out)
    assert Axe().run(page).violations_count == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    context.close()
    assert trouble == []
    first, second = (take_in_file(book, out, who="coach") for _ in range(2))
    assert first is not None
    assert second is not None
    assert (first.taken, second.taken, second.already_there) == (2, 0, 2)


def test_the_pocket_page_without_a_script(browser: Browser, pocket: Path) -> None:
    context = browser.new_context(java_script_enabled=False, viewport={"width": 360, "height": 740})
    page = context.new_page()
    page.goto(pocket.as_uri())
    expect(page.get_by_text("No script runs here")).to_be_visible()
    expect(page.locator("#lookup")).to_be_hidden()
    expect(page.locator("table").first).to_be_visible()
    context.close()


def test_a_file_is_taken_in_on_the_page_book(open_page: Open, tmp_path: Path) -> None:
    page = open_page("/book")
    wrong = tmp_path / "wrong.json"
    wrong.write_text("[]", encoding="utf-8")
    page.locator("#file").set_input_files(wrong)
    page.get_by_role("button", name="Take it in").click()
    expect(page.locator("#in-wrong")).to_be_visible(timeout=WITHIN_MS)
    page.get_by_role("button", name="New crew code").click()
    expect(page.locator("#code")).to_contain_text("shown this once", timeout=WITHIN_MS)
