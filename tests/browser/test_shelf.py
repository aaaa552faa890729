"""Shelf in a real browser: two boats, a shared file shown and taken over."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

Open = Callable[..., Page]
Well = Callable[[Page], None]


@pytest.fixture(scope="module")
def two(book: Path) -> Path:
    """Return the second book beside the served one; they share a class file."""
    other = book.parent / "sorrel"
    shutil.copytree(book, other)
    shared = book.parent / "class.toml"
    shared.write_text("# for all\n" + (book / "class.toml").read_text(encoding="utf-8"), encoding="utf-8")
    return other


def test_a_book_alone_teaches(open_page: Open, well_made: Well) -> None:
    page = open_page("/shelf")
    expect(page.locator("main")).to_contain_text("stands alone")
    well_made(page)


@pytest.mark.parametrize("theme", ["light", "dark", "glare"])
@pytest.mark.parametrize("width", [360, 1280])
def test_well_made(open_page: Open, two: Path, well_made: Well, theme: str, width: int) -> None:
    page = open_page("/shelf?wind_kn=10", theme=theme, width=width)
    expect(page.locator("main")).to_contain_text("Side by side in 10 kn")
    well_made(page)


def test_a_shared_file_is_shown_then_taken_over(open_page: Open, two: Path) -> None:
    page = open_page("/shelf")
    expect(page.locator("#take")).to_be_hidden()
    page.get_by_role("button", name="Show what would change").click()
    expect(page.locator("#changes pre").first).to_contain_text("# for all", timeout=8000)
    page.get_by_role("button", name="Take it over").click()
    expect(page.locator("#changes")).to_contain_text("taken over", timeout=8000)
    assert (two / "class.toml").read_text(encoding="utf-8").startswith("# for all")
