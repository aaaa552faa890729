"""What the pages Season and Shelf receive."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from cringle.errors import CringleError
from cringle.output.sheet import Sheet
from cringle.settings.records import TonightRequest
from cringle.web.beside import kept_result
from cringle.web.site import Site
from cringle.workflows.afloat.logs import list_logs
from cringle.workflows.round.plan import ADVICE_TITLES, LEFT_TITLE, Plan, plan_sheet, season_plan
from cringle.workflows.round.shelf import Compared, OnShelf, books_on, shared_files, shelf_compare, shelf_list

LIVE = (LEFT_TITLE,)
"""Sections of the plan that the page makes itself, because something can be done there."""


@dataclass(frozen=True)
class SeasonPage:
    """The page Season: plan, its sheet, what the logs say together, how many logs there are."""

    plan: Plan
    sheet: Sheet
    found: dict[str, Any] | None
    logs: int
    racing: bool


def season_page(site: Site) -> SeasonPage:
    """Return the page Season."""
    folder, racing = site.settings.folder, site.served.evening().is_racing
    plan = season_plan(folder)
    sheet = plan_sheet(plan)
    left_out = (*LIVE, *ADVICE_TITLES) if racing else LIVE
    kept = tuple(one for one in sheet.filled if one.title not in left_out)
    return SeasonPage(
        plan,
        replace(sheet, sections=kept),
        None if racing else kept_result(site, "season", {}),
        len(list_logs(folder)),
        racing,
    )


@dataclass(frozen=True)
class ShelfPage:
    """The page Shelf: the books side by side, their numbers, what they share, and what is wrong."""

    books: tuple[OnShelf, ...]
    rows: tuple[Compared, ...]
    shared: tuple[str, ...]
    wind_kn: float | None
    gear: str
    problem: str | None
    racing: bool


def shelf_of(folder: Path) -> Path:
    """Return the shelf a book stands on: the folder that it lies in."""
    return folder.resolve().parent


def shelf_page(site: Site, wind_kn: float | None, gear: str) -> ShelfPage:
    """Return the page Shelf; with one book alone only that is said."""
    shelf, evening = shelf_of(site.settings.folder), site.served.evening()
    request = TonightRequest(wind_kn=wind_kn or evening.request.mean_kn, sea=evening.request.sea)
    books, problem = tuple(shelf_list(shelf)), None
    rows: tuple[Compared, ...] = ()
    if len(books_on(shelf)) > 1 and not evening.is_racing:
        try:
            rows = tuple(shelf_compare(shelf, request, gear=gear, books=readable(books)))
        except CringleError as error:
            problem = error.message
    return ShelfPage(
        books, rows, tuple(shared_files(shelf)), request.wind_kn, gear, problem, evening.is_racing
    )


def readable(books: tuple[OnShelf, ...]) -> list[str]:
    """Return the names of the books that can be read."""
    return [one.name for one in books if one.trouble is None]
