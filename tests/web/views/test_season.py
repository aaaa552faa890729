"""What the pages Season and Shelf receive."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from cringle.web.site import Site, WebSettings
from cringle.web.views.season import LIVE, readable, season_page, shelf_of, shelf_page
from cringle.workflows.outings.evening import begin_racing


@pytest.fixture
def site(folder: Path) -> Iterator[Site]:
    made = Site.of(WebSettings(folder))
    yield made
    made.workers.close()
    made.served.close()


def test_the_plan_without_what_the_page_makes_itself(site: Site) -> None:
    view = season_page(site)
    assert view.sheet.filled
    assert not {one.title for one in view.sheet.filled} & set(LIVE)
    assert (view.found, view.logs, view.racing) == (None, 0, False)


def test_a_book_alone_and_two(site: Site, folder: Path) -> None:
    assert shelf_of(folder) == folder.parent
    alone = shelf_page(site, 10.0, "settled")
    assert ([one.name for one in alone.books], alone.rows) == (["book"], ())
    other = folder.parent / "sorrel"
    shutil.copytree(folder, other)
    both = shelf_page(site, 10.0, "settled")
    assert both.rows[0].marks.keys() == {"book", "sorrel"}
    (other / "boat.toml").write_text("[", encoding="utf-8")
    broken = shelf_page(site, 10.0, "settled")
    assert readable(broken.books) == ["book"]
    assert broken.rows == ()
    assert broken.problem is not None


def test_no_numbers_while_racing(site: Site, folder: Path) -> None:
    shutil.copytree(folder, folder.parent / "sorrel")
    begin_racing(folder, site.served.evening().request, who="Ines")
    assert shelf_page(site, 10.0, "settled").rows == ()
